#include "solve/sources.h"

#include "physics/source.h"
#include "solve/assumed.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace stoutloom::solve {
namespace {

using model::Speed;

physics::BatteryKind kind_of(model::BatteryKind kind) {
    switch (kind) {
    case model::BatteryKind::flooded:
        return physics::BatteryKind::flooded;
    case model::BatteryKind::agm:
        return physics::BatteryKind::agm;
    case model::BatteryKind::gel:
        return physics::BatteryKind::gel;
    case model::BatteryKind::lithium:
        return physics::BatteryKind::lithium;
    }
    return physics::BatteryKind::flooded;
}

/// A battery whose measured volts fit another system voltage than the harness's is one of a set in series.
double nominal_of(const model::Harness& harness, const model::Battery& battery) {
    if (!battery.emf_v)
        return harness.nominal_v.value;
    double best = harness.nominal_v.value;
    for (const double candidate : {6.0, 12.0, 24.0, 48.0})
        if (std::abs(battery.emf_v->value - 1.05 * candidate) < std::abs(battery.emf_v->value - 1.05 * best))
            best = candidate;
    return best;
}

physics::BatteryResistance resistance_of(const model::Harness& harness, const model::Battery& battery) {
    const double nominal_v = nominal_of(harness, battery);
    const double cold_cranking_a = battery.cold_cranking_a
                                       ? battery.cold_cranking_a->value
                                       : physics::cold_cranking_from_capacity_a(battery.capacity_ah.value);
    physics::BatteryResistance found = physics::battery_resistance_ohm(nominal_v, cold_cranking_a);
    if (battery.resistance_ohm) {
        found.low_ohm = found.typical_ohm = battery.resistance_ohm->value;
        found.high_ohm = 2 * battery.resistance_ohm->value;
    }
    return found;
}

double shaft_of(const model::Output& output) {
    if (output.shaft_rpm)
        return output.shaft_rpm->value;
    switch (output.speed.value_or(Speed::rated)) {
    case Speed::idle:
        return idle_shaft_rpm;
    case Speed::cruise:
        return cruise_shaft_rpm;
    case Speed::rated:
        return rated_shaft_rpm;
    }
    return rated_shaft_rpm;
}

double output_at_shaft_a(const model::Generator& generator, double shaft_rpm, bool hot) {
    std::vector<physics::OutputPoint> curve;
    for (const model::Output& output : generator.outputs)
        curve.push_back(
            {.shaft_rpm = shaft_of(output), .cold_a = output.cold_a.value, .hot_a = output.hot_a.value});
    std::sort(curve.begin(), curve.end(),
              [](const auto& left, const auto& right) { return left.shaft_rpm < right.shaft_rpm; });
    return physics::generator_output_a(curve, shaft_rpm, hot);
}

double output_at_named_a(const model::Generator& generator, Speed speed, bool hot) {
    double greatest = 0;
    bool any_shaft = false;
    for (const model::Output& output : generator.outputs) {
        const double amount = hot ? output.hot_a.value : output.cold_a.value;
        if (output.speed == speed)
            return amount;
        any_shaft = any_shaft || output.shaft_rpm.has_value();
        greatest = std::max(greatest, amount);
    }
    if (speed == Speed::idle)
        return any_shaft ? output_at_shaft_a(generator, idle_shaft_rpm, hot)
                         : assumed_idle_fraction * greatest;
    return greatest;
}

} // namespace

Supply supply_of(const Variation& variation) {
    if (!variation.worst)
        return Supply::nominal;
    return variation.weak_supply ? Supply::weakest : Supply::strongest;
}

BatteryLaw battery_law(const model::Harness& harness, const model::Duty& duty, model::DeviceIndex battery,
                       Supply supply) {
    const auto& about = std::get<model::Battery>(harness.device(battery).data);
    const double charge = duty.charge_fraction.value;
    const physics::BatteryResistance resistance = resistance_of(harness, about);
    const bool charging = duty.engine != model::Engine::off && duty.engine != model::Engine::cranking;
    const bool strong = charging && supply == Supply::strongest;
    double acceptance_a = std::numeric_limits<double>::infinity();
    if (about.acceptance_a)
        acceptance_a = about.acceptance_a->value;
    else if (duty.engine != model::Engine::rated)
        acceptance_a = physics::battery_acceptance_a(kind_of(about.kind), about.capacity_ah.value, charge);
    const double emf_v =
        about.emf_v ? about.emf_v->value
                    : physics::battery_emf_v(kind_of(about.kind), nominal_of(harness, about), charge);
    return {.emf_v = emf_v,
            .resistance_ohm = supply == Supply::nominal ? resistance.typical_ohm
                              : strong                  ? resistance.low_ohm
                                                        : resistance.high_ohm,
            .acceptance_a = acceptance_a};
}

double battery_least_ohm(const model::Harness& harness, model::DeviceIndex battery) {
    return resistance_of(harness, std::get<model::Battery>(harness.device(battery).data)).low_ohm;
}

GeneratorLaw generator_law(const model::Harness& harness, const model::Duty& duty,
                           model::DeviceIndex generator, Supply supply) {
    const model::Device& device = harness.device(generator);
    const auto& about = std::get<model::Generator>(device.data);
    GeneratorLaw law{.set_point_v = about.set_point_v.value, .ceiling_a = 0, .turning = false};
    if (about.temperature_coefficient_v_per_k && duty.hot && device.zone)
        law.set_point_v =
            physics::set_point_at_v(law.set_point_v, about.temperature_coefficient_v_per_k->value,
                                    harness.zone(*device.zone).ambient_degc.value);
    if (supply != Supply::nominal)
        law.set_point_v += (supply == Supply::strongest ? worst_set_point_v : -worst_set_point_v) *
                           harness.nominal_v.value / 12.0;
    if (duty.engine == model::Engine::off || duty.engine == model::Engine::cranking)
        return law;
    law.turning = true;
    if (duty.engine_rpm) {
        const double ratio = about.pulley_ratio ? about.pulley_ratio->value : assumed_pulley_ratio;
        law.ceiling_a = output_at_shaft_a(about, duty.engine_rpm->value * ratio, duty.hot);
    } else {
        const Speed speed = duty.engine == model::Engine::idle     ? Speed::idle
                            : duty.engine == model::Engine::cruise ? Speed::cruise
                                                                   : Speed::rated;
        law.ceiling_a = output_at_named_a(about, speed, duty.hot);
    }
    return law;
}

double greatest_output_a(const model::Generator& generator) {
    double greatest = 0;
    for (const model::Output& output : generator.outputs)
        greatest = std::max({greatest, output.cold_a.value, output.hot_a.value});
    return greatest;
}

} // namespace stoutloom::solve
