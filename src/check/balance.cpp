// Ampere-hours from amperes and hours; a battery that charges never reaches more than its acceptance, so the
// charging current of a duty is the solver's.
#include "check/balance.h"

#include "check/subjects.h"

#include <algorithm>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;

// Under this a battery is at rest: the solver's own leaks are of that size.
constexpr double at_rest_a = 0.0005;

double charging_a(const SolvedDuty& solved, DeviceIndex battery) {
    return -solved.point->devices[model::at(battery)].current_a;
}

void add_recovery(const Facts& facts, BatteryBalance& balance) {
    double best_a = at_rest_a;
    for (const SolvedDuty& solved : facts.duties) {
        const model::Duty& duty = facts.harness->duty(solved.duty);
        if (!solved.point || !is_continuous(duty) || !engine_running(duty))
            continue;
        const double in_a = charging_a(solved, balance.battery);
        if (!(in_a > at_rest_a))
            continue;
        const double time_s = balance.taken_ah * 3600 / (charge_efficiency * in_a);
        if (duty.engine == model::Engine::idle)
            balance.recovery_idle_s = std::max(balance.recovery_idle_s.value_or(time_s), time_s);
        if (in_a > best_a) {
            best_a = in_a;
            balance.recovery_best_s = time_s;
            balance.best_duty = solved.duty;
        }
    }
}

} // namespace

std::vector<BatteryBalance> battery_balances(const Facts& facts) {
    const model::Harness& harness = *facts.harness;
    std::vector<BatteryBalance> all;
    for (const SolvedDuty& solved : facts.duties) {
        if (!solved.point)
            continue;
        const model::Duty& duty = harness.duty(solved.duty);
        for (const DeviceIndex battery : devices_of(harness, model::DeviceKind::battery)) {
            BatteryBalance balance{.duty = solved.duty,
                                   .battery = battery,
                                   .net_a = charging_a(solved, battery),
                                   .hours_to_half = {},
                                   .recovery_idle_s = {},
                                   .recovery_best_s = {},
                                   .best_duty = {}};
            const double drain_a = -balance.net_a;
            const double capacity_ah =
                std::get<model::Battery>(harness.device(battery).data).capacity_ah.value;
            if (drain_a > at_rest_a && is_continuous(duty))
                balance.hours_to_half =
                    std::max(0.0, duty.charge_fraction.value - 0.5) * capacity_ah / drain_a;
            if (drain_a > at_rest_a && !is_continuous(duty)) {
                balance.taken_ah = drain_a * duty.duration_s->value / 3600;
                add_recovery(facts, balance);
            }
            all.push_back(balance);
        }
    }
    return all;
}

} // namespace stoutloom::check
