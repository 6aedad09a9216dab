#include "check/subjects.h"

#include <algorithm>

namespace stoutloom::check {
namespace {

using model::CableIndex;
using model::DeviceIndex;
using model::DeviceKind;
using model::Role;

std::vector<std::string> ids_of(const Facts& facts, DeviceKind kind) {
    std::vector<std::string> ids;
    for (const DeviceIndex d : devices_of(*facts.harness, kind))
        ids.push_back(facts.harness->device(d).id);
    return ids;
}

template <class Keep> std::vector<std::string> cables_that(const Facts& facts, Keep keep) {
    std::vector<std::string> ids;
    for (std::size_t c = 0; c < facts.harness->cables.size(); ++c)
        if (keep(static_cast<CableIndex>(c)))
            ids.push_back(facts.harness->cables[c].id);
    return ids;
}

} // namespace

std::vector<DeviceIndex> devices_of(const model::Harness& harness, DeviceKind kind) {
    std::vector<DeviceIndex> found;
    for (std::size_t d = 0; d < harness.devices.size(); ++d)
        if (harness.devices[d].kind() == kind)
            found.push_back(static_cast<DeviceIndex>(d));
    return found;
}

std::vector<std::string> all_cables(const Facts& facts) {
    return cables_that(facts, [](CableIndex) { return true; });
}

std::vector<std::string> live_cables(const Facts& facts) {
    return cables_that(
        facts, [&](CableIndex c) { return facts.topology.side_of_cable[model::at(c)] == Side::feed; });
}

bool too_warm_without_current(const Facts& facts, CableIndex cable) {
    const model::Cable& about = facts.harness->cable(cable);
    for (const model::CableEnd* end : {&about.from, &about.to})
        if (end->joint_degc && end->joint_degc->value >= about.insulation.class_degc)
            return true;
    return std::any_of(about.segments.begin(), about.segments.end(), [&](const model::Segment& segment) {
        const model::Zone& zone = facts.harness->zone(segment.zone);
        return zone.ambient_degc.value + zone.radiant_k.value >= about.insulation.class_degc;
    });
}

std::vector<std::string> rated_cables(const Facts& facts) {
    return cables_that(facts, [&](CableIndex c) { return !too_warm_without_current(facts, c); });
}

std::vector<std::string> fuse_links(const Facts& facts) {
    return ids_of(facts, DeviceKind::fuse_link);
}
std::vector<std::string> batteries(const Facts& facts) {
    return ids_of(facts, DeviceKind::battery);
}
std::vector<std::string> generators(const Facts& facts) {
    return ids_of(facts, DeviceKind::generator);
}
std::vector<std::string> starters(const Facts& facts) {
    return ids_of(facts, DeviceKind::starter);
}
std::vector<std::string> consumers(const Facts& facts) {
    return ids_of(facts, DeviceKind::consumer);
}

std::vector<std::string> all_duties(const Facts& facts) {
    std::vector<std::string> ids;
    for (const model::Duty& duty : facts.harness->duties)
        ids.push_back(duty.id);
    return ids;
}

std::vector<std::string> all_landings(const Facts& facts) {
    std::vector<std::string> ids;
    for (const LandingVerdict& landing : facts.landings)
        ids.push_back(landing.id);
    return ids;
}

std::vector<std::string> used_terminals(const Facts& facts) {
    std::vector<bool> used(facts.harness->terminals.size(), false);
    for (const model::Cable& cable : facts.harness->cables)
        for (const model::CableEnd* end : {&cable.from, &cable.to})
            used[model::at(end->at)] = true;
    std::vector<std::string> addresses;
    for (std::size_t t = 0; t < used.size(); ++t)
        if (used[t])
            addresses.push_back(facts.harness->terminals[t].address);
    return addresses;
}

std::vector<DeviceIndex> units_with_return(const model::Harness& harness) {
    std::vector<DeviceIndex> units;
    for (std::size_t d = 0; d < harness.devices.size(); ++d) {
        const DeviceKind kind = harness.devices[d].kind();
        if (kind == DeviceKind::generator || kind == DeviceKind::starter || kind == DeviceKind::consumer)
            units.push_back(static_cast<DeviceIndex>(d));
    }
    return units;
}

std::vector<bool> nodes_at_battery_negative(const Facts& facts) {
    const Topology& topology = facts.topology;
    std::vector<bool> component(static_cast<std::size_t>(topology.node_count), false);
    for (const DeviceIndex battery : devices_of(*facts.harness, DeviceKind::battery))
        if (const auto minus = model::terminal_of(*facts.harness, battery, Role::negative))
            component[static_cast<std::size_t>(topology.component(*minus))] = true;
    std::vector<bool> nodes;
    for (const int here : topology.component_of_node)
        nodes.push_back(component[static_cast<std::size_t>(here)]);
    return nodes;
}

bool has_metal_return(const Facts& facts, DeviceIndex device, const std::vector<bool>& at_negative) {
    const auto minus = model::terminal_of(*facts.harness, device, Role::negative);
    if (!minus)
        return false;
    if (at_negative[static_cast<std::size_t>(facts.topology.node(*minus))])
        return true;
    for (std::size_t t = 0; t < facts.harness->terminals.size(); ++t) {
        const model::Terminal& terminal = facts.harness->terminals[t];
        if (terminal.role == Role::excite &&
            facts.harness->device(terminal.device).kind() == DeviceKind::generator &&
            facts.topology.component(static_cast<model::TerminalIndex>(t)) ==
                facts.topology.component(*minus))
            return true;
    }
    return false;
}

std::vector<DeviceIndex> measuring_units(const Facts& facts) {
    const std::vector<bool> at_negative = nodes_at_battery_negative(facts);
    std::vector<DeviceIndex> units;
    for (const DeviceIndex unit : devices_of(*facts.harness, DeviceKind::consumer))
        if (std::get<model::Consumer>(facts.harness->device(unit).data).symbol ==
                model::ConsumerSymbol::electronics &&
            has_metal_return(facts, unit, at_negative))
            units.push_back(unit);
    return units;
}

std::vector<CableIndex> grounds_in_loops(const Facts& facts) {
    std::vector<CableIndex> cables;
    for (std::size_t c = 0; c < facts.harness->cables.size(); ++c) {
        const model::Cable& cable = facts.harness->cables[c];
        if (facts.topology.side_of_cable[c] != Side::back)
            continue;
        const auto index = static_cast<CableIndex>(c);
        const auto without = reached_from(facts.topology, facts.topology.node(cable.from.at),
                                          [&](const Link& link) { return link.cable != index; });
        if (without[static_cast<std::size_t>(facts.topology.node(cable.to.at))])
            cables.push_back(index);
    }
    return cables;
}

std::vector<DeviceIndex> units_at_ends(const model::Harness& harness, const model::Cable& cable) {
    std::vector<DeviceIndex> units;
    for (const DeviceIndex unit : units_with_return(harness)) {
        const auto minus = model::terminal_of(harness, unit, Role::negative);
        if (minus && (*minus == cable.from.at || *minus == cable.to.at))
            units.push_back(unit);
    }
    return units;
}

bool has_feed(const Facts& facts, DeviceIndex device) {
    const auto plus = model::terminal_of(*facts.harness, device, Role::positive);
    return plus && facts.topology.side_of_terminal[model::at(*plus)] == Side::feed;
}

} // namespace stoutloom::check
