#include "layout/papers/pen.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stoutloom::layout::papers {
namespace {

Box box_around(const std::vector<PathPiece>& pieces, double margin_mm) {
    double left = 1e9, top = 1e9, right = -1e9, bottom = -1e9;
    const auto take = [&](const Point& point) {
        left = std::min(left, point.x_mm);
        right = std::max(right, point.x_mm);
        top = std::min(top, point.y_mm);
        bottom = std::max(bottom, point.y_mm);
    };
    for (const PathPiece& piece : pieces) {
        take(piece.to);
        if (piece.kind != PathPiece::Kind::curve)
            continue;
        take(piece.control1);
        take(piece.control2);
    }
    return {.x_mm = left - margin_mm,
            .y_mm = top - margin_mm,
            .width_mm = right - left + 2 * margin_mm,
            .height_mm = bottom - top + 2 * margin_mm};
}

std::vector<PathPiece> straight(const std::vector<Point>& corners) {
    std::vector<PathPiece> pieces;
    pieces.reserve(corners.size());
    for (const Point& corner : corners)
        pieces.push_back({.kind = pieces.empty() ? PathPiece::Kind::move : PathPiece::Kind::line,
                          .to = corner,
                          .control1 = {},
                          .control2 = {}});
    return pieces;
}

/// The parts of [low, high] outside the spans to spare.
using Range = std::pair<double, double>;
std::vector<Range> without(Range whole, std::vector<Range> spared) {
    std::sort(spared.begin(), spared.end());
    std::vector<Range> left;
    double at = whole.first;
    for (const Range& hole : spared) {
        if (hole.second <= at || hole.first >= whole.second)
            continue;
        if (hole.first > at)
            left.emplace_back(at, hole.first);
        at = std::max(at, hole.second);
    }
    if (at < whole.second)
        left.emplace_back(at, whole.second);
    return left;
}

} // namespace

Pen::Pen(std::string id, Role role, const TextMeasure& measure) : measure_(&measure) {
    element_.id = std::move(id);
    element_.role = role;
}

void Pen::told(std::string title, std::string desc) {
    element_.title = std::move(title);
    element_.desc = std::move(desc);
}

void Pen::grow(const Box& box) {
    if (empty_) {
        element_.box = box;
        empty_ = false;
        return;
    }
    Box& old = element_.box;
    const double left = std::min(old.x_mm, box.x_mm), top = std::min(old.y_mm, box.y_mm);
    const double right = std::max(old.right_mm(), box.right_mm()),
                 bottom = std::max(old.bottom_mm(), box.bottom_mm());
    old = {.x_mm = left, .y_mm = top, .width_mm = right - left, .height_mm = bottom - top};
}

void Pen::path(std::vector<PathPiece> pieces, bool closed, const Outline& outline) {
    grow(box_around(pieces, outline.width_mm / 2));
    const Paint paint = outline.width_mm > 0 ? outline.paint : Paint::none;
    element_.shapes.push_back(
        {.pieces = std::move(pieces),
         .closed = closed,
         .fill = outline.fill,
         .stroke = {
             .paint = paint, .width_mm = outline.width_mm, .dash = outline.dash, .round_caps = false}});
}

void Pen::line(Point from, Point to, double width_mm, Dash dash, Paint paint) {
    path(straight({from, to}), false,
         {.width_mm = width_mm, .fill = Paint::none, .paint = paint, .dash = dash});
}

void Pen::polygon(const std::vector<Point>& corners, const Outline& outline) {
    path(straight(corners), true, outline);
}

void Pen::polyline(const std::vector<Point>& corners, double width_mm, Paint paint, Dash dash) {
    path(straight(corners), false, {.width_mm = width_mm, .fill = Paint::none, .paint = paint, .dash = dash});
}

void Pen::box(const Box& box, const Outline& outline) {
    polygon({{box.x_mm, box.y_mm},
             {box.right_mm(), box.y_mm},
             {box.right_mm(), box.bottom_mm()},
             {box.x_mm, box.bottom_mm()}},
            outline);
}

void Pen::circle(Point centre, double radius_mm, const Outline& outline) {
    path(arc(centre, radius_mm, 0, 2 * std::numbers::pi, true), true, outline);
}

void Pen::hatch(const Box& area, const Hatching& hatching, const std::vector<Box>& spared) {
    // Lines x + y = c (rising to the right), or x - y = c mirrored at the box's middle: work in x, y = +-(c -
    // x).
    const double sign = hatching.falling ? -1 : 1;
    const double low = area.x_mm + std::min(sign * area.y_mm, sign * area.bottom_mm());
    const double high = area.right_mm() + std::max(sign * area.y_mm, sign * area.bottom_mm());
    const double step = hatching.pitch_mm * std::numbers::sqrt2;
    std::vector<PathPiece> pieces;
    for (double c = (std::floor(low / step) + 0.5) * step; c < high; c += step) {
        const auto span_in = [&](const Box& box) {
            const double a = c - sign * box.y_mm, b = c - sign * box.bottom_mm();
            return Range{std::max(box.x_mm, std::min(a, b)), std::min(box.right_mm(), std::max(a, b))};
        };
        const Range whole = span_in(area);
        if (whole.second - whole.first < 0.1)
            continue;
        std::vector<Range> holes;
        for (const Box& box : spared)
            if (const Range hole = span_in(box); hole.second > hole.first)
                holes.push_back(hole);
        for (const Range& part : without(whole, holes)) {
            if (part.second - part.first < 0.2)
                continue;
            const auto on_line = [&](double x) { return Point{x, sign * (c - x)}; };
            pieces.push_back(
                {.kind = PathPiece::Kind::move, .to = on_line(part.first), .control1 = {}, .control2 = {}});
            pieces.push_back(
                {.kind = PathPiece::Kind::line, .to = on_line(part.second), .control1 = {}, .control2 = {}});
        }
    }
    if (!pieces.empty())
        path(std::move(pieces), false, {.width_mm = hatching.width_mm});
}

Box Pen::text(const Words& words) {
    const double width = measure_->width_mm(words.words, words.height_mm, words.weight);
    double left = words.at.x_mm;
    if (words.anchor == Anchor::middle)
        left -= width / 2;
    if (words.anchor == Anchor::right)
        left -= width;
    // Capitals and figures above the baseline, descenders below.
    const Box box{.x_mm = left,
                  .y_mm = words.at.y_mm - 1.05 * words.height_mm,
                  .width_mm = width,
                  .height_mm = 1.36 * words.height_mm};
    if (words.words.empty())
        return box;
    element_.texts.push_back({.at = words.at,
                              .height_mm = words.height_mm,
                              .weight = words.weight,
                              .anchor = words.anchor,
                              .paint = words.paint,
                              .words = words.words,
                              .box = box});
    grow(box);
    return box;
}

double Pen::lines(Words words, const std::vector<std::string>& lines) {
    for (const std::string& line : lines) {
        words.words = line;
        text(words);
        words.at.y_mm += line_pitch * words.height_mm;
    }
    return words.at.y_mm;
}

void Pen::arrow_head(Point at, double towards) {
    const double back = at.x_mm - 3.0 * towards;
    polygon({at, {back, at.y_mm - 0.5}, {back, at.y_mm + 0.5}}, {.width_mm = 0, .fill = Paint::ink});
}

double Pen::width_mm(const std::string& words, double height_mm, Weight weight) const {
    return measure_->width_mm(words, height_mm, weight);
}

void Pen::put_on(Page& page) {
    if (empty_)
        return;
    page.elements.push_back(std::move(element_));
    element_ = {};
    empty_ = true;
}

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): in the order of drawing
std::vector<PathPiece> arc(Point centre, double radius_mm, double from_rad, double to_rad,
                           bool begin_with_move) {
    const auto on_circle = [&](double angle) {
        return Point{centre.x_mm + radius_mm * std::cos(angle), centre.y_mm + radius_mm * std::sin(angle)};
    };
    std::vector<PathPiece> pieces;
    pieces.push_back({.kind = begin_with_move ? PathPiece::Kind::move : PathPiece::Kind::line,
                      .to = on_circle(from_rad),
                      .control1 = {},
                      .control2 = {}});
    const int parts =
        std::max(1, static_cast<int>(std::ceil(std::abs(to_rad - from_rad) / (std::numbers::pi / 2))));
    const double step = (to_rad - from_rad) / parts;
    const double reach = 4.0 / 3.0 * std::tan(step / 4) * radius_mm;
    for (int i = 0; i < parts; ++i) {
        const double a = from_rad + step * i, b = a + step;
        const Point begin = on_circle(a), end = on_circle(b);
        pieces.push_back({.kind = PathPiece::Kind::curve,
                          .to = end,
                          .control1 = {begin.x_mm - reach * std::sin(a), begin.y_mm + reach * std::cos(a)},
                          .control2 = {end.x_mm + reach * std::sin(b), end.y_mm - reach * std::cos(b)}});
    }
    return pieces;
}

double lines_height_mm(std::size_t count, double height_mm) {
    return count == 0 ? 0 : height_mm * (1 + line_pitch * (static_cast<double>(count) - 1));
}

} // namespace stoutloom::layout::papers
