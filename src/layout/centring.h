// A drawing without metal at its foot stands in the middle of its height. Private to this room.
#pragma once

#include "layout/sheet_paint.h"

namespace stoutloom::layout {

struct Reach {
    double high_mm = 0, low_mm = 0;
};
/// How far up and down anything of the drawing reaches: hardware, ways, tags, notes.
Reach reach_of(const PlacedSheet& sheet, const TextMeasure& measure);

/// Moved as it is, with all that is written on it; one with beds, or near the middle already, stays.
void centre(PlacedSheet& sheet, const TextMeasure& measure);

} // namespace stoutloom::layout
