// What each source of a harness offers in a duty: the file's figures, or the defaults of physics/source.h.
#pragma once

#include "model/harness.h"
#include "solve/solve.h"

namespace stoutloom::solve {

/// Which end of the tolerances of what the charging unit gives and a battery takes.
enum class Supply { nominal, strongest, weakest };
Supply supply_of(const Variation& variation);

/// Battery: EMF behind a resistance; charging up to `acceptance_a`, infinite where nothing bounds it: a duty
/// at rated output asks what the cables carry while the unit gives all it can, so only an acceptance told in
/// the file counts.
struct BatteryLaw {
    double emf_v;
    double resistance_ohm;
    double acceptance_a;
};
/// Not nominal: with the engine stopped or cranking an aged battery (its high resistance, the lowest volts);
/// with the charging unit turning a strong one at `strongest` (its low resistance, the greatest charging
/// current) and an aged one at `weakest`. A measured resistance holds for both, but is doubled for the aged
/// one.
BatteryLaw battery_law(const model::Harness& harness, const model::Duty& duty, model::DeviceIndex battery,
                       Supply supply);
/// Least internal resistance, for prospective currents: a strong battery, never above a measured figure.
double battery_least_ohm(const model::Harness& harness, model::DeviceIndex battery);

/// Charging unit: holds `set_point_v` up to `ceiling_a`. Not turning (engine off or cranking): ceiling 0.
struct GeneratorLaw {
    double set_point_v;
    double ceiling_a;
    bool turning;
};
/// Ceiling: the output at the duty's named speed, hot or cold. With an engine speed in the duty, the curve at
/// engine speed x pulley ratio. No row for idle: 0.40 of the greatest; for cruise or rated: the greatest.
/// `strongest`, `weakest`: set point at the top or the bottom of its tolerance.
GeneratorLaw generator_law(const model::Harness& harness, const model::Duty& duty,
                           model::DeviceIndex generator, Supply supply);
/// Greatest output the unit can give at any speed in the file, cold.
double greatest_output_a(const model::Generator& generator);

} // namespace stoutloom::solve
