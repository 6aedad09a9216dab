// `stoutloom cable`: one cable worked out with no file, the formula and numbers shown.
#pragma once

#include "base/insulation.h"
#include "base/outcome.h"
#include "physics/thermal.h"

#include <optional>
#include <string>

namespace stoutloom::report {

struct CableQuestion {
    std::optional<double> current_a;
    std::optional<double> length_m;
    std::optional<double> section_mm2; // proposes one from stock when empty
    double ambient_degc;
    base::Insulation insulation;
    physics::Mounting mounting;
    int loaded_cables;
    double margin_fraction;
    std::optional<double> drop_limit_v; // of this cable alone, one way
    double nominal_v;
    physics::ConductorOverrides overrides;
};
/// Figures that were not asked for or do not exist (no current, no length, no steady temperature) are NaN
/// here and null in the JSON. Without a current the resistance is told at the class temperature.
struct CableAnswer {
    double section_mm2, resistance_ohm, drop_v, temperature_degc, ampacity_a, usable_a;
    bool carries;     // current <= usable_a (and drop within the limit asked for); no current: usable_a > 0
    std::string text; // worked explanation with the table of neighbouring sections and the cautions
    std::string json; // section_mm2, resistance_ohm, drop_v, temperature_c, ampacity_a, usable_a, carries,
                      // inputs {}, assumptions [], neighbours []
};
struct NoCable {
    std::string message;
};
/// Errors: a question without sense (a figure that is not a number, no current and no section), a section
/// beyond the tables, or no stock section that carries the current within the drop.
base::Outcome<CableAnswer, NoCable> work_out_cable(const CableQuestion& question);

} // namespace stoutloom::report
