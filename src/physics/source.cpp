// Batteries and charging units: the figures of sources-and-loads practice, each with where it comes from.
#include "physics/source.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace stoutloom::physics {
namespace {

struct EmfRow {
    double charge_fraction, emf_v; // of a rested 12 V battery
};
// From memory: flooded 11.8 empty to 12.7 full; absorbed glass mat and gel 0.1 V over it (the low end of
// 0.1..0.2); lithium iron phosphate of four cells.
constexpr std::array flooded = {EmfRow{0, 11.8}, EmfRow{0.25, 12.0}, EmfRow{0.5, 12.2}, EmfRow{0.75, 12.5},
                                EmfRow{1, 12.7}};
constexpr std::array lithium = {EmfRow{0, 11.0},    EmfRow{0.1, 12.8}, EmfRow{0.3, 13.0},
                                EmfRow{0.5, 13.15}, EmfRow{0.9, 13.3}, EmfRow{1, 13.5}};

double along(std::span<const EmfRow> rows, double charge_fraction) {
    const double held = std::clamp(charge_fraction, 0.0, 1.0);
    std::size_t high = 1;
    while (high + 1 < rows.size() && rows[high].charge_fraction < held)
        ++high;
    const EmfRow &a = rows[high - 1], &b = rows[high];
    return a.emf_v +
           (b.emf_v - a.emf_v) * (held - a.charge_fraction) / (b.charge_fraction - a.charge_fraction);
}

} // namespace

std::string_view battery_kind_name(BatteryKind kind) {
    switch (kind) {
    case BatteryKind::flooded:
        return "flooded";
    case BatteryKind::agm:
        return "agm";
    case BatteryKind::gel:
        return "gel";
    case BatteryKind::lithium:
        return "lithium";
    }
    return "flooded";
}

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): units in the names
double battery_emf_v(BatteryKind kind, double nominal_v, double charge_fraction) {
    const double scale = nominal_v / 12;
    if (kind == BatteryKind::lithium)
        return scale * along(lithium, charge_fraction);
    const double lift_v = kind == BatteryKind::flooded ? 0 : 0.1;
    return scale * (along(flooded, charge_fraction) + lift_v);
}

BatteryResistance battery_resistance_ohm(double nominal_v, double cold_cranking_a) {
    const double per_volt = nominal_v / 12 / cold_cranking_a;
    constexpr double aged = 2; // 1.5 to 2.5 times new
    return {.low_ohm = 2.6 * per_volt, .typical_ohm = 2.8 * per_volt, .high_ohm = 3.0 * aged * per_volt};
}

double cold_cranking_from_capacity_a(double capacity_ah) {
    return 8 * capacity_ah;
}

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): units in the names
double battery_acceptance_a(BatteryKind kind, double capacity_ah, double charge_fraction) {
    const double bulk = kind == BatteryKind::flooded ? 0.25 : kind == BatteryKind::lithium ? 1.0 : 0.5;
    constexpr double full = 0.02;
    constexpr double taper_from = 0.8;
    const double taper = std::clamp((charge_fraction - taper_from) / (1 - taper_from), 0.0, 1.0);
    return capacity_ah * (bulk + (full - bulk) * taper);
}

double generator_output_a(std::span<const OutputPoint> curve, double shaft_rpm, bool hot) {
    if (curve.empty() || !(shaft_rpm > 0))
        return 0;
    const auto amps = [hot](const OutputPoint& point) { return hot ? point.hot_a : point.cold_a; };
    const OutputPoint& first = curve.front();
    const double sixty_percent = 0.6 * first.shaft_rpm;
    const double cut_in_rpm = first.shaft_rpm > 900 ? std::max(900.0, sixty_percent) : sixty_percent;
    if (shaft_rpm <= cut_in_rpm)
        return 0;
    if (shaft_rpm < first.shaft_rpm)
        return amps(first) * (shaft_rpm - cut_in_rpm) / (first.shaft_rpm - cut_in_rpm);
    for (std::size_t i = 1; i < curve.size(); ++i) {
        const OutputPoint &a = curve[i - 1], &b = curve[i];
        if (shaft_rpm >= b.shaft_rpm)
            continue;
        return amps(a) + (amps(b) - amps(a)) * (shaft_rpm - a.shaft_rpm) / (b.shaft_rpm - a.shaft_rpm);
    }
    return amps(curve.back());
}

double assumed_hot_a(double cold_a, bool idle) {
    return (idle ? 0.67 : 0.80) * cold_a;
}

double set_point_at_v(double set_point_v, double coefficient_v_per_k, double regulator_degc) {
    return set_point_v + coefficient_v_per_k * (regulator_degc - 25);
}

double belt_power_w(double current_a, double voltage_v) {
    return current_a * voltage_v / 0.55;
}

} // namespace stoutloom::physics
