// A post or bus bar: a low bar of metal with its studs on it, its words under it (over it where they hang).
#include "layout/devices.h"
#include "layout/pen.h"

namespace stoutloom::layout {
namespace {
constexpr double bar_mm = 2.6;
constexpr double words_gap_mm = 1.5;

double words_mm(const PlacedUnit& unit) {
    return 3.5 + static_cast<double>(unit.lines.size()) * line_pitch(2.5) + 0.8;
}
} // namespace

Box bar_box(const PlacedUnit& unit) {
    const double top = unit.bar == PlacedUnit::Bar::hanging ? unit.box.bottom_mm() - bar_mm : unit.box.y_mm;
    return {unit.bar_left_mm, top, unit.bar_right_mm - unit.bar_left_mm, bar_mm};
}

std::vector<Box> unit_boxes(const PlacedUnit& unit) {
    if (unit.bar == PlacedUnit::Bar::none)
        return {unit.box};
    const Box bar = bar_box(unit);
    const double top = unit.bar == PlacedUnit::Bar::hanging ? bar.y_mm - words_gap_mm - words_mm(unit)
                                                            : bar.bottom_mm() + words_gap_mm;
    return {bar, {unit.box.x_mm, top, unit.text_width_mm + 1, words_mm(unit)}};
}

Element bar_element(const PlacedUnit& unit, const TextMeasure& measure) {
    Element made = element(Role::unit, unit.glyph->id);
    made.title = unit.glyph->id + ", " + unit.glyph->name;
    const Box bar = bar_box(unit);
    add(made, rectangle(bar, Paint::bed, pen(0.35)));
    const double face = unit.bar == PlacedUnit::Bar::hanging ? bar.bottom_mm() : bar.y_mm;
    add(made, line({bar.x_mm, face}, {bar.right_mm(), face}, pen(0.7)));
    const Box words = unit_boxes(unit).back();
    double baseline = words.y_mm + 3.5;
    add(made, written(measure, {words.x_mm + 0.5, baseline}, designation(unit.glyph->id),
                      {.height_mm = 3.5, .weight = Weight::bold}));
    for (const std::string& each : unit.lines) {
        baseline += line_pitch(2.5);
        add(made, written(measure, {words.x_mm + 0.5, baseline}, each));
    }
    seal(made);
    return made;
}

} // namespace stoutloom::layout
