// Draws a sheet anew where a flag found no place: every finding is to be seen where it is. Private to this
// room.
#pragma once

#include "layout/sheet_paint.h"

#include <set>

namespace stoutloom::layout {

/// Flags of the content that one of the sheets could show and none does.
std::set<std::size_t> flags_without_place(const std::vector<PlacedSheet>& sheets);

/// The sheet drawn so that as many of those flags as can be stand on it; as it was when no more of them do.
/// Crossings do not become more, no label or balloon is given up. A line of volts is, before a flag is.
PlacedSheet with_room_for_flags(const DiagramContent& content, PlacedSheet sheet,
                                const std::set<std::size_t>& wanted, const TextMeasure& measure);

} // namespace stoutloom::layout
