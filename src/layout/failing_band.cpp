// What marks a part that an error stands against: a hatched band round its box, which a copier keeps.
#include "layout/devices.h"
#include "layout/hardware.h"
#include "layout/pen.h"

#include <algorithm>
#include <vector>

namespace stoutloom::layout {
namespace {

constexpr double off_mm = 0.65; // the box's own outline stays clear
constexpr double wide_mm = 2.0;
constexpr double pitch_mm = 1.5;

/// The box itself; of a device in the line its body and the plinth it stands on.
Box box_of(const PlacedUnit& unit, const Arrangement& all, const TextMeasure& measure) {
    if (unit.bar != PlacedUnit::Bar::none)
        return bar_box(unit);
    if (!unit.upper)
        return unit.box;
    const std::vector<Box> parts =
        inline_boxes(unit, all.studs[unit.studs[0]], all.studs[unit.studs[1]], measure);
    const Box& plinth = parts[0];
    const Box& body = parts[1];
    return {plinth.x_mm, body.y_mm, plinth.width_mm, plinth.bottom_mm() - body.y_mm};
}

} // namespace

Element failing_band(const PlacedUnit& unit, const Arrangement& all, const std::vector<Box>& taken,
                     const TextMeasure& measure) {
    Element made = element(Role::hatch, unit.glyph->id + "-failing");
    const Box box = box_of(unit, all, measure);
    const Box inner = grown(box, off_mm);
    const Box outer = grown(inner, wide_mm);
    Shape strokes{{}, false, Paint::none, pen(0.35)};
    const auto stroke = [&](Point low, Point high) {
        const Box spot = grown(box_around(low, high), 0.6);
        // What belongs to the box itself, drawn inside it, is no hindrance.
        if (std::any_of(taken.begin(), taken.end(), [&](const Box& other) {
                return overlaps(spot, other) && !overlaps(other, grown(box, -0.3), -0.3);
            }))
            return;
        strokes.pieces.push_back({PathPiece::Kind::move, low, {}, {}});
        strokes.pieces.push_back({PathPiece::Kind::line, high, {}, {}});
    };
    for (double x = outer.x_mm; x + wide_mm <= outer.right_mm() + 1e-6; x += pitch_mm)
        for (const double y : {inner.y_mm, outer.bottom_mm()})
            stroke({x, y}, {x + wide_mm, y - wide_mm});
    for (double y = inner.y_mm + pitch_mm; y <= inner.bottom_mm() + 1e-6; y += pitch_mm)
        for (const double x : {outer.x_mm, inner.right_mm()})
            stroke({x, y}, {x + wide_mm, y - wide_mm});
    add(made, std::move(strokes));
    seal(made);
    return made;
}

} // namespace stoutloom::layout
