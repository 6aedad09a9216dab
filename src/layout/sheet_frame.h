// The sheet itself: size, frame, grid references, centring marks, title block. Private to this room.
#pragma once

#include "layout/diagram.h"
#include "layout/scene.h"

#include <string>
#include <vector>

namespace stoutloom::layout {

struct SheetSize {
    double width_mm = 420, height_mm = 297;
    double title_height_mm = 36;
    /// Whether the strip of key plan, findings and key fits under the diagram; small sheets give it a page of
    /// its own.
    bool has_strip = true;
    std::size_t most_cables = 12, most_units = 8, most_zones = 5;
};
SheetSize sheet_size(Sheet sheet);
/// Inside of the frame line.
Box frame_box(const SheetSize& size);
/// Where content may stand: 4 inside the frame.
Box content_box(const SheetSize& size);
Box title_box(const SheetSize& size);
/// ISO 5457 field, "B3".
std::string grid_reference(const SheetSize& size, Point at);

/// Whether zones are headed by their ids, "+A2": only where each id is short; a mixture reads as a mistake.
bool zones_by_id(const DiagramContent& content);

/// Frame with its reference band and centring marks.
Element frame_element(const SheetSize& size, const TextMeasure& measure);
Element title_element(const SheetSize& size, const TitleFields& fields, const std::string& sheet_number,
                      const TextMeasure& measure);

} // namespace stoutloom::layout
