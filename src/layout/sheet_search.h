// Tries heights and gaps for one sheet and keeps the best placing. Private to this room.
#pragma once

#include "layout/sheet_paint.h"

#include <functional>

namespace stoutloom::layout {

/// Which other orders of a sheet's things are looked for: any; only what single changes untie, for what came
/// in a good order of another height; or none, to see whether there is room.
enum class Reordering { any, single, none };

using Enough = std::function<bool(const PlacedSheet&)>;

/// Error when the sheet cannot hold its share at all, with what stood in the way last. `enough`: a drawing
/// so good ends the search, where only that there is one matters.
base::Outcome<PlacedSheet, NoPlace> search_sheet(const DiagramContent& content, const SheetShare& share,
                                                 const SheetSize& size, const TextMeasure& measure,
                                                 Cutting cutting, Reordering reordering,
                                                 const Enough& enough = {});
/// Smaller is better: what is missing first, then crossings, bends and length.
double sheet_cost(const PlacedSheet& sheet);

} // namespace stoutloom::layout
