// How balloons, labels with their gauges, and flags look.
#include "layout/notes.h"
#include "layout/pen.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout {
namespace {
constexpr double gauge_width_mm = 22;
constexpr double gauge_height_mm = 2.6;
constexpr double gauge_reach_mm = 22 * 1.75;

double bar_reach_mm(const Gauge& gauge) {
    return std::min(gauge.fraction * gauge_width_mm, gauge_reach_mm);
}
/// The boxed number before a label's first line, with the gap after it.
double number_room_mm(const RunGlyph& run, const TextMeasure& measure) {
    return measure.width_mm(run.number, 2.5, Weight::bold) + 2.4 + 1.6;
}
} // namespace

LabelBox label_size(const RunGlyph& run, bool short_label, const TextMeasure& measure, bool numbered) {
    LabelBox size{measure.width_mm(run.line1, 3.5, Weight::bold), 4.6};
    if (numbered)
        size.width_mm += number_room_mm(run, measure);
    if (run.gauge) {
        const double bar = std::max(gauge_width_mm, bar_reach_mm(*run.gauge) + 0.5);
        size.width_mm =
            std::max(size.width_mm, bar + 2 + measure.width_mm(run.gauge_note, 2.5, Weight::bold));
        size.height_mm = 10.6;
    }
    if (!short_label && !run.line3.empty()) {
        size.width_mm = std::max(size.width_mm, measure.width_mm(run.line3, 2.5, Weight::regular));
        size.height_mm = run.gauge ? 14.6 : 9.0;
    }
    size.width_mm = std::ceil(size.width_mm * 2) / 2;
    return size;
}

double add_gauge(Element& to, Point at, const Gauge& gauge, const std::string& figure,
                 const TextMeasure& measure) {
    const Box box{at.x_mm, at.y_mm - gauge_height_mm / 2, gauge_width_mm, gauge_height_mm};
    const double filled = std::clamp(gauge.fraction, 0.0, 1.0) * gauge_width_mm;
    add(to, rectangle(box, Paint::white, pen(0.25)));
    const Box bar{box.x_mm, box.y_mm + 0.55, filled, gauge_height_mm - 1.1};
    if (filled > 0.2) {
        if (gauge.short_duty) {
            add(to, rectangle(bar, Paint::white, pen(0.25)));
            add(to, hatching(bar, 0.85, 0.25));
        } else {
            add(to, rectangle(bar, Paint::ink));
        }
    }
    double right = box.right_mm();
    if (gauge.fraction > 1.0) {
        // Over the limit the bar breaks through its post, taller and hatched.
        const double reach = std::max(bar_reach_mm(gauge) - gauge_width_mm, 0.8);
        const Box over{box.right_mm(), box.y_mm - 0.6, reach, gauge_height_mm + 1.2};
        add(to, rectangle(over, Paint::white, pen(0.5)));
        add(to, hatching(over, 0.85, 0.35));
        right = over.right_mm();
        if (gauge.fraction > 1.75)
            add(to, polyline({{right, over.y_mm},
                              {right - 0.9, over.y_mm + 0.95},
                              {right, over.y_mm + 1.9},
                              {right - 0.9, over.y_mm + 2.85},
                              {right, over.bottom_mm()}},
                             false, Paint::white, pen(0.5)));
    }
    add(to, line({box.right_mm(), at.y_mm - 2.6}, {box.right_mm(), at.y_mm + 2.6}, pen(0.7)));
    const double tick = box.x_mm + 0.8 * gauge_width_mm;
    add(to, line({tick, box.y_mm - 1.2}, {tick, box.y_mm}, pen(0.25)));
    Text text = written(measure, {right + 1.8, at.y_mm + 1.25}, figure, {.weight = Weight::bold});
    right = text.box.right_mm();
    add(to, std::move(text));
    return right;
}

Element label_element(const RunGlyph& run, const CableNote& note, const TextMeasure& measure) {
    Element made = element(Role::label, run.id + "-label");
    const double x = note.label.x_mm;
    const double y = note.label.y_mm;
    double first = x;
    if (note.numbered) {
        const double room = number_room_mm(run, measure);
        add(made, rectangle({x + 0.1, y - 0.3, room - 1.6, 4.2}, Paint::white, pen(0.25)));
        add(made, written(measure, {x + 0.1 + (room - 1.6) / 2, y + 3.05}, run.number,
                          {.weight = Weight::bold, .anchor = Anchor::middle}));
        first += room;
    }
    add(made, written(measure, {first, y + 3.5}, run.line1, {.height_mm = 3.5, .weight = Weight::bold}));
    if (run.gauge)
        add_gauge(made, {x, y + 7.8}, *run.gauge, run.gauge_note, measure);
    if (!note.short_label)
        add(made, written(measure, {x, y + (run.gauge ? 13.7 : 7.9)}, run.line3));
    seal(made);
    return made;
}

Element balloon_element(const RunGlyph& run, const CableNote& note, const TextMeasure& measure) {
    Element made = element(Role::balloon, run.id + "-balloon");
    made.link_page = run.link_page;
    if (note.beside) {
        const double away =
            std::max(std::hypot(note.balloon.x_mm - note.foot.x_mm, note.balloon.y_mm - note.foot.y_mm), 0.1);
        const double share = 1 - balloon_radius_mm / away;
        const Point ring{note.foot.x_mm + (note.balloon.x_mm - note.foot.x_mm) * share,
                         note.foot.y_mm + (note.balloon.y_mm - note.foot.y_mm) * share};
        add(made, line(note.foot, ring, pen(0.35)));
        add(made, circle(note.foot, 0.6, Paint::ink));
    }
    if (run.kept) {
        add(made, circle(note.balloon, balloon_radius_mm, Paint::white));
        add(made, circle(note.balloon, balloon_radius_mm, Paint::none, pen(0.35, Dash::broken_ring)));
    } else {
        add(made, circle(note.balloon, balloon_radius_mm, Paint::white, pen(0.5)));
    }
    Lettering lettering{.height_mm = 3.5, .weight = Weight::bold, .anchor = Anchor::middle};
    if (measure.width_mm(run.number, 3.5, Weight::bold) > 6.6)
        lettering.height_mm = 2.5;
    add(made, written(measure, {note.balloon.x_mm, note.balloon.y_mm + lettering.height_mm / 2}, run.number,
                      lettering));
    seal(made);
    return made;
}

void add_planted_flag(Element& to, const FlagNote& note, const FlagGlyph& flag, const TextMeasure& measure) {
    const bool hangs = note.box.y_mm >= note.foot.y_mm;
    add(to, line({note.foot.x_mm, hangs ? note.box.bottom_mm() : note.box.y_mm}, note.foot, pen(0.5)));
    if (note.foot.x_mm != note.dot.x_mm)
        add(to, line(note.foot, note.dot, pen(0.5)));
    add(to, circle(note.dot, 0.7, Paint::ink));
    add_flag(to, {note.box.x_mm, note.box.y_mm}, flag, note.to_left, measure);
}

void add_flag(Element& to, Point corner, const FlagGlyph& flag, bool to_left, const TextMeasure& measure) {
    const Box box{corner.x_mm, corner.y_mm, flag_width_mm(flag), flag_height_mm};
    const double pole = to_left ? box.right_mm() : box.x_mm;
    const double tip = to_left ? box.x_mm : box.right_mm();
    const double way = to_left ? -1 : 1;
    const double middle = box.y_mm + flag_height_mm / 2;
    if (flag.error) {
        add(to, polyline({{pole, box.y_mm},
                          {tip, box.y_mm},
                          {tip - way * 2, middle},
                          {tip, box.bottom_mm()},
                          {pole, box.bottom_mm()}},
                         true, Paint::flag, pen(0.7)));
        const Box hoist{to_left ? pole - 1.8 : pole, box.y_mm, 1.8, flag_height_mm};
        add(to, rectangle(hoist, Paint::ink));
        add(to, written(measure, {pole + way * (box.width_mm / 2 - 0.1), middle + 1.75}, flag.number,
                        {.height_mm = 3.5, .weight = Weight::bold, .anchor = Anchor::middle}));
    } else {
        add(to, polyline({{pole, box.y_mm}, {tip, middle}, {pole, box.bottom_mm()}}, true, Paint::white,
                         pen(0.5)));
        const double half = measure.width_mm(flag.number, 2.5, Weight::bold) / 2;
        add(to, written(measure, {pole + way * std::max(2.6, half + 0.9), middle + 1.25}, flag.number,
                        {.weight = Weight::bold, .anchor = Anchor::middle}));
    }
}

} // namespace stoutloom::layout
