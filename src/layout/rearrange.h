// Other orders for one sheet: units side by side exchanged, a unit's studs in the other order, a lug that
// leaves on its other side, a tag at the sheet's other edge. Private to this room.
#pragma once

#include "layout/sheet_paint.h"

#include <cstddef>
#include <vector>

namespace stoutloom::layout {

struct Rearrangement {
    enum class Kind { mirror, turn, exchange, leave } kind = Kind::mirror;
    std::size_t a = 0; // unit; of a turn and of a leaving end the cable
    std::size_t b = 0; // the unit it is exchanged with; of a turn the end, 2 for both; the end that leaves
    bool operator==(const Rearrangement&) const = default;
};

/// What may untie the ways that cross on the sheet, and those without a label beside them; the likeliest
/// first.
std::vector<Rearrangement> rearrangements(const DiagramContent& content, const Ends& ends,
                                          const PlacedSheet& sheet);
SheetShare rearranged(const SheetShare& share, const Rearrangement& how);

} // namespace stoutloom::layout
