// What the ways of a sheet cost before a word is written: one measure for every search of an order. Private
// to this room.
#pragma once

#include "layout/route.h"

namespace stoutloom::layout {

inline constexpr double sheet_crossing_cost = 120;
/// A tag that points away from where the cable goes costs half a crossing.
inline constexpr double away_cost = 60;

/// Smaller is better: ways given up, then crossings, roundabout ways, bends and length. Notes only add to it.
double way_cost(const Arrangement& arrangement, const Routing& routing);

} // namespace stoutloom::layout
