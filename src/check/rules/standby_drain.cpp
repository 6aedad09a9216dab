// standby-drain. What does the battery lose while the vehicle stands with the key off?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;

bool is_standby(const model::Duty& duty) {
    return duty.engine == model::Engine::off && !duty.key_on && is_continuous(duty);
}

bool has_question(const Facts& facts) {
    return std::any_of(facts.harness->duties.begin(), facts.harness->duties.end(), is_standby);
}

std::vector<std::string> subjects(const Facts& facts) {
    return has_question(facts) ? batteries(facts) : std::vector<std::string>{};
}

struct Drain {
    std::optional<model::DutyIndex> duty;
    double current_a = 0;
};

void judge(const Facts& facts, Judgements& judgements) {
    if (!has_question(facts))
        return;
    const model::Harness& harness = *facts.harness;
    const model::LimitInForce limit = model::limit_in_force(harness, "standby-current");
    for (const DeviceIndex battery : devices_of(harness, model::DeviceKind::battery)) {
        const model::Device& device = harness.device(battery);
        Drain drain;
        for (const SolvedDuty& solved : facts.duties) {
            if (!solved.point || !is_standby(harness.duty(solved.duty)))
                continue;
            const double current_a = solved.point->devices[model::at(battery)].current_a;
            if (!drain.duty || current_a > drain.current_a)
                drain = {solved.duty, current_a};
        }
        Judgement judgement = about(device.id, device.span, {});
        if (!drain.duty) {
            judgement.message = fmt::format("{}: the key-off duty could not be solved", device.id);
            judgements.cannot_tell(for_want_of_duties(facts, std::move(judgement)));
            continue;
        }
        judgement.duty = duty_name(harness, *drain.duty);
        judgement = with_figures(std::move(judgement), {.computed = drain.current_a, .limit = limit.value},
                                 "A", limit.source);
        judgement.message = fmt::format("{} gives {} with the key off; {} is the limit", device.id,
                                        amps_up(std::max(drain.current_a, 0.0)), amps_down(limit.value));
        if (!exceeds(drain.current_a, limit.value)) {
            judgements.passes(std::move(judgement));
            continue;
        }
        // Half the capacity gone is when an engine may no longer start.
        const double days =
            0.5 * std::get<model::Battery>(device.data).capacity_ah.value / drain.current_a / 24;
        judgement.message +=
            fmt::format(": half its charge is gone in {}", base::shown_down(days, 1, "days"));
        judgements.fails(std::move(judgement));
    }
}

} // namespace

extern const Rule rule_standby_drain;
const Rule rule_standby_drain{
    .slug = "standby-drain",
    .usual = Severity::warning,
    .asks = "What does the battery lose while the vehicle stands with the key off?",
    .source = "common practice, no source: at most 50 mA",
    .cure = "take the consumer or the exciter lead to a switched point",
    .explanation = R"(Days until half the charge is gone = 0.5 x capacity / current / 24 h.
Example: an exciter lead on an always-live point, 8 ohm and a 3 W lamp of 48 ohm: 12.5 / 56 = 0.22 A; 0.5 x 95 Ah
/ 0.22 A / 24 = 9 days. At 50 mA the same battery lasts 40 days.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
