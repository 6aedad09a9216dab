// The fall of volts along the feed, drawn over the studs where it happens. Private to this room.
#pragma once

#include "layout/arrangement.h"
#include "layout/route.h"

namespace stoutloom::layout {

/// Whether the sheet shows enough of the path to be worth a line: three of its studs, or a quarter of its
/// fall. A cable of the path that leaves the sheet counts: the line goes on to its tag.
bool volt_line_fits(const Arrangement& arrangement, const VoltLine& line);
Element volt_line_element(const Arrangement& all, const Routing& routing, const VoltLine& volts,
                          const TextMeasure& measure);

} // namespace stoutloom::layout
