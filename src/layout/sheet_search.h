// Tries heights and gaps for one sheet and keeps the best placing. Private to this room.
#pragma once

#include "layout/sheet_paint.h"

namespace stoutloom::layout {

/// Error when the sheet cannot hold its share at all, with what stood in the way last.
base::Outcome<PlacedSheet, NoPlace> search_sheet(const DiagramContent& content, const SheetShare& share,
                                                 const SheetSize& size, const TextMeasure& measure,
                                                 Cutting cutting);
/// Smaller is better: what is missing first, then crossings, bends and length.
double sheet_cost(const PlacedSheet& sheet);

} // namespace stoutloom::layout
