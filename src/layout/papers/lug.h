// Cable ends at true size: ring lugs, post clamps, push-on receptacles, plugs and splices.
#pragma once

#include "layout/papers/pen.h"

namespace stoutloom::layout::papers {

enum class EndKind { ring, post_clamp, blade, plug, splice };

/// One end of a cable, as the installer holds it.
struct EndShape {
    EndKind kind = EndKind::ring;
    double hole_mm = 8.4;  // diameter; ring and post clamp
    double palm_mm = 20;   // greatest width of the end
    double barrel_mm = 14; // outside diameter of the barrel
    double barrel_length_mm = 22;
    int crimps = 2; // crimp places drawn
};

/// From the reference point (hole centre, or the tip of an end without a hole) to where the barrel begins.
double neck_length_mm(const EndShape& end);
/// From the outermost edge to the reference point.
double overhang_mm(const EndShape& end);
/// Reference point to the end of the barrel.
double end_length_mm(const EndShape& end);

/// Draws the end with its reference point at `at`; `inward` is +1 when the cable leaves to the right. A
/// barrel shorter than its true length (`barrel_room_mm`) is drawn broken.
struct EndPlace {
    Point at;
    double inward = 1;
    double barrel_room_mm = 1e9;
    double turn_rad = 0; // of an end whose cable leaves to the right: counter-clockwise as seen on the sheet
};
/// A point given along the cable (from the reference point inwards) and across it.
Point point_on_end(const EndPlace& place, double along_mm, double across_mm);
void draw_end(Pen& pen, const EndShape& end, const EndPlace& place);

} // namespace stoutloom::layout::papers
