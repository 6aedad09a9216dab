// Another order for one sheet, several things changed at once: what no single exchange finds. Private to this
// room.
#pragma once

#include "layout/sheet_paint.h"

#include <vector>

namespace stoutloom::layout {

/// The orders whose ways cross and stretch least as reckoned from the places of the studs alone, without
/// laying any, best first; none when that is none but the sheet's own.
std::vector<SheetShare> untangled(const PlacedSheet& sheet);

} // namespace stoutloom::layout
