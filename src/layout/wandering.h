// Orders of one sheet tried at random with every way laid: for a sheet whose ways still cross, or leave a
// balloon no place, when what is reckoned and what single changes reach has been tried. Private to this room.
#pragma once

#include "layout/route.h"
#include "layout/sheet_paint.h"

#include <optional>
#include <vector>

namespace stoutloom::layout {

/// The share placed as wide as the wish has it, or as close as it must; the wish is then as it was placed.
std::optional<Arrangement> arranged_close(const DiagramContent& content, const SheetShare& share,
                                          const SheetSize& size, const TextMeasure& measure,
                                          ArrangeWish& wish);

/// The sheet in the tidiest order found, or as it was. The same for the same sheet: the dice are thrown from
/// a fixed seed.
PlacedSheet untied(const DiagramContent& content, PlacedSheet sheet, const TextMeasure& measure);

} // namespace stoutloom::layout
