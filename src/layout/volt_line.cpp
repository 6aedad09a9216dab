// One line per sheet: x is the stud's own place, y is volts; the limit and the set point frame it.
#include "layout/volt_line.h"

#include "layout/pen.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace stoutloom::layout {
namespace {
constexpr double top_gap_mm = 5;
constexpr double tall_mm = 13;

std::vector<Point> places(const Arrangement& all, const VoltLine& line) {
    std::vector<Point> made;
    for (std::size_t i = 0; i < line.studs.size() && i < line.volts_v.size(); ++i)
        for (const PlacedStud& stud : all.studs)
            if (stud.id == line.studs[i]) {
                made.push_back({stud.x_mm, line.volts_v[i]});
                break;
            }
    return made;
}
} // namespace

bool volt_line_fits(const Arrangement& arrangement, const VoltLine& line) {
    return !arrangement.share.control && line.studs.size() >= 2 &&
           places(arrangement, line).size() == line.studs.size() && line.studs.size() == line.volts_v.size();
}

namespace {
struct Scale {
    double high_v, low_v, top_mm;
    double y(double volts) const {
        return top_mm + (high_v - volts) / std::max(high_v - low_v, 1e-6) * tall_mm;
    }
};

/// Words where neither the line nor earlier words are, above or below the point; nothing when both are taken.
void write_figure(Element& to, const std::vector<Point>& line, Point at, double y, std::vector<Box>& taken,
                  const TextMeasure& measure, const std::string& words, bool end_left) {
    const Lettering bold{.weight = Weight::bold, .anchor = end_left ? Anchor::right : Anchor::left};
    std::vector<Text> tries;
    if (!words.empty()) {
        const double side = end_left ? -1.6 : 1.6;
        tries.push_back(written(measure, {at.x_mm + side, y + 1.25}, words, bold));
        tries.push_back(written(measure, {at.x_mm + side, y + 4.4}, words, bold));
        tries.push_back(written(measure, {at.x_mm + side, y - 1.6}, words, bold));
    }
    for (Text& text : tries) {
        const Box box = grown(text.box, 0.5);
        const bool free =
            std::none_of(taken.begin(), taken.end(), [&](const Box& other) { return overlaps(box, other); });
        bool clear = true;
        for (std::size_t i = 1; i < line.size(); ++i)
            clear = clear && !overlaps(box, grown(box_around(line[i - 1], line[i]), 0.2));
        if (!free || !clear)
            continue;
        taken.push_back(box);
        add(to, std::move(text));
        return;
    }
}
} // namespace

Element volt_line_element(const Arrangement& all, const VoltLine& volts, const TextMeasure& measure) {
    Element made = element(Role::furniture, "volt-line");
    made.title = said(all.content->title, "Volt line");
    made.desc = volts.caption;
    std::vector<Point> points = places(all, volts);
    std::stable_sort(points.begin(), points.end(), [](Point a, Point b) { return a.x_mm < b.x_mm; });
    double high = volts.set_point_v;
    double low = 1e9;
    for (const Point& point : points) {
        high = std::max(high, point.y_mm);
        low = std::min(low, point.y_mm);
    }
    const double limit = volts.limit_v > 0 ? volts.volts_v.front() - volts.limit_v : 0;
    if (limit > 0)
        low = std::min(low, limit);
    const Scale scale{high, low, all.top_mm + 9 + top_gap_mm};
    const double left = points.front().x_mm;
    const double right = points.back().x_mm;
    std::vector<Point> drawn;
    drawn.reserve(points.size());
    for (const Point& point : points)
        drawn.push_back({point.x_mm, scale.y(point.y_mm)});
    std::vector<Box> taken;
    for (const Panel& panel : all.share.panels)
        for (const double x : {panel.left_mm, panel.right_mm})
            taken.push_back({x - 0.2, all.top_mm, 0.4, 40});
    const auto dashed = [&](double v, Dash dash) {
        add(made, line({left, scale.y(v)}, {right, scale.y(v)}, pen(0.35, dash)));
        taken.push_back({left, scale.y(v) - 0.3, right - left, 0.6});
    };
    if (volts.set_point_v > 0)
        dashed(volts.set_point_v, Dash::dashed);
    if (limit > 0)
        dashed(limit, Dash::dash_dot);
    add(made, polyline(drawn, false, Paint::none, pen(0.7)));
    for (const Point& point : drawn)
        add(made, circle(point, 0.9, Paint::ink));
    const auto shown = [](double v) { return fmt::format("{:.2f} V", v); };
    write_figure(made, drawn, drawn.front(), drawn.front().y_mm, taken, measure, shown(points.front().y_mm),
                 true);
    write_figure(made, drawn, drawn.back(), drawn.back().y_mm, taken, measure, shown(points.back().y_mm),
                 false);
    if (limit > 0)
        write_figure(made, {}, {right, 0}, scale.y(limit), taken, measure,
                     said(all.content->title, "limit {0} V", {fmt::format("{:.2f}", volts.limit_v)}), false);
    // Title and caption in the widest panel stretch that the line leaves free.
    const Panel& first = all.share.panels.front();
    const Panel& last = all.share.panels.back();
    const double room_left = std::min(left - 18, first.right_mm - 2) - first.left_mm - 4;
    const double room_right = last.right_mm - std::max(right + 26, last.left_mm + 2) - 4;
    const bool at_left = room_left >= room_right;
    const double room = std::max(room_left, room_right);
    if (room > 24) {
        const double x = at_left ? first.left_mm + 4 : last.right_mm - 4 - room;
        double y = all.top_mm + 9 + 6.5;
        add(made, written(measure, {x, y}, said(all.content->title, "Volt line"),
                          {.height_mm = 3.5, .weight = Weight::bold}));
        for (const std::string& each : wrapped(measure, volts.caption, room, {}, 3)) {
            y += y < all.top_mm + 16 ? 5.0 : line_pitch(2.5);
            add(made, written(measure, {x, y}, each));
        }
    }
    seal(made);
    return made;
}

} // namespace stoutloom::layout
