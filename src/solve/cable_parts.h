// A cable as the solver needs it: its stretches for the thermal model, its two ends as resistances.
// Room-internal.
#pragma once

#include "base/outcome.h"
#include "model/harness.h"
#include "physics/along.h"
#include "physics/thermal.h"
#include "solve/solve.h"

#include <vector>

namespace stoutloom::solve {

struct CableParts {
    std::vector<physics::Stretch> stretches; // by segment
    std::vector<double> length_m;            // by segment, with the worst case's tolerance
    double end_ohm[2] = {0, 0};              // crimp and joint, all parallel runs together
    double parallel = 1;
    physics::StudHeat studs; // where the file tells them

    std::vector<physics::RouteStretch> route() const; // with the lengths above
};

/// Stretches of a cable: conductor by section or data sheet, surroundings by route. Errors: section beyond
/// the tables.
base::Outcome<std::vector<physics::Stretch>, physics::OutOfRange> stretches_of(const model::Harness& harness,
                                                                               const model::Cable& cable);
/// Joints: the file's figure, or typical ones; `worst`: end of life, never better than the file's figure.
base::Outcome<CableParts, Unsolved> cable_parts(const model::Harness& harness, model::CableIndex cable,
                                                const Variation& variation);
/// The same with every joint new and clean, never worse than the file's figure: for the greatest fault
/// current.
base::Outcome<CableParts, Unsolved> clean_cable_parts(const model::Harness& harness, model::CableIndex cable);

/// Resistance of the copper, all runs together, at one temperature per segment.
double copper_ohm(const CableParts& parts, const std::vector<double>& segment_degc);
/// Cables of a loom that count as loaded: each run of each cable but those that only carry a sense or signal.
int loaded_cables_in(const model::Harness& harness, const std::string& loom);

} // namespace stoutloom::solve
