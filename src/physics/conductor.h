// A conductor and its wall by section: resistance and diameters from the published cable standards.
#pragma once

#include "base/outcome.h"

#include <optional>
#include <span>
#include <string>

namespace stoutloom::physics {

/// One conductor with its insulation. Lengths in m, resistance at 20 degC.
struct Conductor {
    double section_mm2 = 0;
    double r20_ohm_per_m = 0;
    double conductor_diameter_m = 0;
    double outer_diameter_m = 0;
    std::string source; // which standard's figures these are, for the record of the check
};

/// What the author measured or read on a data sheet; it beats the tables.
struct ConductorOverrides {
    std::optional<double> r20_ohm_per_m;
    std::optional<double> conductor_diameter_m;
    std::optional<double> outer_diameter_m;
};

struct OutOfRange {
    std::string message; // "section 900 mm2 is beyond the tables (0.22 to 240 mm2)"
};

/// Metric sections: ISO 6722-1 maximum resistance and thick-wall outside diameter to 120 mm2, IEC 60228 class
/// 5 above. AWG sections (within 0.05 % of a gauge, 18 to 4/0): stranded resistance after NEC chapter 9 table
/// 8 brought to 20 degC by the 234.5 rule, marine walls (0.76 mm to 10 AWG, 1.14 at 8, 1.52 for 6..2, 2.03
/// for 1..4/0). Conductor diameter sqrt(4 S / (pi 0.72)): strand fill 0.72. Between table rows resistance and
/// outside diameter go log-log over section, so they never beat the better neighbour. Errors: beyond the
/// tables (unless all three figures are overridden), not a number, or figures that no copper conductor can
/// have.
base::Outcome<Conductor, OutOfRange> conductor_for(double section_mm2,
                                                   const ConductorOverrides& overrides = {});

/// Sections a workshop buys by default, rising: metric from 1.5 to 120 mm2, and 16 to 4/0 AWG.
std::span<const double> metric_stock_mm2();
std::span<const double> awg_stock_mm2();

/// R(T) = r20 * (1 + 0.00393 (T - 20 degC)), annealed copper, IEC 60028.
double resistance_ohm_per_m(const Conductor& conductor, double conductor_degc);

/// Copper mass per metre, 8.89 kg/dm3 (IEC 60028).
double copper_kg_per_m(double section_mm2);

} // namespace stoutloom::physics
