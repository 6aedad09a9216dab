// isolated-return. Does an isolated-return unit come back by cable alone, and not through somebody's metal?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <numeric>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;
using model::DeviceKind;

// Isolated units with a metal way back; a missing one is told by ground-return-missing.
std::vector<DeviceIndex> isolated_units(const Facts& facts) {
    const std::vector<bool> at_negative = nodes_at_battery_negative(facts);
    std::vector<DeviceIndex> units;
    for (const DeviceIndex unit : devices_of(*facts.harness, DeviceKind::generator))
        if (!std::get<model::Generator>(facts.harness->device(unit).data).case_return &&
            has_metal_return(facts, unit, at_negative))
            units.push_back(unit);
    return units;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const DeviceIndex unit : isolated_units(facts))
        ids.push_back(facts.harness->device(unit).id);
    return ids;
}

bool on_mass(const Facts& facts, model::TerminalIndex terminal) {
    return facts.harness->device(facts.harness->terminal(terminal).device).kind() == DeviceKind::mass;
}

// Terminals that cables, contacts and posts join, each stud of a mass for itself unless two cables share it.
std::vector<std::size_t> joined_without_masses(const Facts& facts) {
    const model::Harness& harness = *facts.harness;
    std::vector<std::size_t> group(harness.terminals.size());
    std::iota(group.begin(), group.end(), std::size_t{0});
    const auto root = [&](std::size_t item) {
        while (group[item] != item)
            item = group[item];
        return item;
    };
    const auto join = [&](model::TerminalIndex one, model::TerminalIndex other) {
        group[root(model::at(one))] = root(model::at(other));
    };
    for (const model::Cable& cable : harness.cables)
        join(cable.from.at, cable.to.at);
    for (std::size_t d = 0; d < harness.devices.size(); ++d) {
        const model::Device& device = harness.devices[d];
        if (const auto contact = contact_of(harness, static_cast<DeviceIndex>(d)))
            join(contact->first, contact->second);
        if (device.kind() == DeviceKind::post)
            for (const model::TerminalIndex t : device.terminals)
                join(device.terminals.front(), t);
    }
    for (std::size_t item = 0; item < group.size(); ++item)
        group[item] = root(item);
    return group;
}

// The mass on the shortest way back.
std::string mass_on_way(const Facts& facts, DeviceIndex unit) {
    const auto minus = model::terminal_of(*facts.harness, unit, model::Role::negative);
    for (const DeviceIndex battery : devices_of(*facts.harness, DeviceKind::battery)) {
        const auto goal = model::terminal_of(*facts.harness, battery, model::Role::negative);
        const auto way = way_between(facts.topology,
                                     {.from = facts.topology.node(*minus), .to = facts.topology.node(*goal)},
                                     [](const Link&) { return true; });
        for (const std::size_t index : way.value_or(std::vector<std::size_t>{}))
            if (const auto cable = facts.topology.links[index].cable)
                for (const auto terminal :
                     {facts.harness->cable(*cable).from.at, facts.harness->cable(*cable).to.at})
                    if (on_mass(facts, terminal))
                        return facts.harness->device(facts.harness->terminal(terminal).device).id;
    }
    return {};
}

void judge(const Facts& facts, Judgements& judgements) {
    const std::vector<std::size_t> group = joined_without_masses(facts);
    const bool boat = facts.harness->profile == model::Profile::boat;
    for (const DeviceIndex unit : isolated_units(facts)) {
        const model::Device& device = facts.harness->device(unit);
        Judgement judgement = about(device.id, device.span, {});
        const auto minus = model::terminal_of(*facts.harness, unit, model::Role::negative);
        bool by_cable = false;
        for (const DeviceIndex battery : devices_of(*facts.harness, DeviceKind::battery))
            if (const auto goal = model::terminal_of(*facts.harness, battery, model::Role::negative))
                by_cable |= group[model::at(*goal)] == group[model::at(*minus)];
        if (by_cable) {
            judgement.message = fmt::format("{} returns to battery negative by cable alone", named(device));
            judgements.passes(std::move(judgement));
            continue;
        }
        const std::string mass = mass_on_way(facts, unit);
        judgement.message = fmt::format("{} has its own isolated return stud, yet its current comes back "
                                        "through {}",
                                        named(device), mass.empty() ? "the metal of a mass" : mass);
        if (!mass.empty())
            judgement.subjects.push_back(mass);
        judgement.message +=
            boat ? ": the hull's metal and its bonding stand at a live return's volts and corrode"
                 : ": that metal and every joint on it become part of the charging circuit";
        judgement.cure = "a return cable from the unit's B- straight to battery negative";
        judgements.fails(std::move(judgement), boat ? Severity::error : Severity::warning);
    }
}

} // namespace

extern const Rule rule_isolated_return;
const Rule rule_isolated_return{
    .slug = "isolated-return",
    .usual = Severity::error,
    .asks = "Does an isolated-return unit come back by cable alone, and not through somebody's metal?",
    .source =
        "common practice, no source: an isolated negative meets metal at one declared point only; boats "
        "keep it off the hull",
    .cure = "a return cable from the unit's B- to battery negative",
    .explanation =
        R"(A unit with an isolated return is bought so that no charging current runs through the engine or the hull. Out
of habit its B- cable is then bolted to the block. The volts arrive all the same; but the block, its mounts, the
shaft and the bonding now carry the return or stand at its volts: corrosion in a boat, stray current in a vehicle.
Asked is whether cables, posts and contacts alone lead from B- to a battery's negative terminal. It is an error
for the boat profile and a warning for a vehicle.
Example: B- to the block by 0.4 m, block to the body by a strap, body to the battery: 90 A in the mounts' strap.
Cure: 2.5 m of the feed's section from B- to battery negative.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
