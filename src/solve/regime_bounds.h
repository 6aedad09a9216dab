// Bounds on cable currents in every regime of the sources, by linear programmes over what the loads draw.
// Room-internal; see worst_case.h for the idea.
#pragma once

#include "solve/box_program.h"
#include "solve/frozen.h"

namespace stoutloom::solve {

/// Where a bound comes from: the loads at the corner the programme ended in.
struct BoundedCurrent {
    double bound_a = 0;                     // magnitude
    std::vector<std::vector<bool>> corners; // combinations to try as witness, by load
};
struct RegimeBounds {
    std::vector<BoundedCurrent> cables; // by cable
    std::size_t possible_regimes = 0;
};
base::Outcome<RegimeBounds, Unsolved> regime_bounds(const FrozenNetwork& frozen);

} // namespace stoutloom::solve
