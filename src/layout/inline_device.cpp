// Fuse-links and other two-stud devices that sit in the feed, and the marks where a lead goes on elsewhere.
#include "layout/hardware.h"
#include "layout/pen.h"

#include <algorithm>

namespace stoutloom::layout {
namespace {
constexpr double plinth_mm = 3;
constexpr double overhang_mm = 5;

Box plinth_box(const PlacedStud& a, const PlacedStud& b) {
    const double left = std::min(a.x_mm, b.x_mm) - overhang_mm;
    const double right = std::max(a.x_mm, b.x_mm) + overhang_mm;
    return {left, a.face_mm, right - left, plinth_mm};
}

std::vector<Text> words(const PlacedUnit& unit, const PlacedStud& a, const PlacedStud& b,
                        const TextMeasure& measure) {
    const double middle = (a.x_mm + b.x_mm) / 2;
    double baseline = a.face_mm + plinth_mm + 1.4 + 3.5;
    std::vector<Text> made{written(measure, {middle, baseline}, designation(unit.glyph->id),
                                   {.height_mm = 3.5, .weight = Weight::bold, .anchor = Anchor::middle})};
    for (const std::string& each : unit.lines) {
        baseline += line_pitch(2.5);
        made.push_back(written(measure, {middle, baseline}, each, {.anchor = Anchor::middle}));
    }
    return made;
}

/// Symbol between the studs at the height of level 1.
void draw_body(Element& to, const PlacedUnit& unit, double left, double right, double y) {
    const double middle = (left + right) / 2;
    const double half = std::min((right - left) / 2 - 3.5, 6.5);
    add(to, line({left, y}, {middle - half, y}, pen(1.0)));
    add(to, line({middle + half, y}, {right, y}, pen(1.0)));
    const Box body{middle - half, y - 2.2, 2 * half, 4.4};
    switch (unit.glyph->symbol) {
    case UnitSymbol::switch_:
        add(to, rectangle(grown(body, 0.4), Paint::white, pen(0.35)));
        add(to, line({middle - half, y}, {middle - half * 0.45, y}, pen(0.5)));
        add(to, line({middle - half * 0.45, y}, {middle + half * 0.55, y - 1.9}, pen(0.5)));
        add(to, line({middle + half * 0.5, y}, {middle + half, y}, pen(0.5)));
        break;
    case UnitSymbol::shunt:
        add(to, rectangle(body, Paint::white, pen(0.5)));
        add(to, line({middle - half * 0.6, body.bottom_mm()}, {middle - half * 0.6, body.bottom_mm() + 0.0},
                     pen(0.35)));
        break;
    default:
        add(to, rectangle(body, Paint::white, pen(0.5)));
        add(to, line({middle - half, y}, {middle + half, y}, pen(0.35)));
    }
}
} // namespace

Element inline_element(const PlacedUnit& unit, const PlacedStud& a, const PlacedStud& b,
                       const TextMeasure& measure) {
    Element made = element(Role::unit, unit.glyph->id);
    made.title = unit.glyph->id + ", " + unit.glyph->name;
    const Box plinth = plinth_box(a, b);
    add(made, rectangle(plinth, Paint::white, pen(0.35)));
    add(made, hatching(plinth, 2.0, 0.18));
    const PlacedStud& left = a.x_mm < b.x_mm ? a : b;
    const PlacedStud& right = a.x_mm < b.x_mm ? b : a;
    draw_body(made, unit, left.x_mm, right.x_mm, a.away(4.2));
    for (Text& each : words(unit, a, b, measure))
        add(made, std::move(each));
    seal(made);
    return made;
}

std::vector<Box> inline_boxes(const PlacedUnit& unit, const PlacedStud& a, const PlacedStud& b,
                              const TextMeasure& measure) {
    const double left = std::min(a.x_mm, b.x_mm);
    std::vector<Box> boxes{plinth_box(a, b), {left, a.away(7), std::abs(a.x_mm - b.x_mm), 7}};
    for (const Text& each : words(unit, a, b, measure))
        boxes.push_back(each.box);
    return boxes;
}

std::string tag_words(const RunGlyph& run, const std::string& terminal) {
    return run.id + "  " + true_minus(terminal);
}

double whole_tag_mm(const std::string& line1, const TitleFields& fields, const TextMeasure& measure) {
    const double where = measure.width_mm(said(fields, "sheet {0}, {1}", {"2b", "B6"}), 2.5, Weight::regular);
    return std::max({24.0, where + 4, measure.width_mm(line1, 2.5, Weight::bold) + 3});
}

Box tag_box(Point point, int towards, double width_mm) {
    constexpr double nose = 2.6;
    if (towards == 2 || towards == -2) // under the point
        return {point.x_mm - width_mm / 2, point.y_mm, width_mm, tag_height_mm + nose};
    if (towards == 0)
        return {point.x_mm - width_mm / 2, point.y_mm - nose - tag_height_mm, width_mm, tag_height_mm + nose};
    const double left = towards < 0 ? point.x_mm : point.x_mm - width_mm - nose;
    return {left, point.y_mm - tag_height_mm / 2, width_mm + nose, tag_height_mm};
}

Element tag_element(const std::string& id, Point point, int towards, double width_mm,
                    const std::string& line1, const std::string& line2, const TextMeasure& measure) {
    Element made = element(Role::tag, id);
    const Box box = tag_box(point, towards, width_mm);
    constexpr double nose = 2.6;
    double middle = point.x_mm;
    double top = box.y_mm;
    std::vector<Point> outline;
    if (towards == 2 || towards == -2) {
        top = box.y_mm + nose;
        outline = {{box.x_mm, top},
                   point,
                   {box.right_mm(), top},
                   {box.right_mm(), box.bottom_mm()},
                   {box.x_mm, box.bottom_mm()}};
    } else if (towards == 0) {
        const double low = box.bottom_mm() - nose;
        outline = {{box.x_mm, top}, {box.right_mm(), top}, {box.right_mm(), low}, point, {box.x_mm, low}};
    } else {
        const double base = towards < 0 ? box.x_mm + nose : box.right_mm() - nose;
        const double far = towards < 0 ? box.right_mm() : box.x_mm;
        outline = {point, {base, top}, {far, top}, {far, box.bottom_mm()}, {base, box.bottom_mm()}};
        middle = (base + far) / 2;
    }
    add(made, polyline(outline, true, Paint::white, pen(0.5)));
    add(made,
        written(measure, {middle, top + 3.9}, line1, {.weight = Weight::bold, .anchor = Anchor::middle}));
    add(made, written(measure, {middle, top + 7.8}, line2, {.anchor = Anchor::middle}));
    seal(made);
    return made;
}

} // namespace stoutloom::layout
