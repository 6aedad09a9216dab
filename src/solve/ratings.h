// What each cable of a harness may carry all day: the thermal model over its stretches.
#pragma once

#include "model/harness.h"
#include "physics/thermal.h"

#include <vector>

namespace stoutloom::solve {

struct SegmentRating {
    physics::Stretch stretch;
    double ampacity_a; // one conductor of the cable, this stretch, before the margin
};
struct CableRating {
    std::vector<SegmentRating> segments; // as Cable::segments
    std::size_t hottest = 0;             // the stretch that rules
    double ampacity_a = 0;               // whole cable (all parallel runs), before the margin
    double usable_a = 0;                 // after the installed-condition margin
};
/// Whether the cable counts as loaded for grouping: more than 30 % of what it could carry alone is loaded by
/// common practice; here every cable of the loom that carries current in any duty counts, the careful side.
CableRating cable_rating(const model::Harness& harness, model::CableIndex cable);

} // namespace stoutloom::solve
