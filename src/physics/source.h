// What sources do: batteries behind their resistance, charging units by speed and heat.
#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <vector>

namespace stoutloom::physics {

enum class BatteryKind { flooded, agm, gel, lithium };
std::string_view battery_kind_name(BatteryKind kind);

/// Open-circuit volts of a rested battery of `nominal_v` (12, 24, 48) at a state of charge 0..1.
double battery_emf_v(BatteryKind kind, double nominal_v, double charge_fraction);
/// Internal resistance near 25 degC from the cold-cranking rating of one 12 V battery or a 24/48 V set in
/// series: 2.8 V / I_cc typical (range 2.6 to 3.0), scaled by nominal voltage; aged x 2.
struct BatteryResistance {
    double low_ohm, typical_ohm, high_ohm; // low bounds the fault current, high the cranking volts
};
BatteryResistance battery_resistance_ohm(double nominal_v, double cold_cranking_a);
/// Resistance when only the capacity is known (cold-cranking about 8 x Ah for starter batteries): from
/// memory.
double cold_cranking_from_capacity_a(double capacity_ah);
/// Greatest charging current it takes: share of 20 h capacity (flooded 0.25, AGM and gel 0.5, lithium 1.0),
/// falling linearly to 0.02 between 80 and 100 % charge.
double battery_acceptance_a(BatteryKind kind, double capacity_ah, double charge_fraction);

struct OutputPoint {
    double shaft_rpm;
    double cold_a, hot_a;
};
/// Output at a shaft speed: linear between points; below the first point falls to zero at the cut-in speed
/// (900 rpm or 60 % of the first point, the greater that is still below it); held beyond the last. Points in
/// rising speed.
double generator_output_a(std::span<const OutputPoint> curve, double shaft_rpm, bool hot);
/// Hot output where the maker gives none: 0.80 of cold at speed, 0.67 at idle.
double assumed_hot_a(double cold_a, bool idle);
/// Set point at the regulator's temperature: set_point + coefficient * (T - 25 degC).
double set_point_at_v(double set_point_v, double coefficient_v_per_k, double regulator_degc);
/// Shaft power at the belt: electrical / 0.55.
double belt_power_w(double current_a, double voltage_v);

} // namespace stoutloom::physics
