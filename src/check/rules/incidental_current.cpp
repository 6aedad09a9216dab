// incidental-current. Does current run where nobody meant it to?
#include "check/words.h"
#include "physics/shorttime.h"

#include <fmt/format.h>

#include <cmath>

namespace stoutloom::check {
namespace {

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const model::Incidental& path : facts.harness->incidentals)
        ids.push_back(path.id);
    return ids;
}

struct Load {
    std::optional<model::DutyIndex> duty;
    double current_a = 0;
};

void judge(const Facts& facts, Judgements& judgements) {
    const model::Harness& harness = *facts.harness;
    const model::LimitInForce usual = model::limit_in_force(harness, "incidental-current");
    for (std::size_t p = 0; p < harness.incidentals.size(); ++p) {
        const model::Incidental& path = harness.incidentals[p];
        Load load;
        for (const SolvedDuty& solved : facts.duties) {
            if (!solved.point)
                continue;
            const double current_a = std::abs(solved.point->incidental_a[p]);
            if (!load.duty || current_a > load.current_a)
                load = {solved.duty, current_a};
        }
        Judgement judgement = about(path.id, path.span, {});
        const std::string name = path.label.empty() ? path.id : fmt::format("{} \"{}\"", path.id, path.label);
        if (!load.duty) {
            judgement.message = fmt::format("{}: no duty could be solved, so its current is unknown", name);
            judgements.cannot_tell(for_want_of_duties(facts, std::move(judgement)));
            continue;
        }
        const double limit_a = path.rating_a ? path.rating_a->value : usual.value;
        judgement.duty = duty_name(harness, *load.duty);
        judgement = with_figures(std::move(judgement), {.computed = load.current_a, .limit = limit_a}, "A",
                                 path.rating_a ? "this file, its rating" : usual.source);
        judgement.message = fmt::format("{} carries {} in duty {}; {} is what it stands", name,
                                        amps_up(load.current_a), judgement.duty, amps_down(limit_a));
        if (!exceeds(load.current_a, limit_a)) {
            judgements.passes(std::move(judgement));
            continue;
        }
        const model::Duty& duty = harness.duty(*load.duty);
        if (path.section_mm2 && duty.duration_s) {
            // Nobody cools it: all heat stays in the metal. Copper's figures, so steel gets hotter than told.
            const double end_degc = physics::adiabatic_final_degc(
                40, path.section_mm2->value, load.current_a * load.current_a * duty.duration_s->value);
            judgement.message +=
                fmt::format(", at least {} after {} s", degc_down(end_degc),
                            base::shown_number(duty.duration_s->value, 0, base::Rounding::down));
        }
        judgement.yields_to = {"ground-return-missing"};
        judgements.fails(std::move(judgement));
    }
}

} // namespace

extern const Rule rule_incidental_current;
const Rule rule_incidental_current{
    .slug = "incidental-current",
    .usual = Severity::error,
    .asks = "Does current run where nobody meant it to?",
    .source = "common practice, no source: 5 A, or what the file says the part stands",
    .cure = "a thicker strap beside the path, clean metal under its lugs, or insulate the path at one end",
    .explanation =
        R"(Current divides by conductance. A control cable, hinge or bearing that touches both masses takes its share of
every ampere: share = R(strap side) / (R(strap side) + R(path)).
Example: 320 A while cranking, strap and its joints 0.5 mohm, throttle cable 40 mohm: 320 x 0.5 / 40.5 = 4 A.
With a corroded strap of 5 mohm: 320 x 5 / 45 = 36 A, and a thin steel wire smokes in ten seconds. With no strap
at all it gets everything there is.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
