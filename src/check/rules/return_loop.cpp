// return-loop. Does a thin second ground close a loop in which heavy current runs?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::check {
namespace {

using model::CableIndex;

double section_of(const model::Cable& cable) {
    return cable.section_mm2.value * cable.parallel;
}

// Thin cables on the return side whose two ends meet without them.
std::vector<CableIndex> thin_in_loop(const Facts& facts) {
    double thickest_mm2 = 0;
    for (std::size_t c = 0; c < facts.harness->cables.size(); ++c)
        if (facts.topology.side_of_cable[c] == Side::back)
            thickest_mm2 = std::max(thickest_mm2, section_of(facts.harness->cables[c]));
    std::vector<CableIndex> cables;
    for (const CableIndex index : grounds_in_loops(facts)) {
        const model::Cable& cable = facts.harness->cable(index);
        if (!cable.automatic && section_of(cable) <= thin_ground_mm2 &&
            section_of(cable) <= thin_ground_share * thickest_mm2)
            cables.push_back(index);
    }
    return cables;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const CableIndex cable : thin_in_loop(facts))
        ids.push_back(facts.harness->cable(cable).id);
    return ids;
}

// What the units bolted to the cable's own ends put into it; what comes from elsewhere is not its business.
double own_a(const Facts& facts, const model::Cable& cable, const solve::OperatingPoint& point) {
    double sum = 0;
    for (const model::DeviceIndex unit : units_at_ends(*facts.harness, cable))
        sum += std::abs(point.devices[model::at(unit)].current_a);
    return sum;
}

void judge(const Facts& facts, Judgements& judgements) {
    const model::LimitInForce limit = model::limit_in_force(*facts.harness, "incidental-current");
    for (const CableIndex index : thin_in_loop(facts)) {
        const model::Cable& cable = facts.harness->cable(index);
        Judgement judgement = about(cable.id, cable.span, {});
        std::optional<model::DutyIndex> duty;
        double strange_a = 0;
        for (const SolvedDuty& solved : facts.duties) {
            if (!solved.point)
                continue;
            const double here_a = std::abs(solved.point->cables[model::at(index)].current_a) -
                                  own_a(facts, cable, *solved.point);
            if (!duty || here_a > strange_a) {
                duty = solved.duty;
                strange_a = here_a;
            }
        }
        if (!duty) {
            judgement.message = fmt::format("{}: no duty could be solved", cable.id);
            judgements.cannot_tell(for_want_of_duties(facts, std::move(judgement)));
            continue;
        }
        judgement.duty = duty_name(*facts.harness, *duty);
        judgement =
            with_figures(std::move(judgement), {.computed = std::max(strange_a, 0.0), .limit = limit.value},
                         "A", limit.source);
        judgement.message =
            fmt::format("{} closes a loop of grounds and carries {} of other units' current in duty {}",
                        with_section(cable), amps_up(std::max(strange_a, 0.0)), judgement.duty);
        if (exceeds(strange_a, limit.value))
            judgements.fails(std::move(judgement));
        else
            judgements.passes(std::move(judgement));
    }
}

} // namespace

extern const Rule rule_return_loop;
const Rule rule_return_loop{
    .slug = "return-loop",
    .usual = Severity::warning,
    .asks = "Does a thin second ground close a loop in which heavy current runs?",
    .source = "common practice, no source: 5 A of somebody else's current, the limit of an incidental path",
    .cure = "ground that unit at one point only, or make the thin cable part of the return by giving it the "
            "copper",
    .explanation =
        R"(A unit grounded twice, by its own wire to the battery and by its case or a second wire to the body, ties the two
points together with that wire. Any volts between them drive the starter's and the charger's current through it.
Asked are return cables of at most 10 mm2, and at most a quarter of the thickest, whose ends meet without them as
well, for the current that does not come from a unit bolted to their own ends.
Example: body and battery stand 0.3 V apart while cranking; 2 m of 2.5 mm2 (15 mohm) between them carry 20 A.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
