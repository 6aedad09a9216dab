// Boxes with their symbols (IEC 60617), seats, beds. Private to this room.
#pragma once

#include "layout/arrangement.h"
#include "layout/scene.h"

namespace stoutloom::layout {

/// Width the box needs for its words and symbol, and the words themselves, cut to what fits.
void settle_unit(PlacedUnit& unit, const TextMeasure& measure);
/// Height the box needs for them.
double unit_height_mm(const PlacedUnit& unit);
double unit_width_mm(const PlacedUnit& unit);
Element unit_element(const PlacedUnit& unit, const Arrangement& arrangement, const TextMeasure& measure);
/// Oblique strokes round the box of a unit with an error, where nothing else stands. Own element, behind no
/// other.
Element failing_band(const PlacedUnit& unit, const Arrangement& all, const std::vector<Box>& taken,
                     const TextMeasure& measure);
/// Width that a bed's name and resistance take on two lines.
double bed_words_mm(const PlacedBed& bed, const TextMeasure& measure);
/// `ways`: strips that cables take; where they pass over the bed it carries no words.
Element bed_element(const PlacedBed& bed, const Arrangement& arrangement, const std::vector<Box>& ways,
                    const TextMeasure& measure);
/// Bar or box with what is written by it: what cables go round.
std::vector<Box> unit_boxes(const PlacedUnit& unit);
/// The bar of a post or bus bar, low as drawn.
Box bar_box(const PlacedUnit& unit);
Element bar_element(const PlacedUnit& unit, const TextMeasure& measure);
/// The leg a case-return unit stands on: trapezium under the box, then a column down to its bed.
std::vector<Box> seat_boxes(const PlacedUnit& unit, const Arrangement& arrangement);

} // namespace stoutloom::layout
