// cable-short-duty. Does any cable pass its insulation class in a short duty such as cranking?
#include "check/short_duty.h"
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

using model::CableIndex;

std::optional<ShortDutyHeat> hottest_peak(const Facts& facts, CableIndex index) {
    std::optional<ShortDutyHeat> hottest;
    for (const ShortDutyHeat& heat : short_duty_heat(facts, index))
        if (!hottest || heat.peak_degc > hottest->peak_degc)
            hottest = heat;
    return hottest;
}

std::string seconds_down(double time_s) {
    return base::shown_down(time_s, time_s < 10 ? 1 : 0, "s");
}

bool any_short_duty(const Facts& facts) {
    return std::any_of(facts.duties.begin(), facts.duties.end(), [&](const SolvedDuty& solved) {
        return solved.point && !is_continuous(facts.harness->duty(solved.duty));
    });
}

std::vector<std::string> subjects(const Facts& facts) {
    return any_short_duty(facts) ? rated_cables(facts) : std::vector<std::string>{};
}

void judge(const Facts& facts, Judgements& judgements) {
    const model::Harness& harness = *facts.harness;
    if (!any_short_duty(facts))
        return;
    for (std::size_t c = 0; c < harness.cables.size(); ++c) {
        const auto index = static_cast<CableIndex>(c);
        const model::Cable& cable = harness.cables[c];
        if (too_warm_without_current(facts, index))
            continue;
        Judgement judgement = about(cable.id, cable.span, {});
        const auto peak = hottest_peak(facts, index);
        if (cable.automatic || !peak) {
            judgement.message =
                fmt::format("{} has no section that can be rated, so no peak can be told", cable.id);
            judgements.cannot_tell(std::move(judgement));
            continue;
        }
        const double class_degc = cable.insulation.class_degc;
        const model::Duty& duty = harness.duty(peak->duty);
        judgement.duty = duty.id;
        judgement.values = {{"current_a", peak->current_a}, {"start_degc", peak->start_degc}};
        if (peak->time_to_class_s)
            judgement.values["time_to_class_s"] = *peak->time_to_class_s;
        judgement = with_figures(std::move(judgement), {.computed = peak->peak_degc, .limit = class_degc},
                                 "degC", fmt::format("insulation class {}", cable.insulation.text));
        if (!exceeds(peak->peak_degc, class_degc)) {
            judgement.message =
                fmt::format("{} reaches {} in duty {}, insulation {} stands {}", with_section(cable),
                            degc_up(peak->peak_degc), duty.id, cable.insulation.text, degc_down(class_degc));
            judgements.passes(std::move(judgement));
            continue;
        }
        judgement.message =
            fmt::format("{} starts at {} and reaches {} after {} s of {} in duty {}; insulation {} stands {}",
                        with_section(cable), degc_up(peak->start_degc), degc_up(peak->peak_degc),
                        base::shown_number(duty.duration_s->value, 0, base::Rounding::up),
                        amps_up(peak->current_a), duty.id, cable.insulation.text, degc_down(class_degc));
        if (peak->time_to_class_s)
            judgement.message += fmt::format(", passed after {}", seconds_down(*peak->time_to_class_s));
        judgements.fails(std::move(judgement));
    }
}

} // namespace

extern const Rule rule_cable_short_duty;
const Rule rule_cable_short_duty{
    .slug = "cable-short-duty",
    .usual = Severity::error,
    .asks = "Does any cable pass its insulation class in a short duty such as cranking?",
    .source = "lumped heat capacity of copper 3.45 J/(K m mm2) with loss after IEC 60287; classes ISO 6722-1",
    .cure = "more copper, a higher insulation class, or shorter duty",
    .explanation = R"(In a few seconds a cable has no time to shed heat: the copper itself soaks it up.
Warming per second = I x I x R / (3.45 x S), R in ohm per metre, S in mm2, 3.45 J to warm a metre by a kelvin
for each mm2. Loss to the air is counted too; it matters after a minute or so.
Example: 500 A in 16 mm2 for 10 s, starting at 60 degC: R at 60 degC = 1.16 x 1.157 = 1.34 mohm/m;
500 x 500 x 0.00134 / (3.45 x 16) = 6.1 K each second, 61 K in 10 s and a little more as R rises, a tenth or so
less for what wall and air take: about 120 degC. Class B stands 100 degC: too little copper, although 35 mm2 would
warm by about 13 K only.
The start is the warmer of the zone and the cable's worst all-day duty.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
