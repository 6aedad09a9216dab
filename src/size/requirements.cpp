#include "size/requirements.h"

#include "check/subjects.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::size {
namespace {

using check::Facts;
using model::DeviceIndex;
using model::DeviceKind;
using model::Role;
using model::TerminalIndex;
using Ends = std::pair<TerminalIndex, TerminalIndex>;

/// The battery on a unit's net, if it is the only one: with several, the rule's choice among them follows the
/// currents.
std::optional<DeviceIndex> only_battery(const Facts& facts, DeviceIndex unit) {
    const auto plus = model::terminal_of(*facts.harness, unit, Role::positive);
    std::optional<DeviceIndex> found;
    for (const DeviceIndex battery : check::devices_of(*facts.harness, DeviceKind::battery)) {
        const auto live = model::terminal_of(*facts.harness, battery, Role::positive);
        if (!plus || !live || facts.topology.component(*live) != facts.topology.component(*plus))
            continue;
        if (found)
            return std::nullopt;
        found = battery;
    }
    return found;
}

/// Feed and return between a unit and its battery, in the sense in which the unit's current loses volts.
struct Loop {
    Ends feed, back;
};
std::optional<Loop> loop_of(const Facts& facts, DeviceIndex unit, bool charging) {
    const auto battery = only_battery(facts, unit);
    if (!battery)
        return std::nullopt;
    const auto plus = model::terminal_of(*facts.harness, unit, Role::positive);
    const auto minus = model::terminal_of(*facts.harness, unit, Role::negative);
    const auto battery_plus = model::terminal_of(*facts.harness, *battery, Role::positive);
    const auto battery_minus = model::terminal_of(*facts.harness, *battery, Role::negative);
    if (!plus || !minus || !battery_plus || !battery_minus)
        return std::nullopt;
    if (charging)
        return Loop{{*plus, *battery_plus}, {*battery_minus, *minus}};
    return Loop{{*battery_plus, *plus}, {*minus, *battery_minus}};
}

template <class Asked> std::vector<std::size_t> duties_where(const model::Harness& harness, Asked asked) {
    std::vector<std::size_t> duties;
    for (std::size_t d = 0; d < harness.duties.size(); ++d)
        if (asked(harness.duties[d]))
            duties.push_back(d);
    return duties;
}

void add_loop(const Facts& facts, DeviceIndex unit, std::string_view rule,
              const std::vector<std::size_t>& duties, std::vector<DropRequirement>& list) {
    const model::Harness& harness = *facts.harness;
    const std::string& id = harness.device(unit).id;
    const bool charging = rule == "charging-drop";
    const auto loop = loop_of(facts, unit, charging);
    if (!loop || duties.empty() || accepted(harness, rule, id))
        return;
    const auto limit = [&](std::string_view part) {
        return model::limit_in_force(harness,
                                     fmt::format("{}-{}-drop", charging ? "charging" : "cranking", part))
            .value;
    };
    const std::vector<Ends> both = {loop->feed, loop->back};
    // Whichever duty the rule judges, no other loses more on the loop: so the loop's limit holds in every
    // duty.
    list.push_back({.why = fmt::format("{} {}, feed and return together", rule, id),
                    .ways = both,
                    .duties = duties,
                    .limit_v = limit("loop"),
                    .in_heaviest_only = false,
                    .ranked_by = both});
    list.push_back({.why = fmt::format("{} {}, feed", rule, id),
                    .ways = {loop->feed},
                    .duties = duties,
                    .limit_v = limit("feed"),
                    .in_heaviest_only = true,
                    .ranked_by = both});
    list.push_back({.why = fmt::format("{} {}, return", rule, id),
                    .ways = {loop->back},
                    .duties = duties,
                    .limit_v = limit("return"),
                    .in_heaviest_only = true,
                    .ranked_by = both});
}

void add_consumer(const Facts& facts, DeviceIndex unit, std::vector<DropRequirement>& list) {
    const model::Harness& harness = *facts.harness;
    const std::string& id = harness.device(unit).id;
    const auto loop = loop_of(facts, unit, false);
    if (!loop || accepted(harness, "consumer-drop", id))
        return;
    if (facts.topology.side_of_terminal[model::at(loop->back.first)] != check::Side::back)
        return;
    const bool critical = std::get<model::Consumer>(harness.device(unit).data).critical;
    const double share = model::limit_in_force(harness, critical ? "critical-drop" : "consumer-drop").value;
    list.push_back({.why = "consumer-drop " + id,
                    .ways = {loop->feed, loop->back},
                    .duties = duties_where(harness,
                                           [&](const model::Duty& duty) {
                                               return duty.engine != model::Engine::cranking &&
                                                      model::runs_in(harness, duty, unit);
                                           }),
                    .limit_v = share * harness.nominal_v.value,
                    .in_heaviest_only = false,
                    .ranked_by = {}});
}

void add_own_limits(const model::Harness& harness, std::vector<DropRequirement>& list) {
    for (const model::Limit& limit : harness.limits) {
        if (!limit.from || !limit.to)
            continue;
        const std::string name = fmt::format("{} to {}", harness.terminal(*limit.from).address,
                                             harness.terminal(*limit.to).address);
        if (accepted(harness, "limit-drop", name))
            continue;
        std::vector<std::size_t> duties;
        for (const model::DutyIndex duty : limit.duties)
            duties.push_back(model::at(duty));
        if (limit.duties.empty())
            duties = duties_where(harness, [](const model::Duty&) { return true; });
        for (const Ends& ends : {Ends{*limit.from, *limit.to}, Ends{*limit.to, *limit.from}})
            list.push_back({.why = "limit-drop " + name,
                            .ways = {ends},
                            .duties = duties,
                            .limit_v = limit.value.value,
                            .in_heaviest_only = false,
                            .ranked_by = {}});
    }
}

/// The metal shifts by no more than the limit on one of the ways, in each duty.
void add_shift(const model::Harness& harness, const std::string& why, const std::vector<Ends>& one_of,
               std::vector<DropRequirement>& list) {
    for (const bool cranking : {false, true})
        list.push_back(
            {.why = why,
             .ways = {one_of.front()},
             .duties = duties_where(harness,
                                    [&](const model::Duty& duty) {
                                        return (duty.engine == model::Engine::cranking) == cranking;
                                    }),
             .limit_v = model::limit_in_force(harness, cranking ? "mass-shift-cranking" : "mass-shift").value,
             .in_heaviest_only = false,
             .ranked_by = {},
             .instead = {one_of.begin() + 1, one_of.end()}});
}

void add_mass_shifts(const Facts& facts, std::vector<DropRequirement>& list) {
    const model::Harness& harness = *facts.harness;
    const std::vector<DeviceIndex> masses = check::devices_of(harness, DeviceKind::mass);
    for (const DeviceIndex mass : masses)
        for (const DeviceIndex other : masses) {
            const std::string& id = harness.device(mass).id;
            const std::string& other_id = harness.device(other).id;
            if (mass == other || accepted(harness, "mass-shift", id) ||
                accepted(harness, "mass-shift", other_id))
                continue;
            add_shift(harness, fmt::format("mass-shift {}", std::min(id, other_id)),
                      {{model::metal_of(harness, mass), model::metal_of(harness, other)}}, list);
        }
}

/// What measures, against the negative of a battery that it hangs together with.
void add_signal_returns(const Facts& facts, const StandingNames& standing,
                        std::vector<DropRequirement>& list) {
    const model::Harness& harness = *facts.harness;
    for (const DeviceIndex unit : check::measuring_units(facts)) {
        const std::string& id = harness.device(unit).id;
        if (standing.contains({"signal-return", id}) || accepted(harness, "signal-return", id))
            continue;
        const auto minus = model::terminal_of(harness, unit, Role::negative);
        std::vector<TerminalIndex> grounds;
        for (const DeviceIndex battery : check::devices_of(harness, DeviceKind::battery)) {
            const auto ground = model::terminal_of(harness, battery, Role::negative);
            if (ground && minus && facts.topology.component(*ground) == facts.topology.component(*minus))
                grounds.push_back(*ground);
        }
        if (grounds.empty())
            continue;
        for (const bool back : {false, true}) {
            std::vector<Ends> ends; // the nearest battery counts: the limit holds against one of them
            ends.reserve(grounds.size());
            for (const TerminalIndex ground : grounds)
                ends.push_back(back ? Ends{ground, *minus} : Ends{*minus, ground});
            add_shift(harness, "signal-return " + id, ends, list);
        }
    }
}

/// By option of a cable; the file's own where nothing is to be chosen.
std::vector<double> sections_of(const model::Harness& harness, const Choices& choices, std::size_t cable) {
    std::vector<double> sections;
    for (const Choice& choice : choices.list)
        if (choice.kind == ChoiceKind::section && choice.index == cable)
            for (const Option& option : choice.options)
                sections.push_back(option.value);
    if (sections.empty())
        sections.push_back(harness.cables[cable].section_mm2.value);
    for (double& section_mm2 : sections)
        section_mm2 *= harness.cables[cable].parallel;
    return sections;
}

void add_grounds(const Facts& facts, const Choices& choices, const StandingNames& standing,
                 Requirements& asked) {
    const model::Harness& harness = *facts.harness;
    for (const model::CableIndex index : check::grounds_in_loops(facts)) {
        const model::Cable& cable = harness.cable(index);
        if (!standing.contains({"return-loop", cable.id}) && !accepted(harness, "return-loop", cable.id))
            asked.grounds.push_back({.cable = model::at(index),
                                     .limit_a = model::limit_in_force(harness, "incidental-current").value,
                                     .own = check::units_at_ends(harness, cable)});
    }
    for (std::size_t c = 0; c < harness.cables.size() && !asked.grounds.empty(); ++c)
        if (facts.topology.side_of_cable[c] == check::Side::back)
            asked.returns.push_back({c, sections_of(harness, choices, c)});
}

} // namespace

bool accepted(const model::Harness& harness, std::string_view rule, std::string_view subject) {
    return std::any_of(harness.acceptances.begin(), harness.acceptances.end(),
                       [&](const model::Acceptance& acceptance) {
                           return acceptance.rule == rule && acceptance.subject == subject;
                       });
}

Requirements requirements_of(const Facts& facts, const Choices& choices, const StandingNames* standing) {
    const model::Harness& harness = *facts.harness;
    Requirements asked;
    std::vector<DropRequirement>& list = asked.drops;
    const auto running =
        duties_where(harness, [](const model::Duty& duty) { return check::engine_running(duty); });
    const auto cranking =
        duties_where(harness, [](const model::Duty& duty) { return duty.engine == model::Engine::cranking; });
    for (const DeviceIndex unit : check::devices_of(harness, DeviceKind::generator))
        add_loop(facts, unit, "charging-drop", running, list);
    for (const DeviceIndex unit : check::devices_of(harness, DeviceKind::starter))
        add_loop(facts, unit, "cranking-drop", cranking, list);
    for (const DeviceIndex unit : check::devices_of(harness, DeviceKind::consumer))
        add_consumer(facts, unit, list);
    add_own_limits(harness, list);
    add_mass_shifts(facts, list);
    if (standing != nullptr) {
        add_signal_returns(facts, *standing, list);
        add_grounds(facts, choices, *standing, asked);
    }
    return asked;
}

} // namespace stoutloom::size
