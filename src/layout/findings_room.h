// Room under the drawings for the findings, where that makes a sheet of their own needless. Private to this
// room.
#pragma once

#include "layout/strips.h"

#include <vector>

namespace stoutloom::layout {

/// Takes height from drawings that have it to spare, or draws some anew a little lower, if the boxes at their
/// foot then hold every finding; otherwise all stays as it was. `strips` tells of the same sheets.
void make_room_for_findings(std::vector<PlacedSheet>& sheets, const Strips& strips,
                            const DiagramContent& content, const SheetSize& size, const TextMeasure& measure);

} // namespace stoutloom::layout
