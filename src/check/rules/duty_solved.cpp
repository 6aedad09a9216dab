// duty-solved. Has every duty a steady state that could be computed?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

void judge(const Facts& facts, Judgements& judgements) {
    for (const SolvedDuty& solved : facts.duties) {
        const model::Duty& duty = facts.harness->duty(solved.duty);
        Judgement judgement = about(duty.id, duty.span, {});
        judgement.duty = duty.id;
        if (solved.point) {
            judgement.message = fmt::format("duty {} has a steady state, found in {} rounds", duty.id,
                                            solved.point->thermal_rounds);
            judgements.passes(std::move(judgement));
            continue;
        }
        for (const std::string& subject :
             solved.unsolved ? solved.unsolved->subjects : std::vector<std::string>{})
            judgement.subjects.push_back(subject);
        judgement.message = fmt::format("duty {} could not be solved: {}", duty.id,
                                        solved.unsolved ? solved.unsolved->message : "no reason given");
        if (std::any_of(facts.harness->cables.begin(), facts.harness->cables.end(),
                        [](const model::Cable& cable) { return cable.automatic; }))
            judgement.cure = "write a section, or let the size command choose one";
        judgements.cannot_tell(std::move(judgement));
    }
}

} // namespace

extern const Rule rule_duty_solved;
const Rule rule_duty_solved{
    .slug = "duty-solved",
    .usual = Severity::error,
    .asks = "Has every duty a steady state that could be computed?",
    .source =
        "network theory: a piecewise-linear network of passive parts and limited sources has one solution",
    .cure = "look at the parts named: a section far beyond the tables, a missing connection, a load no cable "
            "can feed",
    .explanation =
        R"(Every other figure rests on the operating point of a duty: the volts at each stud and the amperes in each
cable at running temperature. Currents heat the copper, warm copper has more resistance, and that changes
the currents; the two are computed in turn until nothing moves by more than a millionth.
Example: 160 A in 16 mm2 start from 1.16 mohm/m; at 160 degC the copper has 1.80 mohm/m, so more heat and more drop,
until cable and air agree. With far too little copper they never do.
If that does not settle, there is no answer, and no answer is never a pass: the duty is told here, and a kit
with such a duty is refused until it is mended.
)",
    .subjects = all_duties,
    .judge = judge,
};

} // namespace stoutloom::check
