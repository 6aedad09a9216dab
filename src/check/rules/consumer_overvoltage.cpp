// consumer-overvoltage. Does any consumer get more volts than it is made for while the unit charges?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

namespace stoutloom::check {
namespace {

// Lamps and modules of a 12 V system are made for about 15 V all day.
constexpr double greatest_for_12_v = 15.0;

std::vector<std::string> judged(const Facts& facts) {
    return consumers(facts);
}

void judge(const Facts& facts, Judgements& judgements) {
    const double limit_v = greatest_for_12_v * facts.harness->nominal_v.value / 12;
    for (const model::DeviceIndex unit : devices_of(*facts.harness, model::DeviceKind::consumer)) {
        const model::Device& device = facts.harness->device(unit);
        std::optional<model::DutyIndex> duty;
        double volts_v = 0;
        bool any = false;
        for (const SolvedDuty& solved : facts.duties) {
            if (!solved.point)
                continue;
            any = true;
            const solve::DeviceState& state = solved.point->devices[model::at(unit)];
            if (state.running && (!duty || state.volts_v > volts_v)) {
                duty = solved.duty;
                volts_v = state.volts_v;
            }
        }
        Judgement judgement = about(device.id, device.span, {});
        if (!any) {
            judgement.message = fmt::format("{}: no duty could be solved", named(device));
            judgements.cannot_tell(for_want_of_duties(facts, std::move(judgement)));
            continue;
        }
        if (!duty) {
            judgement.message = fmt::format("{} runs in no solved duty", named(device));
            judgements.passes(std::move(judgement));
            continue;
        }
        judgement.duty = duty_name(*facts.harness, *duty);
        judgement = with_figures(std::move(judgement), {.computed = volts_v, .limit = limit_v}, "V",
                                 "15 V for 12 V nominal, common practice, no source");
        judgement.message =
            fmt::format("{} stands at {} in duty {}; {} is what such parts are made for", named(device),
                        volts_up(volts_v), judgement.duty, volts_down(limit_v));
        if (exceeds(volts_v, limit_v))
            judgements.fails(std::move(judgement));
        else
            judgements.passes(std::move(judgement));
    }
}

} // namespace

extern const Rule rule_consumer_overvoltage;
const Rule rule_consumer_overvoltage{
    .slug = "consumer-overvoltage",
    .usual = Severity::warning,
    .asks = "Does any consumer get more volts than it is made for while the unit charges?",
    .source = "common practice, no source: 15.0 V all day for 12 V parts, in proportion for others",
    .cure =
        "feed the consumer from the battery's end of the charging cable, or lose fewer volts in that cable",
    .explanation =
        R"(A regulator that senses at the far battery raises its own stud by whatever the cable between loses. That is good
for the battery and bad for every consumer fed near the unit: it gets set point plus drop.
Example: set point 14.4 V at the battery, 90 A through a shared starter cable and its switch, 0.8 V lost: lamps
fed from the unit's end stand at 15.2 V and do not last. Feed them from the battery, or spend the copper.
)",
    .subjects = judged,
    .judge = judge,
};

} // namespace stoutloom::check
