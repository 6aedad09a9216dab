// Several drawings on one page, one under the other, where a page would else be half empty. Private to this
// room.
#pragma once

#include "layout/sheet_paint.h"

#include <optional>
#include <utility>
#include <vector>

namespace stoutloom::layout {

/// Joins drawings of `sheets[range.first, range.second)` onto common pages as far as each is drawn as well
/// at its smaller height. The first sheet of all keeps its page: it carries the strip.
void stack_decks(std::vector<PlacedSheet>& sheets, std::pair<std::size_t, std::size_t> range,
                 const DiagramContent& content, const SheetSize& size, const TextMeasure& measure);

/// The one drawing of a page anew, so much less high; nothing when it is not as good.
std::optional<PlacedSheet> drawn_lower(const PlacedSheet& sheet, double less_mm,
                                       const DiagramContent& content, const SheetSize& size,
                                       const TextMeasure& measure);

} // namespace stoutloom::layout
