// ground-return-weak. Is every return as thick as the feed it answers?
#include "check/flow.h"
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace stoutloom::check {
namespace {

using model::CableIndex;
using model::DeviceIndex;
using model::DeviceKind;
using model::Role;

std::vector<DeviceIndex> judged_units(const Facts& facts) {
    const std::vector<bool> at_negative = nodes_at_battery_negative(facts);
    std::vector<DeviceIndex> units;
    for (const DeviceIndex unit : units_with_return(*facts.harness)) {
        const auto minus = model::terminal_of(*facts.harness, unit, Role::negative);
        if (has_feed(facts, unit) && has_metal_return(facts, unit, at_negative) &&
            facts.topology.side_of_terminal[model::at(*minus)] == Side::back)
            units.push_back(unit);
    }
    return units;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const DeviceIndex unit : judged_units(facts))
        ids.push_back(facts.harness->device(unit).id);
    return ids;
}

// Copper between a unit's terminal and a battery's, as the section of the narrowest place: parallel ways add
// up.
struct Copper {
    double section_mm2 = 0;
    std::vector<CableIndex> narrowest;
};

Copper copper_between(const Facts& facts, int from, int to) {
    std::vector<Pipe> pipes;
    for (const Link& link : facts.topology.links) {
        double section_mm2 = std::numeric_limits<double>::infinity();
        if (link.cable) {
            const model::Cable& cable = facts.harness->cable(*link.cable);
            section_mm2 = cable.section_mm2.value * cable.parallel;
        }
        pipes.push_back({link.a, link.b, section_mm2});
    }
    const GreatestFlow flow = greatest_flow(facts.topology.node_count, pipes, from, to);
    Copper copper{.section_mm2 = flow.value, .narrowest = {}};
    for (const std::size_t index : flow.cut)
        if (facts.topology.links[index].cable)
            copper.narrowest.push_back(*facts.topology.links[index].cable);
    return copper;
}

// The greatest over batteries: the unit is fed from, and returns to, whichever it is joined to best.
Copper best_copper(const Facts& facts, DeviceIndex unit, Role role) {
    Copper best;
    const int node = facts.topology.node(*model::terminal_of(*facts.harness, unit, role));
    for (const DeviceIndex battery : devices_of(*facts.harness, DeviceKind::battery)) {
        const auto terminal = model::terminal_of(*facts.harness, battery, role);
        if (!terminal)
            continue;
        Copper copper = copper_between(facts, node, facts.topology.node(*terminal));
        if (copper.section_mm2 > best.section_mm2)
            best = std::move(copper);
    }
    return best;
}

// The same thin cable is not to be told twice.
bool over_ampacity(const Facts& facts, const std::vector<CableIndex>& cables) {
    return std::any_of(cables.begin(), cables.end(), [&](CableIndex cable) {
        const std::size_t c = model::at(cable);
        return facts.worst[c].runaway || facts.worst[c].current_a > facts.ratings[c].usable_a;
    });
}

void judge_unit(const Facts& facts, DeviceIndex unit, Judgements& judgements) {
    const model::Device& device = facts.harness->device(unit);
    const Copper feed = best_copper(facts, unit, Role::positive),
                 back = best_copper(facts, unit, Role::negative);
    Judgement judgement = about(device.id, device.span, {});
    if (!std::isfinite(feed.section_mm2) || !std::isfinite(back.section_mm2)) {
        judgement.message = fmt::format(
            "{} sits on the battery's own metal on one side, so there is no cable to compare", named(device));
        judgements.passes(std::move(judgement));
        return;
    }
    std::vector<std::string> names;
    for (const CableIndex cable : back.narrowest)
        names.push_back(facts.harness->cable(cable).id);
    judgement = with_figures(std::move(judgement), {.computed = back.section_mm2, .limit = feed.section_mm2},
                             "mm2", "the feed's own section");
    judgement.message = fmt::format("{} is fed by {} and returns by {} at {}", named(device),
                                    base::shown_section(feed.section_mm2),
                                    base::shown_section(back.section_mm2), listed(names));
    if (back.section_mm2 >= alike_sections * feed.section_mm2) {
        judgements.passes(std::move(judgement));
        return;
    }
    judgement.subjects.insert(judgement.subjects.end(), names.begin(), names.end());
    if (over_ampacity(facts, back.narrowest))
        judgement.yields_to = {"cable-ampacity"};
    judgement.message += ": the return carries the same current as the feed";
    judgement.cure = fmt::format("{} or more at {}, or a second return beside it",
                                 base::shown_section(feed.section_mm2), listed(names));
    judgements.fails(std::move(judgement));
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const DeviceIndex unit : judged_units(facts))
        judge_unit(facts, unit, judgements);
}

} // namespace

extern const Rule rule_ground_return_weak;
const Rule rule_ground_return_weak{
    .slug = "ground-return-weak",
    .usual = Severity::warning,
    .asks = "Is every return as thick as the feed it answers?",
    .source = "common practice, no source: the return carries the feed's current and is sized like it",
    .cure = "a return as thick as the feed",
    .explanation =
        R"(Feed and return are one circuit: the same amperes in both, the same heat, and their drops add up. When only the
red cable is renewed, the old black one or the strap becomes the limit, and the unit's case stands some tenths of
a volt above battery negative.
The section of a way is its narrowest place, cables side by side added up: a flow through the network from the
unit to the battery. Within 5 % counts as equal, so that a gauge and its metric neighbour do not quarrel.
Example: fed by 95 mm2, returning by 95 mm2 to the block, then a strap of 25 mm2, then 35 mm2: the narrowest
place is the strap, 25 < 95. A second strap of 70 mm2 beside it makes 95 and the next place, 35, the narrowest.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
