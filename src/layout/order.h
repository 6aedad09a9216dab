// The order of units within their zones, fewest crossings first, from the graph-layout library. Private to
// this room.
#pragma once

#include "layout/diagram.h"

#include <vector>

namespace stoutloom::layout {

/// zone * 1000 + place within the zone, per unit of the content. Falls back to our own order (mean place of
/// the partners, twice over) when the library dies, takes longer than two seconds or answers nonsense.
std::vector<double> order_units(const DiagramContent& content);
/// Our own order alone: what the fall-back gives.
std::vector<double> order_units_plainly(const DiagramContent& content);

} // namespace stoutloom::layout
