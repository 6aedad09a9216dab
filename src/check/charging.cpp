// Read off the operating points; the law of each unit is the solver's own.
#include "check/charging.h"

#include "check/drops.h"
#include "check/subjects.h"
#include "solve/assumed.h"
#include "solve/sources.h"

namespace stoutloom::check {

std::vector<Charging> charging(const Facts& facts) {
    const model::Harness& harness = *facts.harness;
    std::vector<Charging> all;
    for (const SolvedDuty& solved : facts.duties) {
        const model::Duty& duty = harness.duty(solved.duty);
        if (!solved.point || !engine_running(duty))
            continue;
        for (const model::DeviceIndex index : devices_of(harness, model::DeviceKind::generator)) {
            const auto& unit = std::get<model::Generator>(harness.device(index).data);
            const solve::DeviceState& state = solved.point->devices[model::at(index)];
            const solve::GeneratorLaw law =
                solve::generator_law(harness, duty, index, solve::supply_of(facts.variation));
            const auto own = model::terminal_of(harness, index, model::Role::positive);
            const auto looks_at = unit.sense ? unit.sense : own;
            Charging told{.duty = solved.duty,
                          .unit = index,
                          .output_a = state.current_a,
                          .ceiling_a = law.ceiling_a,
                          .set_point_v = law.set_point_v,
                          .shaft_rpm = {},
                          .remote_sense = looks_at != own,
                          .senses_at = looks_at ? harness.terminal(*looks_at).address : std::string(),
                          .own_v = state.volts_v,
                          .battery = battery_of(facts, *solved.point, index),
                          .regime = state.regime};
            if (duty.engine_rpm)
                told.shaft_rpm = duty.engine_rpm->value *
                                 (unit.pulley_ratio ? unit.pulley_ratio->value : solve::assumed_pulley_ratio);
            if (told.battery)
                told.battery_v = solved.point->devices[model::at(*told.battery)].volts_v;
            all.push_back(std::move(told));
        }
    }
    return all;
}

} // namespace stoutloom::check
