// What is read off a solved network: volts by terminal, currents and drops by part, what floats, what
// collapsed.
#include "solve/solved.h"
#include "solve/temperatures.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace stoutloom::solve {
namespace {

/// A consumer below this share of nominal volts has no feed: nothing is asked of it.
constexpr double dead_fraction = 1e-3;

CableState cable_state(const model::Duty& duty, const Solved& solved, std::size_t c) {
    const CableParts& parts = solved.parts[c];
    const CableHeat& heat = solved.heat[c];
    CableState state;
    state.current_a = solved.branch_a(solved.network.cable_branch[c]);
    state.segment_degc = peaks_of(parts, heat, state.current_a, duty.duration_s.has_value());
    state.runaway = heat.runaway;
    state.conductor_degc = *std::max_element(state.segment_degc.begin(), state.segment_degc.end());
    const double copper = copper_ohm(parts, heat.segment_degc);
    state.resistance_ohm = copper + parts.end_ohm[0] + parts.end_ohm[1];
    state.copper_drop_v = state.current_a * copper;
    for (const int end : {0, 1})
        state.end_drop_v[end] = state.current_a * parts.end_ohm[end];
    state.drop_v = state.copper_drop_v + state.end_drop_v[0] + state.end_drop_v[1];
    return state;
}

class Reader {
  public:
    Reader(const model::Harness& harness, const model::Duty& duty, const Variation& variation,
           const Sight& sight)
        : harness_(harness), duty_(duty), variation_(variation), solved_(sight) {}
    DeviceState device_state(model::DeviceIndex device, OperatingPoint& point) const;

  private:
    double volts(model::TerminalIndex plus, model::TerminalIndex minus) const {
        const auto a = static_cast<std::size_t>(solved_.network.node_of[model::at(plus)]);
        const auto b = static_cast<std::size_t>(solved_.network.node_of[model::at(minus)]);
        if (solved_.island_of[a] != solved_.island_of[b])
            return std::numeric_limits<double>::quiet_NaN();
        return solved_.node_v[a] - solved_.node_v[b];
    }
    void two_pole(model::DeviceIndex device, DeviceState& state) const;
    void source(model::DeviceIndex device, DeviceState& state) const;
    void load(model::DeviceIndex device, DeviceState& state, OperatingPoint& point) const;
    void contact(model::DeviceIndex device, DeviceState& state) const;
    bool asked_to_run(model::DeviceIndex device) const;

    const model::Harness& harness_;
    const model::Duty& duty_;
    const Variation& variation_;
    const Sight& solved_;
};

bool Reader::asked_to_run(model::DeviceIndex device) const {
    if (harness_.device(device).kind() == model::DeviceKind::starter)
        return duty_.engine == model::Engine::cranking;
    if (!variation_.running)
        return model::runs_in(harness_, duty_, device);
    return std::find(variation_.running->begin(), variation_.running->end(), device) !=
           variation_.running->end();
}

void Reader::two_pole(model::DeviceIndex device, DeviceState& state) const {
    const auto plus = model::terminal_of(harness_, device, model::Role::positive);
    const auto minus = model::terminal_of(harness_, device, model::Role::negative);
    state.volts_v = plus && minus ? volts(*plus, *minus) : std::numeric_limits<double>::quiet_NaN();
}

void Reader::source(model::DeviceIndex device, DeviceState& state) const {
    two_pole(device, state);
    state.regime = Regime::idle;
    // The rectifier's reverse conduction belongs to the same unit.
    for (std::size_t k = 0; k < solved_.picture.ports.size(); ++k) {
        const Port& port = solved_.picture.ports[k];
        if (port.device != device || port.kind == PortKind::fault)
            continue;
        state.current_a += solved_.answer.current_a(solved_.picture, k);
        if (port.kind == PortKind::rectifier)
            continue;
        state.running = true;
        const std::size_t piece = solved_.answer.piece[k];
        if (port.kind == PortKind::battery)
            state.regime = piece == 0 ? Regime::free : Regime::ceiling;
        else if (piece == 0)
            state.regime = Regime::ceiling;
        else
            state.regime = piece == 1 ? Regime::regulating : Regime::idle;
    }
}

void Reader::load(model::DeviceIndex device, DeviceState& state, OperatingPoint& point) const {
    two_pole(device, state);
    state.running = asked_to_run(device);
    state.regime = Regime::idle;
    if (!state.running)
        return;
    const double nominal_v = harness_.nominal_v.value;
    const bool dead = !(std::abs(state.volts_v) > dead_fraction * nominal_v);
    if (const int branch = solved_.network.device_branch[model::at(device)]; branch >= 0) {
        state.current_a = solved_.branch_a(branch);
        if (!dead)
            state.regime = Regime::free;
        return;
    }
    const int k = solved_.network.device_port[model::at(device)];
    if (k < 0)
        return;
    const auto port = static_cast<std::size_t>(k);
    state.current_a = -solved_.answer.current_a(solved_.picture, port);
    if (dead)
        return;
    const double fold_v = solved_.picture.ports[port].fold_v;
    if (solved_.answer.volts[port] >= fold_v) {
        state.regime = Regime::free;
        return;
    }
    // Volts break down under the load itself: a collapse. A lamp between two live points is not asked to
    // shine.
    if (!(volts_without(solved_.picture, solved_.answer, port) < fold_v))
        point.collapsed.push_back(device);
}

void Reader::contact(model::DeviceIndex device, DeviceState& state) const {
    const auto& terminals = harness_.device(device).terminals;
    const int branch = solved_.network.device_branch[model::at(device)];
    state.running = !solved_.is_open(branch);
    if (state.running) {
        const Branch& about = solved_.network.branches[static_cast<std::size_t>(branch)];
        state.volts_v = solved_.branch_a(branch) * about.ohm;
        state.current_a = solved_.branch_a(branch);
    } else if (terminals.size() >= 2) {
        state.volts_v = volts(terminals[0], terminals[1]);
        state.regime = Regime::idle;
    }
}

DeviceState Reader::device_state(model::DeviceIndex device, OperatingPoint& point) const {
    DeviceState state;
    switch (harness_.device(device).kind()) {
    case model::DeviceKind::battery:
    case model::DeviceKind::generator:
        source(device, state);
        break;
    case model::DeviceKind::starter:
    case model::DeviceKind::consumer:
        load(device, state, point);
        break;
    case model::DeviceKind::switch_:
    case model::DeviceKind::relay:
    case model::DeviceKind::fuse_link:
    case model::DeviceKind::shunt:
        contact(device, state);
        break;
    case model::DeviceKind::post:
    case model::DeviceKind::mass:
        state.running = true;
        break;
    }
    return state;
}

} // namespace

bool Sight::is_open(int branch) const {
    return branch < 0 || std::any_of(changed.begin(), changed.end(), [&](const ChangedOhm& one) {
               return one.branch == branch && std::isinf(one.ohm);
           });
}

double Sight::branch_a(int branch) const {
    if (branch < 0)
        return 0;
    const Branch& about = network.branches[static_cast<std::size_t>(branch)];
    double ohm = about.ohm;
    for (const ChangedOhm& one : changed)
        if (one.branch == branch)
            ohm = one.ohm;
    return (node_v[static_cast<std::size_t>(about.a)] - node_v[static_cast<std::size_t>(about.b)]) / ohm;
}

void read_parts(const model::Harness& harness, const model::Duty& duty, const Variation& variation,
                const Sight& sight, OperatingPoint& point) {
    for (std::size_t t = 0; t < harness.terminals.size(); ++t) {
        const auto node = static_cast<std::size_t>(sight.network.node_of[t]);
        const bool floats = sight.island_of[node] != sight.main_island;
        point.terminal_v.push_back(floats ? std::numeric_limits<double>::quiet_NaN() : sight.node_v[node]);
        if (floats)
            point.floating.push_back(static_cast<model::TerminalIndex>(t));
    }
    const Reader reader(harness, duty, variation, sight);
    for (std::size_t d = 0; d < harness.devices.size(); ++d)
        point.devices.push_back(reader.device_state(static_cast<model::DeviceIndex>(d), point));
}

OperatingPoint operating_point_of(const model::Harness& harness, const model::Duty& duty,
                                  const Variation& variation, const Solved& solved) {
    OperatingPoint point;
    point.thermal_rounds = solved.rounds;
    point.regime_changes = solved.changes;
    for (std::size_t c = 0; c < harness.cables.size(); ++c)
        point.cables.push_back(cable_state(duty, solved, c));
    const std::vector<ChangedOhm> nothing;
    read_parts(harness, duty, variation,
               {.network = solved.network,
                .island_of = solved.islands.of,
                .main_island = solved.islands.main,
                .picture = solved.picture,
                .answer = solved.answer,
                .node_v = solved.node_v,
                .changed = nothing},
               point);
    for (const int branch : solved.network.incidental_branch)
        point.incidental_a.push_back(solved.branch_a(branch));
    return point;
}

} // namespace stoutloom::solve
