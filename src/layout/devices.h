// Boxes with their symbols (IEC 60617), seats, beds. Private to this room.
#pragma once

#include "layout/arrangement.h"
#include "layout/scene.h"

namespace stoutloom::layout {

/// Width the box needs for its words and symbol, and the words themselves, cut to what fits.
void settle_unit(PlacedUnit& unit, const TextMeasure& measure);
double unit_width_mm(const PlacedUnit& unit);
Element unit_element(const PlacedUnit& unit, const Arrangement& arrangement, const TextMeasure& measure);
/// `ways`: strips that cables take; where they pass over the bed it carries no words.
Element bed_element(const PlacedBed& bed, const Arrangement& arrangement, const std::vector<Box>& ways,
                    const TextMeasure& measure);
/// The leg a case-return unit stands on: trapezium under the box, then a column down to its bed.
std::vector<Box> seat_boxes(const PlacedUnit& unit, const Arrangement& arrangement);

} // namespace stoutloom::layout
