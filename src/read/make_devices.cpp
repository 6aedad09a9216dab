// Devices: batteries, charging units, consumers, contacts, fuse-links, posts, masses.
#include "read/making.h"

#include "base/quantity.h"

#include <fmt/format.h>

#include <array>

namespace stoutloom::read {
namespace {

model::Battery battery(Making& making, const Node& node, const std::string& id) {
    model::Battery made;
    if (const auto capacity = making.written(node, "capacity"))
        made.capacity_ah = *capacity;
    made.cold_cranking_a = making.written(node, "cold-cranking");
    made.resistance_ohm = making.written(node, "resistance");
    made.emf_v = making.written(node, "emf");
    made.acceptance_a = making.written(node, "acceptance");
    made.kind = word_of(node, "kind", model::BatteryKind::flooded);
    if (node.mentioned("kind") == nullptr)
        making.assume(id, "kind flooded", "the file gives no kind");
    if (node.mentioned("resistance") == nullptr)
        making.assume(id,
                      node.mentioned("cold-cranking") != nullptr
                          ? "internal resistance from the cold-cranking current"
                          : "internal resistance from the capacity",
                      "no measured resistance is given");
    if (node.mentioned("acceptance") == nullptr)
        making.assume(id, "charging current from kind and capacity", "the file gives no acceptance");
    return made;
}

model::Output output(Making& making, const Node& node, const std::string& id) {
    model::Output made;
    made.span = node.tag;
    if (const GivenAttribute* speed = node.given("speed")) {
        constexpr std::array<std::string_view, 3> names = {"idle", "cruise", "rated"};
        for (std::size_t i = 0; i < names.size(); ++i)
            if (names.at(i) == speed->value.text)
                made.speed = static_cast<model::Speed>(i);
        if (!made.speed)
            made.shaft_rpm = making.written(node, "speed");
    }
    if (const auto cold = making.written(node, "cold"))
        made.cold_a = *cold;
    // The same shares as physics::assumed_hot_a; common practice, no source.
    const double share = made.speed == model::Speed::idle ? 0.67 : 0.80;
    const double hot_a = share * made.cold_a.value;
    made.hot_a = making.written_or(
        node, "hot", hot_a, id, base::shown_down(hot_a, 0, "A"),
        fmt::format("at {}: no hot figure is given; {} of the cold one", node.text("speed"), share));
    if (made.hot_a.value > made.cold_a.value && made.cold_a.given)
        making.complaints.meaning(
            "hot-above-cold", place_of(node, "hot"),
            fmt::format("hot output {} is above cold output {}", made.hot_a.text, made.cold_a.text),
            "a hot unit gives less; swap or mend the two");
    return made;
}

void check_speeds(Making& making, const Node& node, const model::Generator& made) {
    const auto outputs = making.children(node, "output");
    for (std::size_t i = 0; i < made.outputs.size(); ++i)
        for (std::size_t j = 0; j < i; ++j) {
            const model::Output& a = made.outputs[i];
            const model::Output& b = made.outputs[j];
            const bool same_name = a.speed && a.speed == b.speed;
            const bool same_shaft = a.shaft_rpm && b.shaft_rpm && a.shaft_rpm->value == b.shaft_rpm->value;
            if (!same_name && !same_shaft)
                continue;
            making.complaints.meaning(
                "duplicate-speed", place_of(*outputs[i], "speed"),
                fmt::format("output at \"{}\" is given twice", outputs[i]->text("speed")),
                "keep one of them");
            break;
        }
}

model::Generator generator(Making& making, const Node& node, const std::string& id) {
    model::Generator made;
    const double nominal_v = making.harness.nominal_v.value;
    const double set_point_v = 14.2 * making.volts_ratio();
    made.set_point_v =
        making.written_or(node, "set-point", set_point_v, id, base::shown_down(set_point_v, 1, "V"),
                          "no set point is given; usual at this nominal voltage");
    // A unit made for another system is a mistake that a rule judges; this is only what no regulator holds.
    if (made.set_point_v.given &&
        (made.set_point_v.value < nominal_v / 10 || made.set_point_v.value > 10 * nominal_v))
        making.complaints.meaning("out-of-range", made.set_point_v.span,
                                  fmt::format("set point \"{}\" does not fit a nominal {}",
                                              made.set_point_v.text, making.harness.nominal_v.text),
                                  fmt::format("write about {}", base::shown_down(set_point_v, 1, "V")));
    made.temperature_coefficient_v_per_k = making.written(node, "temperature-coefficient");
    made.pulley_ratio = making.written(node, "pulley-ratio");
    made.greatest_shaft_rpm = making.written(node, "greatest-shaft-speed");
    made.belt_power_w = making.written(node, "belt-power");
    for (const Node* child : making.children(node, "output"))
        made.outputs.push_back(output(making, *child, id));
    if (made.outputs.empty())
        making.complaints.meaning("missing-element", node.name,
                                  fmt::format("generator \"{}\" has no output", id),
                                  "add <output speed=\"rated\" cold=\"...\"/>, better one for idle too");
    check_speeds(making, node, made);
    made.case_return = !node.is("return", "isolated");
    if (node.mentioned("return") == nullptr)
        making.assume(id, "return through its case", "the file gives no return");
    made.self_limiting = node.yes("self-limiting", true);
    if (node.mentioned("self-limiting") == nullptr)
        making.assume(id, "limits its own current", "usual for a unit with a built-in regulator");
    made.exciter_resistance_ohm = making.written_or(node, "exciter-resistance", 8, id, "8 ohm", "");
    return made;
}

model::Starter starter(Making& making, const Node& node, const std::string& id) {
    model::Starter made;
    if (const auto draw = making.written(node, "draw"))
        made.current_a = *draw;
    made.inrush_a = making.written(node, "inrush");
    made.case_return = !node.is("return", "wire");
    if (node.mentioned("return") == nullptr)
        making.assume(id, "return through its case", "the file gives no return");
    return made;
}

model::Consumer consumer(Making& making, const Node& node) {
    model::Consumer made;
    constexpr std::array<std::string_view, 3> demands = {"draw", "power", "resistance"};
    int given = 0;
    for (std::size_t i = 0; i < demands.size(); ++i) {
        if (node.mentioned(demands.at(i)) == nullptr)
            continue;
        if (++given > 1)
            making.complaints.meaning(
                "demand", place_of(node, demands.at(i)),
                fmt::format("\"{}\" has both {} and another demand", node.text("id"), demands.at(i)),
                "keep one of draw, power and resistance");
        made.demand = static_cast<model::Demand>(i);
        if (const auto amount = making.written(node, demands.at(i)))
            made.amount = *amount;
    }
    if (given == 0)
        making.complaints.meaning("demand", node.name,
                                  fmt::format("\"{}\" takes no current", node.text("id")),
                                  "give it one of draw=\"12 A\", power=\"55 W\", resistance=\"0.5 ohm\"");
    made.inrush_a = making.written(node, "inrush");
    made.runs = word_of(node, "runs", model::Runs::engine_on);
    if (node.mentioned("runs") == nullptr)
        making.assume(node.text("id"), "runs while the engine does", "the file does not say when it runs");
    made.switchable = node.yes("switchable", true);
    made.critical = node.yes("critical");
    made.symbol = word_of(node, "symbol", model::ConsumerSymbol::general);
    made.case_return = node.is("return", "case");
    return made;
}

model::Switch switch_data(Making& making, const Node& node, const std::string& id) {
    return {.closes = word_of(node, "closes", model::Closes::always),
            .rating_a = making.written(node, "rating"),
            .intermittent_a = making.written(node, "intermittent"),
            .resistance_ohm = making.written_or(node, "resistance", 0.2e-3, id, "0.2 mohm",
                                                "no contact resistance is given")};
}

model::Relay relay(Making& making, const Node& node, const std::string& id) {
    // The same coil power at any voltage: resistance goes with its square.
    const double coil_ohm = 80 * making.volts_ratio() * making.volts_ratio();
    return {.closes = word_of(node, "closes", model::Closes::key_on),
            .rating_a = making.written(node, "rating"),
            .coil_ohm = making.written_or(node, "coil", coil_ohm, id, base::shown_resistance(coil_ohm),
                                          "no coil resistance is given"),
            .resistance_ohm =
                making.written_or(node, "resistance", 1e-3, id, "1 mohm", "no contact resistance is given")};
}

model::FuseLink fuse_link(Making& making, const Node& node, const std::string& id) {
    model::FuseLink made;
    made.type = node.text("type", "SF51");
    if (node.mentioned("type") == nullptr)
        making.assume(id, "type SF51", "bolted strip link, the usual charging fuse-link");
    made.automatic = node.is("rating", "auto");
    if (const auto rating = making.written(node, "rating"))
        made.rating_a = *rating;
    made.resistance_ohm = making.written(node, "resistance");
    made.breaking_capacity_a = making.written(node, "breaking-capacity");
    return made;
}

model::Mass mass(Making& making, const Node& node, const std::string& id) {
    model::Mass made;
    made.aluminium = node.is("metal", "aluminium");
    made.resistance_ohm =
        making.written_or(node, "resistance", 0.1e-3, id, "0.1 mohm", "no resistance of its metal is given");
    return made;
}

model::Shunt shunt(Making& making, const Node& node) {
    model::Shunt made;
    if (const auto resistance = making.written(node, "resistance"))
        made.resistance_ohm = *resistance;
    made.rating_a = making.written(node, "rating");
    return made;
}

std::optional<std::variant<model::Battery, model::Generator, model::Starter, model::Consumer, model::Switch,
                           model::Relay, model::FuseLink, model::Post, model::Mass, model::Shunt>>
device_data(Making& making, const Node& node, const std::string& id) {
    const std::string_view name = node.row->name;
    if (name == "battery")
        return battery(making, node, id);
    if (name == "generator")
        return generator(making, node, id);
    if (name == "starter")
        return starter(making, node, id);
    if (name == "consumer")
        return consumer(making, node);
    if (name == "switch")
        return switch_data(making, node, id);
    if (name == "relay")
        return relay(making, node, id);
    if (name == "fuse-link")
        return fuse_link(making, node, id);
    if (name == "post")
        return model::Post{.jump_start = node.yes("jump-start")};
    if (name == "mass")
        return mass(making, node, id);
    if (name == "shunt")
        return shunt(making, node);
    return std::nullopt;
}

bool returns_through_case(const model::Device& device) {
    if (const auto* generator = std::get_if<model::Generator>(&device.data))
        return generator->case_return;
    if (const auto* starter = std::get_if<model::Starter>(&device.data))
        return starter->case_return;
    if (const auto* consumer = std::get_if<model::Consumer>(&device.data))
        return consumer->case_return;
    return false;
}

// A part without a zone: the only one, or the hottest to be safe. A mass may reach through all of them.
void place_device(Making& making, const Node& node, model::Device& device) {
    device.zone = zone_of(making, node);
    if (device.zone || node.mentioned("zone") != nullptr || making.harness.zones.empty())
        return;
    if (making.harness.zones.size() > 1 && device.kind() == model::DeviceKind::mass)
        return;
    device.zone = hottest_zone(making);
    const std::string& zone = making.harness.zone(*device.zone).id;
    making.assume(device.id, "zone " + zone,
                  making.harness.zones.size() == 1 ? "the only zone"
                                                   : "no zone is given; the hottest one is the safe side");
}

void seat(Making& making, const Node& node, model::Device& device) {
    const bool through_case = returns_through_case(device);
    const GivenAttribute* mass = node.given("mass");
    if (!through_case) {
        if (mass == nullptr)
            return;
        making.complaints.meaning("seat", mass->span,
                                  fmt::format("{} \"{}\" names a mass but does not return through its case",
                                              node.row->name, device.id),
                                  "write return=\"case\", or take the mass out and run a return cable");
        return;
    }
    if (mass != nullptr) {
        const auto found = making.devices.find(mass->value.text);
        if (found != making.devices.end())
            device.seat = found->second;
    } else if (node.mentioned("mass") == nullptr) {
        making.complaints.meaning(
            "seat", node.name,
            fmt::format("{} \"{}\" returns through its case but names no mass", node.row->name, device.id),
            fmt::format("add mass=\"...\", the id of the metal it is bolted to, or return=\"{}\"",
                        node.row->name == "generator" ? "isolated" : "wire"));
    }
}

void sense(Making& making, const Node& node, model::Device& device) {
    auto* generator = std::get_if<model::Generator>(&device.data);
    if (generator == nullptr)
        return;
    generator->sense = terminal_at(making, node, "sense", false);
}

} // namespace

void make_devices(Making& making) {
    std::vector<const Node*> nodes;
    for (const std::uint32_t index : making.root().children) {
        const Node& node = making.form.nodes[index];
        std::string id = node.text("id");
        auto data = device_data(making, node, id);
        if (!data)
            continue;
        model::Device device;
        device.label = node.text("label", id);
        device.id = std::move(id);
        device.data = std::move(*data);
        device.span = node.tag;
        place_device(making, node, device);
        const auto place = static_cast<model::DeviceIndex>(making.harness.devices.size());
        if (!device.id.empty())
            making.devices.emplace(device.id, place);
        making.harness.devices.push_back(std::move(device));
        nodes.push_back(&node);
    }
    // Seats need every mass, sense points every terminal.
    for (std::size_t i = 0; i < nodes.size(); ++i)
        seat(making, *nodes[i], making.harness.devices[i]);
    for (std::size_t i = 0; i < nodes.size(); ++i)
        make_terminals(making, *nodes[i], static_cast<model::DeviceIndex>(i));
    for (std::size_t i = 0; i < nodes.size(); ++i)
        sense(making, *nodes[i], making.harness.devices[i]);
}

} // namespace stoutloom::read
