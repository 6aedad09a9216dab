// Short words for primitives, so that the files which draw say what they draw. Private to this room.
#pragma once

#include "layout/scene.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

namespace stoutloom::layout {

struct Lettering {
    double height_mm = 2.5;
    Weight weight = Weight::regular;
    Anchor anchor = Anchor::left;
    Paint paint = Paint::ink;
};

Stroke pen(double width_mm, Dash dash = Dash::solid, Paint paint = Paint::ink);
Shape rectangle(const Box& box, Paint fill, const Stroke& stroke = {});
Shape line(Point from, Point to, const Stroke& stroke);
Shape polyline(const std::vector<Point>& points, bool closed, Paint fill, const Stroke& stroke);
Shape circle(Point centre, double radius_mm, Paint fill, const Stroke& stroke = {});
/// Oblique strokes at 45 degrees cut to a box; pitch measured along x. `rising` leans like "/".
Shape hatching(const Box& box, double pitch_mm, double width_mm, bool rising = true);
/// One line with its box measured.
Text written(const TextMeasure& measure, Point at, std::string words, const Lettering& lettering = {});
Element element(Role role, std::string id);
void add(Element& to, Shape shape);
void add(Element& to, Text text);
/// Grows the element's box over everything in it. Call when the element is complete.
void seal(Element& element);
Box cover(const Box& a, const Box& b);
inline Box box_around(Point a, Point b) {
    return {std::min(a.x_mm, b.x_mm), std::min(a.y_mm, b.y_mm), std::abs(a.x_mm - b.x_mm),
            std::abs(a.y_mm - b.y_mm)};
}

/// Whether a box meets the quarter arc of a bend. The track turns at `corner` from the way of `before` to
/// that of `after`; the strip is `half_mm` to each side of the arc.
bool meets_bend(const Box& box, Point before, Point corner, Point after, double radius_mm, double half_mm);

/// "W5" with an en-dash-wide minus in front, the product prefix of IEC 81346; a trailing hyphen becomes a
/// minus too.
std::string designation(const std::string& id);
std::string true_minus(const std::string& terminal);
/// Cut with an ellipsis to the width; only for names and details, never for figures.
std::string shortened(const TextMeasure& measure, const std::string& words, double width_mm,
                      const Lettering& lettering);
/// Lines no wider than `width_mm`; a number is never parted from its unit. The last line is shortened if more
/// than `most` lines would be needed.
std::vector<std::string> wrapped(const TextMeasure& measure, const std::string& words, double width_mm,
                                 const Lettering& lettering, std::size_t most);
/// On one line or on two of like width, as narrow as they go without cutting a word.
std::vector<std::string> two_lines(const TextMeasure& measure, const std::string& words);
constexpr double line_pitch(double height_mm) {
    return 1.65 * height_mm;
}
inline double snapped(double value_mm) {
    // As std::round does, without the call: asked a million times a sheet.
    const double twice = value_mm * 2;
    return static_cast<double>(static_cast<long>(twice + (twice < 0 ? -0.5 : 0.5))) / 2;
} // to the 0.5 grid

} // namespace stoutloom::layout
