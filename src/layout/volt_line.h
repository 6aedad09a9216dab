// The fall of volts along the feed, drawn over the studs where it happens. Private to this room.
#pragma once

#include "layout/arrangement.h"

namespace stoutloom::layout {

/// Whether the sheet shows all of its studs, so that the line can stand over them.
bool volt_line_fits(const Arrangement& arrangement, const VoltLine& line);
Element volt_line_element(const Arrangement& all, const VoltLine& volts, const TextMeasure& measure);

} // namespace stoutloom::layout
