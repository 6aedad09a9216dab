// A broad line is a thick cable: the only thing on the sheet whose width is a figure.
#include "layout/stroke_path.h"

#include "layout/pen.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout {
namespace {
constexpr double widest_mm = 4.4;
constexpr double strand_gap_mm = 0.8;

double raw_width_mm(const RunGlyph& run) {
    return 0.40 * std::sqrt(std::max(run.section_mm2, 0.0));
}

Point towards(Point from, Point to, double distance) {
    const double dx = to.x_mm - from.x_mm;
    const double dy = to.y_mm - from.y_mm;
    const double length = std::max(std::hypot(dx, dy), 1e-9);
    return {from.x_mm + dx / length * distance, from.y_mm + dy / length * distance};
}

/// The track moved sideways by `by` (left of the way of travel is positive); corners are right angles.
Track beside(const Track& track, double by) {
    Track made;
    for (std::size_t i = 0; i < track.size(); ++i) {
        Point moved = track[i];
        const auto shift = [&](Point a, Point b) {
            const Point unit = towards({0, 0}, {b.x_mm - a.x_mm, b.y_mm - a.y_mm}, 1);
            moved.x_mm += unit.y_mm * by;
            moved.y_mm -= unit.x_mm * by;
        };
        if (i > 0)
            shift(track[i - 1], track[i]);
        if (i + 1 < track.size())
            shift(track[i], track[i + 1]);
        made.push_back(moved);
    }
    return made;
}
} // namespace

double strand_width_mm(const RunGlyph& run) {
    return std::clamp(raw_width_mm(run), 0.5, widest_mm);
}
bool is_clamped(const RunGlyph& run) {
    return raw_width_mm(run) > widest_mm + 0.01;
}

double half_width_mm(const RunGlyph& run) {
    const double strands = std::clamp(run.parallel, 1, 4);
    return (strands * strand_width_mm(run) + (strands - 1) * strand_gap_mm) / 2;
}

double bend_radius_mm(const RunGlyph& run) {
    const double spread = half_width_mm(run) - strand_width_mm(run) / 2;
    return std::max(4.0, 2.2 * strand_width_mm(run)) + spread;
}

double track_length_mm(const Track& track) {
    double length = 0;
    for (std::size_t i = 1; i < track.size(); ++i)
        length += std::abs(track[i].x_mm - track[i - 1].x_mm) + std::abs(track[i].y_mm - track[i - 1].y_mm);
    return length;
}

int track_bends(const Track& track) {
    return std::max(0, static_cast<int>(track.size()) - 2);
}

Shape rounded(const Track& track, double radius_mm, const Stroke& stroke) {
    Shape shape{{}, false, Paint::none, stroke};
    if (track.size() < 2)
        return shape;
    shape.pieces.push_back({PathPiece::Kind::move, track.front(), {}, {}});
    for (std::size_t i = 1; i + 1 < track.size(); ++i) {
        const Point corner = track[i];
        const auto room = [&](const Point& other, bool outer) {
            return std::hypot(other.x_mm - corner.x_mm, other.y_mm - corner.y_mm) / (outer ? 1.0 : 2.0);
        };
        const double radius =
            std::min({radius_mm, room(track[i - 1], i == 1), room(track[i + 1], i + 2 == track.size())});
        const Point in = towards(corner, track[i - 1], radius);
        const Point out = towards(corner, track[i + 1], radius);
        // 0.5523: cubic handle of a quarter circle.
        shape.pieces.push_back({PathPiece::Kind::line, in, {}, {}});
        shape.pieces.push_back({PathPiece::Kind::curve, out, towards(in, corner, radius * 0.5522847498),
                                towards(out, corner, radius * 0.5522847498)});
    }
    shape.pieces.push_back({PathPiece::Kind::line, track.back(), {}, {}});
    return shape;
}

namespace {
// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): one caller, which has both by these names
void add_cross_bars(Element& to, const Track& track, double radius, double half) {
    Shape bars{{}, false, Paint::none, pen(0.35, Dash::solid, Paint::return_edge)};
    for (std::size_t i = 1; i < track.size(); ++i) {
        const Point a = track[i - 1];
        const Point b = track[i];
        const double length = std::abs(b.x_mm - a.x_mm) + std::abs(b.y_mm - a.y_mm);
        const double from = i == 1 ? 1 : radius;
        const double until = length - (i + 1 == track.size() ? 1 : radius);
        const bool level = a.y_mm == b.y_mm;
        for (double at = from; at < until; at += 1.5) {
            const Point on = towards(a, b, at);
            bars.pieces.push_back({PathPiece::Kind::move,
                                   level ? Point{on.x_mm, on.y_mm - half} : Point{on.x_mm - half, on.y_mm},
                                   {},
                                   {}});
            bars.pieces.push_back({PathPiece::Kind::line,
                                   level ? Point{on.x_mm, on.y_mm + half} : Point{on.x_mm + half, on.y_mm},
                                   {},
                                   {}});
        }
    }
    add(to, std::move(bars));
}

void add_chevron(Element& to, Point at, Point forward, double size, Paint paint) {
    const Point side{-forward.y_mm, forward.x_mm};
    const auto spot = [&](double ahead, double aside) {
        return Point{at.x_mm + forward.x_mm * ahead + side.x_mm * aside,
                     at.y_mm + forward.y_mm * ahead + side.y_mm * aside};
    };
    add(to, polyline({spot(-size * 0.6, -size), spot(size * 0.6, 0), spot(-size * 0.6, size)}, false,
                     Paint::none, pen(0.35, Dash::solid, paint)));
}

void add_chevrons(Element& to, const RunGlyph& run, const Track& track, const std::vector<Box>& quiet) {
    const double width = strand_width_mm(run);
    if (run.direction == 0 || run.parallel > 1 || run.braid || width < 1.2)
        return;
    const Paint paint = run.flow == Flow::feed ? Paint::white : Paint::return_edge;
    for (std::size_t i = 1; i < track.size(); ++i) {
        const Point a = track[i - 1];
        const Point b = track[i];
        const double length = std::abs(b.x_mm - a.x_mm) + std::abs(b.y_mm - a.y_mm);
        if (length < 20)
            continue;
        const int count = length < 40 ? 1 : length < 120 ? 2 : 3;
        const Point unit = towards({0, 0}, {b.x_mm - a.x_mm, b.y_mm - a.y_mm}, run.direction > 0 ? 1 : -1);
        for (int k = 1; k <= count; ++k) {
            const Point on = towards(a, b, length * k / (count + 1));
            const Box spot = grown({on.x_mm, on.y_mm, 0, 0}, 2.5);
            if (std::none_of(quiet.begin(), quiet.end(), [&](const Box& box) { return overlaps(box, spot); }))
                add_chevron(to, on, unit, 0.3 * width, paint);
        }
    }
}
} // namespace

Element cable_element(const RunGlyph& run, const Track& track, const std::vector<Box>& quiet) {
    Element made = element(Role::cable, run.id);
    made.title = run.title.empty() ? run.id : run.title;
    made.desc = run.desc;
    const double width = strand_width_mm(run);
    const double radius = bend_radius_mm(run);
    const double half = half_width_mm(run);
    add(made, rounded(track, radius, pen(2 * half + 1.8, Dash::solid, Paint::white)));
    if (run.flow == Flow::control) {
        add(made, rounded(track, radius, pen(std::max(width, 0.5), Dash::solid, Paint::control)));
        seal(made);
        return made;
    }
    const bool feed = run.flow == Flow::feed;
    const int strands = std::clamp(run.parallel, 1, 4);
    for (int k = 0; k < strands; ++k) {
        const double offset = (k - (strands - 1) / 2.0) * (width + strand_gap_mm);
        const Track strand = strands == 1 ? track : beside(track, offset);
        add(made,
            rounded(strand, radius, pen(width, Dash::solid, feed ? Paint::feed_edge : Paint::return_edge)));
        const double core = width - (feed ? 0.5 : 0.7);
        if (core >= 0.18)
            add(made, rounded(strand, radius,
                              pen(core, Dash::solid, feed ? Paint::feed_core : Paint::return_core)));
    }
    if (run.braid)
        add_cross_bars(made, track, radius, half);
    add_chevrons(made, run, track, quiet);
    seal(made);
    return made;
}

void add_sleeve(Element& to, const RunGlyph& run, const Track& track, const std::vector<Box>& taken) {
    const double inner = half_width_mm(run) + 0.65;
    const double outer = half_width_mm(run) + 2.5;
    const double radius = bend_radius_mm(run);
    Shape strokes{{}, false, Paint::none, pen(0.35)};
    for (std::size_t i = 1; i < track.size(); ++i) {
        const Point a = track[i - 1];
        const Point b = track[i];
        const double length = std::abs(b.x_mm - a.x_mm) + std::abs(b.y_mm - a.y_mm);
        const double from = i == 1 ? 0.5 : radius;
        const double until = length - (i + 1 == track.size() ? 0.5 : radius);
        const bool level = a.y_mm == b.y_mm;
        const double reach = outer - inner;
        for (double at = from; at + reach <= until; at += 1.5)
            for (const double side : {-1.0, 1.0}) {
                const Point near = towards(a, b, side < 0 ? at : at + reach);
                const Point far = towards(a, b, side < 0 ? at + reach : at);
                const Point p = level ? Point{near.x_mm, near.y_mm + side * inner}
                                      : Point{near.x_mm + side * inner, near.y_mm};
                const Point q = level ? Point{far.x_mm, far.y_mm + side * outer}
                                      : Point{far.x_mm + side * outer, far.y_mm};
                const Box spot = grown(box_around(p, q), 0.8);
                if (std::any_of(taken.begin(), taken.end(),
                                [&](const Box& box) { return overlaps(box, spot); }))
                    continue;
                strokes.pieces.push_back({PathPiece::Kind::move, p, {}, {}});
                strokes.pieces.push_back({PathPiece::Kind::line, q, {}, {}});
            }
    }
    add(to, std::move(strokes));
}

} // namespace stoutloom::layout
