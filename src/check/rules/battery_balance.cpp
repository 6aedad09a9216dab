// battery-balance. Does the battery gain or lose while the engine idles with everything useful on?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;

bool is_idle(const Facts& facts, const SolvedDuty& solved) {
    const model::Duty& duty = facts.harness->duty(solved.duty);
    return duty.engine == model::Engine::idle && is_continuous(duty);
}

// Nothing to balance without a charging unit and an idling duty.
bool has_question(const Facts& facts) {
    return !devices_of(*facts.harness, model::DeviceKind::generator).empty() &&
           std::any_of(facts.duties.begin(), facts.duties.end(),
                       [&](const SolvedDuty& solved) { return is_idle(facts, solved); });
}

std::vector<std::string> subjects(const Facts& facts) {
    return has_question(facts) ? batteries(facts) : std::vector<std::string>{};
}

// What the batteries give together (positive) or take, and how many ampere-hours they hold.
struct Balance {
    std::optional<model::DutyIndex> duty;
    double given_a = 0, charge_ah = 0, unit_a = 0;
};

Balance worst_balance(const Facts& facts) {
    const model::Harness& harness = *facts.harness;
    Balance worst;
    for (const SolvedDuty& solved : facts.duties) {
        if (!solved.point || !is_idle(facts, solved))
            continue;
        Balance balance{.duty = solved.duty};
        for (const DeviceIndex battery : devices_of(harness, model::DeviceKind::battery)) {
            balance.given_a += solved.point->devices[model::at(battery)].current_a;
            balance.charge_ah += std::get<model::Battery>(harness.device(battery).data).capacity_ah.value *
                                 harness.duty(solved.duty).charge_fraction.value;
        }
        for (const DeviceIndex unit : devices_of(harness, model::DeviceKind::generator))
            balance.unit_a += solved.point->devices[model::at(unit)].current_a;
        if (!worst.duty || balance.given_a > worst.given_a)
            worst = balance;
    }
    return worst;
}

void judge(const Facts& facts, Judgements& judgements) {
    if (!has_question(facts))
        return;
    const std::vector<DeviceIndex> all = devices_of(*facts.harness, model::DeviceKind::battery);
    if (all.empty())
        return;
    const model::Device& first = facts.harness->device(all.front());
    Judgement judgement = about(first.id, first.span, {});
    for (std::size_t i = 1; i < all.size(); ++i)
        judgement.subjects.push_back(facts.harness->device(all[i]).id);
    const std::string names = listed(judgement.subjects);
    const Balance balance = worst_balance(facts);
    if (!balance.duty) {
        judgement.message = fmt::format("{}: no idling duty could be solved", names);
        judgements.cannot_tell(for_want_of_duties(facts, std::move(judgement)));
        return;
    }
    judgement.duty = duty_name(*facts.harness, *balance.duty);
    judgement.values = {{"unit_a", balance.unit_a}};
    judgement = with_figures(std::move(judgement), {.computed = balance.given_a, .limit = 0}, "A",
                             "a battery must not pay for idling");
    // Within the solver's dust of the unit's own current, or its leaks that hold loose parts at some volts,
    // there is no deficit.
    constexpr double leak_a = 1e-3;
    if (balance.given_a <= std::max(settled_fraction * balance.unit_a, leak_a)) {
        judgement.message =
            fmt::format("{} {} charged with {} in duty {}", names, all.size() == 1 ? "is" : "are",
                        amps_down(std::max(-balance.given_a, 0.0)), judgement.duty);
        judgements.passes(std::move(judgement));
        return;
    }
    judgement.message = fmt::format(
        "{} {} {} in duty {}, where the charging unit gives {}: empty from that charge in {} of idling",
        names, all.size() == 1 ? "gives" : "give", amps_up(balance.given_a), judgement.duty,
        amps_down(balance.unit_a), base::shown_down(balance.charge_ah / balance.given_a, 1, "h"));
    judgements.fails(std::move(judgement));
}

} // namespace

extern const Rule rule_battery_balance;
const Rule rule_battery_balance{
    .slug = "battery-balance",
    .usual = Severity::warning,
    .asks = "Does the battery gain or lose while the engine idles with everything useful on?",
    .source = "current balance at the charging unit's hot idle output; common practice, no source: 35 to 40 "
              "A at idle of a 90 A "
              "class, about 75 A of a 175 A class",
    .cure = "less load at idle, a little more idle speed, or a unit that gives more at idle (a smaller "
            "pulley only within its "
            "greatest shaft speed)",
    .explanation =
        R"(The badge of a charging unit is its output cold at 6000 rpm of its shaft. At idle and hot it gives a fraction.
Battery current = loads - unit's hot idle output; what is missing comes from the battery.
Example: 90 A class, 36 A hot at idle; lamps 10, blower 14, heated window 15, ignition and pump 10: 49 A. The
battery gives 13 A; 70 Ah at 75 % hold 52 Ah: gone in four hours of traffic.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
