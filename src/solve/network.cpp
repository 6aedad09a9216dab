#include "solve/network.h"

#include "physics/fuselink.h"
#include "solve/assumed.h"
#include "solve/exciter_lamps.h"
#include "solve/sources.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace stoutloom::solve {
namespace {

constexpr double endless = std::numeric_limits<double>::infinity();

/// Which terminals are one node: union-find over terminals.
class Merger {
  public:
    explicit Merger(std::size_t count) : parent_(count) {
        std::iota(parent_.begin(), parent_.end(), std::size_t{0});
    }
    std::size_t root(std::size_t i) {
        while (parent_[i] != i)
            i = parent_[i] = parent_[parent_[i]];
        return i;
    }
    void join(std::size_t a, std::size_t b) {
        const std::size_t low = std::min(root(a), root(b));
        const std::size_t high = std::max(root(a), root(b));
        parent_[high] = low;
    }

  private:
    std::vector<std::size_t> parent_;
};

bool is_two_pole(model::DeviceKind kind) {
    return kind == model::DeviceKind::battery || kind == model::DeviceKind::generator ||
           kind == model::DeviceKind::starter || kind == model::DeviceKind::consumer;
}

/// Studs of a post are one node, and so are a source's or consumer's studs of one polarity.
void number_nodes(const model::Harness& harness, Network& network) {
    Merger merger(harness.terminals.size());
    for (const model::Device& device : harness.devices)
        for (std::size_t i = 1; i < device.terminals.size(); ++i)
            for (std::size_t j = 0; j < i; ++j) {
                const model::Role role = harness.terminal(device.terminals[i]).role;
                const bool same_pole = is_two_pole(device.kind()) &&
                                       role == harness.terminal(device.terminals[j]).role &&
                                       (role == model::Role::positive || role == model::Role::negative);
                if (device.kind() == model::DeviceKind::post || same_pole)
                    merger.join(model::at(device.terminals[i]), model::at(device.terminals[j]));
            }
    network.node_of.assign(harness.terminals.size(), -1);
    for (std::size_t t = 0; t < harness.terminals.size(); ++t) {
        const std::size_t root = merger.root(t);
        if (root == t) {
            network.node_of[t] = network.nodes++;
            network.node_stands_for.push_back(static_cast<int>(t));
        } else {
            network.node_of[t] = network.node_of[root];
        }
    }
}

class Builder {
  public:
    Builder(const model::Harness& harness, const model::Duty& duty, const Variation& variation)
        : harness_(harness), duty_(duty), variation_(variation) {}
    Network build();

  private:
    int node(model::TerminalIndex terminal) const { return network_.node_of[model::at(terminal)]; }
    std::optional<int> pole(model::DeviceIndex device, model::Role role) const {
        const auto found = model::terminal_of(harness_, device, role);
        if (!found)
            return std::nullopt;
        return node(*found);
    }
    std::optional<int> stud(model::DeviceIndex device, std::string_view id, std::size_t otherwise) const {
        const auto& terminals = harness_.device(device).terminals;
        for (const model::TerminalIndex terminal : terminals)
            if (harness_.terminal(terminal).id == id)
                return node(terminal);
        if (otherwise < terminals.size())
            return node(terminals[otherwise]);
        return std::nullopt;
    }
    bool opened(model::DeviceIndex device) const {
        const auto& list = variation_.opened_devices;
        return std::find(list.begin(), list.end(), device) != list.end();
    }
    bool running(model::DeviceIndex consumer) const {
        if (!variation_.running)
            return model::runs_in(harness_, duty_, consumer);
        return std::find(variation_.running->begin(), variation_.running->end(), consumer) !=
               variation_.running->end();
    }
    /// Returns the branch's index, -1 when both ends are one node.
    int resistor(std::optional<int> a, std::optional<int> b, double ohm, std::size_t index,
                 std::string_view part, Owner owner = Owner::device) {
        if (!a || !b || *a == *b)
            return -1;
        network_.branches.push_back(
            {.a = *a, .b = *b, .ohm = ohm, .owner = owner, .index = index, .part = part});
        return static_cast<int>(network_.branches.size()) - 1;
    }
    void port(Port made, model::DeviceIndex device, std::optional<int> plus, std::optional<int> minus);
    void add(model::DeviceIndex device);
    void seat(model::DeviceIndex device);
    void battery(model::DeviceIndex device);
    void generator(model::DeviceIndex device);
    void rectifier(model::DeviceIndex device, std::optional<int> plus, std::optional<int> minus);
    void starter(model::DeviceIndex device);
    void consumer(model::DeviceIndex device);
    void through(model::DeviceIndex device, double ohm, std::string_view part);
    void relay(model::DeviceIndex device);
    void fuse_link(model::DeviceIndex device);
    void mass(model::DeviceIndex device);
    void cables();
    void incidentals();
    void choose_reference();

    const model::Harness& harness_;
    const model::Duty& duty_;
    const Variation& variation_;
    Network network_;
};

void Builder::port(Port made, model::DeviceIndex device, std::optional<int> plus, std::optional<int> minus) {
    if (!plus || !minus || *plus == *minus)
        return;
    made.device = device;
    made.plus = made.sense_plus = *plus;
    made.minus = made.sense_minus = *minus;
    resistor(plus, minus, leak_ohm, model::at(device), "leak");
    if (made.kind != PortKind::rectifier)
        network_.device_port[model::at(device)] = static_cast<int>(network_.ports.size());
    network_.ports.push_back(std::move(made));
}

void Builder::battery(model::DeviceIndex device) {
    const BatteryLaw law = battery_law(harness_, duty_, device, supply_of(variation_));
    const double slope_s = 1.0 / law.resistance_ohm;
    Port made{.kind = PortKind::battery, .base = 0, .start = 0};
    made.pieces.push_back({.alpha_a = law.emf_v * slope_s,
                           .beta_s = slope_s,
                           .upto_v = law.emf_v + law.acceptance_a * law.resistance_ohm});
    if (std::isfinite(law.acceptance_a))
        made.pieces.push_back({.alpha_a = -law.acceptance_a, .beta_s = 0, .upto_v = endless});
    port(std::move(made), device, pole(device, model::Role::positive), pole(device, model::Role::negative));
}

void Builder::rectifier(model::DeviceIndex device, std::optional<int> plus, std::optional<int> minus) {
    Port made{.kind = PortKind::rectifier, .base = 1, .start = 1};
    made.pieces.push_back({.alpha_a = -rectifier_threshold_v / rectifier_ohm,
                           .beta_s = 1 / rectifier_ohm,
                           .upto_v = -rectifier_threshold_v});
    const double avalanche = avalanche_v(harness_.nominal_v.value);
    made.pieces.push_back({.alpha_a = 0, .beta_s = 0, .upto_v = avalanche});
    made.pieces.push_back(
        {.alpha_a = avalanche / avalanche_ohm, .beta_s = 1 / avalanche_ohm, .upto_v = endless});
    port(std::move(made), device, plus, minus);
}

void Builder::generator(model::DeviceIndex device) {
    const auto& about = std::get<model::Generator>(harness_.device(device).data);
    const GeneratorLaw law = generator_law(harness_, duty_, device, supply_of(variation_));
    const auto plus = pole(device, model::Role::positive);
    const auto minus = pole(device, model::Role::negative);
    const auto excite = pole(device, model::Role::excite);
    const auto sense_stud = pole(device, model::Role::sense);
    resistor(sense_stud, plus, sense_fallback_ohm, model::at(device), "sense");
    rectifier(device, plus, minus);
    if (!law.turning || law.ceiling_a <= 0) {
        resistor(excite, minus, about.exciter_resistance_ohm.value, model::at(device), "exciter");
        return;
    }
    resistor(excite, plus, exciter_diode_ohm, model::at(device), "exciter");
    const double slope_s = 1 / generator_droop_ohm;
    Port made{.kind = PortKind::generator, .base = 1, .start = 1};
    made.pieces.push_back({.alpha_a = law.ceiling_a,
                           .beta_s = 0,
                           .upto_v = law.set_point_v - law.ceiling_a * generator_droop_ohm});
    made.pieces.push_back(
        {.alpha_a = law.set_point_v * slope_s, .beta_s = slope_s, .upto_v = law.set_point_v});
    made.pieces.push_back({.alpha_a = 0, .beta_s = 0, .upto_v = endless});
    port(std::move(made), device, plus, minus);
    if (about.sense && network_.device_port[model::at(device)] >= 0)
        network_.ports.back().sense_plus = node(*about.sense);
}

void Builder::starter(model::DeviceIndex device) {
    const auto& about = std::get<model::Starter>(harness_.device(device).data);
    const auto minus = pole(device, model::Role::negative);
    const double scale = harness_.nominal_v.value / 12.0;
    resistor(pole(device, model::Role::control), minus, starter_coil_ohm * scale * scale, model::at(device),
             "coil");
    if (duty_.engine == model::Engine::cranking)
        port(consumer_port(about.current_a.value, 0, harness_.nominal_v.value * starter_fold_fraction),
             device, pole(device, model::Role::positive), minus);
}

void Builder::consumer(model::DeviceIndex device) {
    if (!running(device))
        return;
    const auto& about = std::get<model::Consumer>(harness_.device(device).data);
    const auto plus = pole(device, model::Role::positive);
    const auto minus = pole(device, model::Role::negative);
    const double nominal_v = harness_.nominal_v.value;
    const double fold_v = nominal_v * consumer_fold_fraction;
    const double amount = about.amount.value;
    const auto lamp_ohm = exciter_lamp_ohm(harness_, device);
    if (about.demand == model::Demand::resistance || lamp_ohm) {
        network_.device_branch[model::at(device)] =
            resistor(plus, minus, lamp_ohm.value_or(amount), model::at(device), "element");
    } else if (amount > 0) {
        const bool power = about.demand == model::Demand::power;
        port(consumer_port(power ? amount / nominal_v : amount, power ? amount : 0, fold_v), device, plus,
             minus);
    }
}

void Builder::through(model::DeviceIndex device, double ohm, std::string_view part) {
    const auto& terminals = harness_.device(device).terminals;
    for (std::size_t i = 1; i < terminals.size(); ++i) {
        const int made = resistor(node(terminals[0]), node(terminals[i]), ohm, model::at(device), part);
        if (i == 1)
            network_.device_branch[model::at(device)] = made;
    }
}

void Builder::relay(model::DeviceIndex device) {
    const auto& about = std::get<model::Relay>(harness_.device(device).data);
    resistor(stud(device, "85", 3), stud(device, "86", 2), about.coil_ohm.value, model::at(device), "coil");
    if (model::closed_in(duty_, about.closes) && !opened(device))
        network_.device_branch[model::at(device)] =
            resistor(stud(device, "30", 0), stud(device, "87", 1), about.resistance_ohm.value,
                     model::at(device), "contact");
}

void Builder::fuse_link(model::DeviceIndex device) {
    const auto& about = std::get<model::FuseLink>(harness_.device(device).data);
    double ohm = unrated_fuse_link_ohm;
    if (about.resistance_ohm)
        ohm = about.resistance_ohm->value;
    else if (const physics::FuseType* type = physics::fuse_type_by_name(about.type);
             type && about.rating_a.value > 0)
        ohm = physics::fuse_resistance(*type, about.rating_a.value).hot_ohm;
    through(device, ohm, "link");
}

void Builder::mass(model::DeviceIndex device) {
    const auto& about = std::get<model::Mass>(harness_.device(device).data);
    const int metal = node(model::metal_of(harness_, device));
    const auto& gone = variation_.opened_metal;
    for (const model::TerminalIndex terminal : harness_.device(device).terminals)
        if (std::find(gone.begin(), gone.end(), terminal) == gone.end())
            resistor(node(terminal), metal, about.resistance_ohm.value / 2, model::at(device), "metal");
}

void Builder::seat(model::DeviceIndex device) {
    const model::Device& about = harness_.device(device);
    const auto& gone = variation_.opened_seats;
    if (!about.seat || about.kind() == model::DeviceKind::mass ||
        std::find(gone.begin(), gone.end(), device) != gone.end())
        return;
    for (const model::TerminalIndex terminal : about.terminals)
        if (harness_.terminal(terminal).implicit)
            resistor(node(terminal), node(model::metal_of(harness_, *about.seat)), seat_resistance_ohm,
                     model::at(device), "seat");
}

void Builder::add(model::DeviceIndex device) {
    const model::Device& about = harness_.device(device);
    seat(device);
    if (about.kind() == model::DeviceKind::relay)
        return relay(device); // its coil stays when the contact is opened
    if (opened(device))
        return;
    switch (about.kind()) {
    case model::DeviceKind::battery:
        return battery(device);
    case model::DeviceKind::generator:
        return generator(device);
    case model::DeviceKind::starter:
        return starter(device);
    case model::DeviceKind::consumer:
        return consumer(device);
    case model::DeviceKind::switch_: {
        const auto& contact = std::get<model::Switch>(about.data);
        if (model::closed_in(duty_, contact.closes))
            through(device, contact.resistance_ohm.value, "contact");
        return;
    }
    case model::DeviceKind::fuse_link:
        return fuse_link(device);
    case model::DeviceKind::mass:
        return mass(device);
    case model::DeviceKind::shunt:
        return through(device, std::get<model::Shunt>(about.data).resistance_ohm.value, "link");
    case model::DeviceKind::relay:
    case model::DeviceKind::post:
        return;
    }
}

void Builder::cables() {
    for (std::size_t c = 0; c < harness_.cables.size(); ++c) {
        const auto index = static_cast<model::CableIndex>(c);
        const auto& list = variation_.opened_cables;
        if (std::find(list.begin(), list.end(), index) != list.end())
            continue;
        model::TerminalIndex ends[2] = {harness_.cables[c].from.at, harness_.cables[c].to.at};
        for (const Rewired& rewired : variation_.rewired)
            if (rewired.cable == index)
                ends[rewired.end == 0 ? 0 : 1] = rewired.now_at;
        network_.cable_branch[c] = resistor(node(ends[0]), node(ends[1]), 1.0, c, "cable", Owner::cable);
    }
}

void Builder::incidentals() {
    for (std::size_t i = 0; i < harness_.incidentals.size(); ++i) {
        const model::Incidental& path = harness_.incidentals[i];
        network_.incidental_branch[i] =
            resistor(node(path.from), node(path.to), path.resistance_ohm.value, i, "path", Owner::incidental);
    }
}

void Builder::choose_reference() {
    for (const auto kind : {model::DeviceKind::battery, model::DeviceKind::generator})
        for (std::size_t d = 0; d < harness_.devices.size(); ++d) {
            if (harness_.devices[d].kind() != kind)
                continue;
            if (const auto negative = pole(static_cast<model::DeviceIndex>(d), model::Role::negative)) {
                network_.reference = *negative;
                return;
            }
        }
    for (std::size_t d = 0; d < harness_.devices.size(); ++d)
        if (harness_.devices[d].kind() == model::DeviceKind::mass) {
            network_.reference = node(model::metal_of(harness_, static_cast<model::DeviceIndex>(d)));
            return;
        }
}

Network Builder::build() {
    number_nodes(harness_, network_);
    network_.cable_branch.assign(harness_.cables.size(), -1);
    network_.incidental_branch.assign(harness_.incidentals.size(), -1);
    network_.device_branch.assign(harness_.devices.size(), -1);
    network_.device_port.assign(harness_.devices.size(), -1);
    choose_reference();
    cables();
    incidentals();
    for (std::size_t d = 0; d < harness_.devices.size(); ++d)
        add(static_cast<model::DeviceIndex>(d));
    return std::move(network_);
}

} // namespace

Port consumer_port(double asked_a, double power_w, double fold_v) {
    // A resistance between -fold and +fold, beyond it the asked current. Power: the greatest current is that
    // at the fold; the solver lowers it to what the volts ask.
    const double greatest_a = power_w > 0 ? power_w / fold_v : asked_a;
    const double slope_s = greatest_a / fold_v;
    Port made{.kind = PortKind::consumer,
              .base = 1,
              .start = 2,
              .power_w = power_w,
              .asked_a = asked_a,
              .fold_v = fold_v};
    made.pieces.push_back({.alpha_a = greatest_a, .beta_s = 0, .upto_v = -fold_v});
    made.pieces.push_back({.alpha_a = 0, .beta_s = slope_s, .upto_v = fold_v});
    made.pieces.push_back({.alpha_a = -greatest_a, .beta_s = 0, .upto_v = endless});
    return made;
}

void set_power_current(Port& port, double current_a) {
    port.pieces[1].upto_v = current_a / port.pieces[1].beta_s;
    port.pieces[2].alpha_a = -current_a;
}

Network build_network(const model::Harness& harness, const model::Duty& duty, const Variation& variation) {
    return Builder(harness, duty, variation).build();
}

Islands find_islands(Network& network) {
    Merger merger(static_cast<std::size_t>(network.nodes));
    for (const Branch& branch : network.branches)
        merger.join(static_cast<std::size_t>(branch.a), static_cast<std::size_t>(branch.b));
    Islands islands;
    islands.of.assign(static_cast<std::size_t>(network.nodes), -1);
    for (std::size_t n = 0; n < islands.of.size(); ++n) {
        const std::size_t root = merger.root(n);
        if (root == n) {
            islands.of[n] = static_cast<int>(islands.local_zero.size());
            islands.local_zero.push_back(static_cast<int>(n));
        } else {
            islands.of[n] = islands.of[root];
        }
    }
    const auto island = [&](int node) -> int { return islands.of[static_cast<std::size_t>(node)]; };
    for (auto port = network.ports.rbegin(); port != network.ports.rend(); ++port)
        if (port->kind == PortKind::battery || port->kind == PortKind::generator)
            islands.local_zero[static_cast<std::size_t>(island(port->minus))] = port->minus;
    islands.main = island(network.reference);
    islands.local_zero[static_cast<std::size_t>(islands.main)] = network.reference;
    for (Port& port : network.ports)
        if (island(port.sense_plus) != island(port.plus))
            port.sense_plus = port.plus;
    return islands;
}

} // namespace stoutloom::solve
