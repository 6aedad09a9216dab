// One line per sheet: x is the stud's own place, y is volts; the limit and the set point frame it. Where the
// path leaves the sheet the line goes to the tag of its cable, with the volts at the cable's other end.
#include "layout/volt_line.h"

#include "layout/pen.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <optional>

namespace stoutloom::layout {
namespace {
constexpr double volts_head_mm = 9;
constexpr double top_gap_mm = 5;
constexpr double tall_mm = 13;
constexpr double band_mm = 22; // under the head

const PlacedStud* stud_named(const Arrangement& all, const std::string& id) {
    const auto at = std::find_if(all.studs.begin(), all.studs.end(),
                                 [&](const PlacedStud& stud) { return stud.id == id; });
    return at == all.studs.end() ? nullptr : &*at;
}

std::size_t cable_between(const DiagramContent& content, const std::string& a, const std::string& b) {
    for (std::size_t c = 0; c < content.cables.size(); ++c) {
        const RunGlyph& run = content.cables[c];
        if ((run.from == a && run.to == b) || (run.from == b && run.to == a))
            return c;
    }
    return nowhere;
}

/// A piece of the path on this sheet; an end that is not here is where its cable's tag stands.
struct Fall {
    Point a, b; // x on the sheet, y in volts
    bool a_here = true, b_here = true;
};
} // namespace

bool volt_line_fits(const Arrangement& arrangement, const VoltLine& line) {
    if (arrangement.share.control || line.studs.size() < 2 || line.studs.size() != line.volts_v.size())
        return false;
    double whole = 0;
    double shown = 0;
    std::size_t here = stud_named(arrangement, line.studs.front()) != nullptr ? 1 : 0;
    for (std::size_t i = 1; i < line.studs.size(); ++i) {
        const double fall = std::abs(line.volts_v[i] - line.volts_v[i - 1]);
        whole += fall;
        const bool before = stud_named(arrangement, line.studs[i - 1]) != nullptr;
        const bool now = stud_named(arrangement, line.studs[i]) != nullptr;
        here += now ? 1 : 0;
        if ((before && now) || ((before || now) && cable_between(*arrangement.content, line.studs[i - 1],
                                                                 line.studs[i]) != nowhere))
            shown += fall;
    }
    return here > 2 || (here > 0 && shown > 0.25 * whole);
}

namespace {
std::vector<Fall> falls_here(const Arrangement& all, const Routing& routing, const VoltLine& volts) {
    const auto tip_of = [&](std::size_t cable) -> std::optional<double> {
        for (const Routed& route : routing.routes)
            if (route.cable == cable && route.tag_end >= 0)
                return (route.tag_end == 0 ? route.track.front() : route.track.back()).x_mm;
        return std::nullopt;
    };
    std::vector<Fall> made;
    for (std::size_t i = 1; i < volts.studs.size(); ++i) {
        const PlacedStud* before = stud_named(all, volts.studs[i - 1]);
        const PlacedStud* now = stud_named(all, volts.studs[i]);
        if (before == nullptr && now == nullptr)
            continue;
        Fall fall{{0, volts.volts_v[i - 1]}, {0, volts.volts_v[i]}, before != nullptr, now != nullptr};
        const std::optional<double> tip =
            before == nullptr || now == nullptr
                ? tip_of(cable_between(*all.content, volts.studs[i - 1], volts.studs[i]))
                : std::optional<double>(0);
        if (!tip)
            continue;
        fall.a.x_mm = before != nullptr ? before->x_mm : *tip;
        fall.b.x_mm = now != nullptr ? now->x_mm : *tip;
        made.push_back(fall);
    }
    return made;
}

struct Scale {
    double high_v, low_v, top_mm;
    double y(double volts) const {
        return top_mm + (high_v - volts) / std::max(high_v - low_v, 1e-6) * tall_mm;
    }
};

/// What is drawn so far, and what may still be written beside it.
class Canvas {
  public:
    Canvas(Element& to, const TextMeasure& measure) : to_(to), measure_(measure) {}
    void take(const Box& box) { taken_.push_back(box); }
    void slope(Point a, Point b) { slopes_.push_back({a, b}); }
    bool free(const Box& box) const {
        const Box wide = grown(box, 0.5);
        return std::none_of(taken_.begin(), taken_.end(),
                            [&](const Box& other) { return overlaps(wide, other); }) &&
               std::none_of(slopes_.begin(), slopes_.end(),
                            [&](const auto& each) { return cuts(wide, each); });
    }
    /// The first of the places that is free.
    bool write(const std::vector<Point>& places, const std::string& words, const Lettering& lettering) {
        for (const Point& place : places) {
            Text text = written(measure_, place, words, lettering);
            if (!free(text.box))
                continue;
            take(grown(text.box, 0.5));
            add(to_, std::move(text));
            return true;
        }
        return false;
    }

  private:
    Element& to_;
    const TextMeasure& measure_;
    std::vector<Box> taken_;
    std::vector<std::pair<Point, Point>> slopes_;

    static bool cuts(const Box& box, const std::pair<Point, Point>& slope) {
        const auto [a, b] = slope;
        const int steps = 1 + static_cast<int>(std::abs(a.x_mm - b.x_mm) + std::abs(a.y_mm - b.y_mm));
        for (int k = 0; k <= steps; ++k) {
            const double t = static_cast<double>(k) / steps;
            const Point at{a.x_mm + (b.x_mm - a.x_mm) * t, a.y_mm + (b.y_mm - a.y_mm) * t};
            if (overlaps(box, grown({at.x_mm, at.y_mm, 0, 0}, 0.75)))
                return true;
        }
        return false;
    }
};

/// Title and caption in the first place that is free, as wide as the words want, then narrower.
void write_caption(Element& to, Canvas& canvas, const Arrangement& all, const VoltLine& volts,
                   const TextMeasure& measure) {
    const std::string title = said(all.content->title, "Volt line");
    const double title_width = measure.width_mm(title, 3.5, Weight::bold);
    const double top = all.top_mm + volts_head_mm + 2;
    for (const double width : {120.0, 84.0, 60.0, 44.0, 32.0}) {
        const std::vector<std::string> lines = wrapped(measure, volts.caption, width, {}, 0);
        double wide = title_width;
        for (const std::string& each : lines)
            wide = std::max(wide, measure.width_mm(each, 2.5, Weight::regular));
        const double tall = 4.5 + line_pitch(2.5) * static_cast<double>(lines.size());
        for (double x = all.left_mm + 4; x + wide < all.right_mm - 4; x += 2)
            for (double y = top; y + tall < all.top_mm + volts_head_mm + band_mm + 0.5; y += 1) {
                if (!canvas.free(grown({x, y, wide, tall}, 0.8)))
                    continue;
                canvas.take(grown({x, y, wide, tall}, 0.5));
                add(to, written(measure, {x, y + 3.5}, title, {.height_mm = 3.5, .weight = Weight::bold}));
                double baseline = y + 3.5 + 4.4;
                for (const std::string& each : lines) {
                    add(to, written(measure, {x, baseline}, each));
                    baseline += line_pitch(2.5);
                }
                return;
            }
    }
}
} // namespace

Element volt_line_element(const Arrangement& all, const Routing& routing, const VoltLine& volts,
                          const TextMeasure& measure) {
    Element made = element(Role::furniture, "volt-line");
    made.title = said(all.content->title, "Volt line");
    made.desc = volts.caption;
    const std::vector<Fall> falls = falls_here(all, routing, volts);
    if (falls.empty())
        return made;
    // The same scale on every sheet.
    const double limit = volts.limit_v > 0 ? volts.volts_v.front() - volts.limit_v : 0;
    const auto [low, high] = std::minmax_element(volts.volts_v.begin(), volts.volts_v.end());
    // A set point far above all of it (a source at the end of its strength) would flatten the line.
    const bool near = volts.set_point_v < *high + 1.5 * std::max(*high - *low, volts.limit_v);
    const Scale scale{near ? std::max(volts.set_point_v, *high) : *high,
                      limit > 0 ? std::min(*low, limit) : *low, all.top_mm + volts_head_mm + top_gap_mm};
    double left = 1e9;
    double right = 0;
    Canvas canvas(made, measure);
    for (const Fall& fall : falls) {
        left = std::min({left, fall.a.x_mm, fall.b.x_mm});
        right = std::max({right, fall.a.x_mm, fall.b.x_mm});
        const Point a{fall.a.x_mm, scale.y(fall.a.y_mm)};
        const Point b{fall.b.x_mm, scale.y(fall.b.y_mm)};
        add(made, line(a, b, pen(0.7)));
        canvas.slope(a, b);
    }
    for (const Fall& fall : falls)
        for (const auto& [point, here] : {std::pair{fall.a, fall.a_here}, {fall.b, fall.b_here}})
            add(made, circle({point.x_mm, scale.y(point.y_mm)}, 0.9, here ? Paint::ink : Paint::white,
                             here ? Stroke{} : pen(0.35)));
    for (const Panel& panel : all.share.panels)
        for (const double x : {panel.left_mm, panel.right_mm})
            canvas.take({x - 0.2, all.top_mm, 0.4, 40});
    const auto dashed = [&](double v, Dash dash) {
        add(made, line({left, scale.y(v)}, {right, scale.y(v)}, pen(0.35, dash)));
        canvas.take({left, scale.y(v) - 0.3, right - left, 0.6});
    };
    if (volts.set_point_v > 0 && near)
        dashed(volts.set_point_v, Dash::dashed);
    if (limit > 0)
        dashed(limit, Dash::dash_dot);
    const Lettering in_bold{.weight = Weight::bold};
    const auto figure = [&](Point at, bool end) {
        const double y = scale.y(at.y_mm);
        const std::string words = fmt::format("{:.2f}", at.y_mm) + (end ? " V" : "");
        const double wide = measure.width_mm(words, 2.5, end ? Weight::bold : Weight::regular);
        const double beside = at.x_mm > (left + right) / 2 ? at.x_mm + 1.8 : at.x_mm - 1.8 - wide;
        const double middle = at.x_mm - wide / 2;
        std::vector<Point> places{{middle, y + 4.4}, {middle, y - 1.9}};
        if (end)
            places = {{beside, y + 1.25}, {beside, y + 4.4},      {beside, y - 1.9},
                      {middle, y + 4.4},  {middle - 10, y + 4.4}, {middle + 10, y + 4.4}};
        canvas.write(places, words, end ? in_bold : Lettering{});
    };
    figure(falls.front().a, true);
    figure(falls.back().b, true);
    if (limit > 0) {
        const std::string words =
            said(all.content->title, "limit {0} V", {fmt::format("{:.2f}", volts.limit_v)});
        const double wide = measure.width_mm(words, 2.5, Weight::bold);
        const double y = scale.y(limit);
        canvas.write({{right + 1.8, y + 1.25},
                      {left - 1.8 - wide, y + 1.25},
                      {right - wide, y - 1.2},
                      {left, y - 1.2},
                      {right - wide, y + 3.6},
                      {left, y + 3.6}},
                     words, in_bold);
    }
    write_caption(made, canvas, all, volts, measure);
    for (std::size_t i = 1; i < falls.size(); ++i)
        figure(falls[i].a, false);
    seal(made);
    return made;
}

} // namespace stoutloom::layout
