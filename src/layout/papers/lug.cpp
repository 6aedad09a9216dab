#include "layout/papers/lug.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stoutloom::layout::papers {
namespace {

constexpr double pi = std::numbers::pi;

struct Along {
    const EndPlace* place;
    Point operator()(double along_mm, double across_mm) const {
        return point_on_end(*place, along_mm, across_mm);
    }
};

void draw_barrel(Pen& pen, const EndShape& end, const EndPlace& place) {
    const Along at{&place};
    const double from = neck_length_mm(end), length = std::min(end.barrel_length_mm, place.barrel_room_mm);
    const double half = end.barrel_mm / 2;
    pen.polygon({at(from, -half), at(from + length, -half), at(from + length, half), at(from, half)},
                {.width_mm = thin_mm, .fill = Paint::white});
    for (int i = 0; i < end.crimps; ++i) {
        const double middle = from + length * (i + 0.5) / end.crimps,
                     reach = std::min(1.2, length / end.crimps / 4);
        for (const double x : {middle - reach, middle + reach})
            pen.line(at(x, -half), at(x, half), rule_mm);
    }
    if (length + 0.01 >= end.barrel_length_mm)
        return;
    // Shortened: two slanting strokes across the barrel say so.
    const double x = from + length * 0.5;
    pen.polygon({at(x - 0.2, -half - 0.8), at(x + 1.4, -half - 0.8), at(x + 0.2, half + 0.8),
                 at(x - 1.4, half + 0.8)},
                {.width_mm = 0, .fill = Paint::white});
    pen.line(at(x - 0.2, -half - 0.8), at(x - 1.4, half + 0.8), rule_mm);
    pen.line(at(x + 1.4, -half - 0.8), at(x + 0.2, half + 0.8), rule_mm);
}

void draw_ring(Pen& pen, const EndShape& end, const EndPlace& place) {
    const double radius = end.palm_mm / 2, half = end.barrel_mm / 2, neck = neck_length_mm(end);
    // The palm narrows or widens to the barrel; the taper starts where the round would pass the barrel's
    // edge.
    const double start =
        std::max(0.9, std::min(1.35, half >= radius ? 1.35 : std::asin(half / radius) + 0.2));
    const Along at{&place};
    const bool right = place.inward > 0;
    const double from = right ? start : pi - start, to = right ? 2 * pi - start : -(pi - start);
    std::vector<PathPiece> pieces = arc(place.at, radius, from - place.turn_rad, to - place.turn_rad, true);
    for (const Point& corner : {at(neck, -half), at(neck, half)})
        pieces.push_back({.kind = PathPiece::Kind::line, .to = corner, .control1 = {}, .control2 = {}});
    pen.path(std::move(pieces), true, {.width_mm = thin_mm, .fill = Paint::white});
    pen.circle(place.at, end.hole_mm / 2, {.width_mm = thin_mm, .fill = Paint::white});
    pen.line(at(-radius - 1.5, 0), at(end.hole_mm / 2 + 1.2, 0), hair_mm, Dash::dash_dot);
}

void draw_post_clamp(Pen& pen, const EndShape& end, const EndPlace& place) {
    const double radius = end.palm_mm / 2, half = end.barrel_mm / 2, neck = neck_length_mm(end);
    const Along at{&place};
    pen.polygon(
        {at(0, -std::min(half, radius)), at(neck, -half), at(neck, half), at(0, std::min(half, radius))},
        {.width_mm = thin_mm, .fill = Paint::white});
    // Two ears with the clamp bolt, then the ring over their roots.
    pen.polygon(
        {at(-radius - 4.5, -3.2), at(-radius + 2, -3.2), at(-radius + 2, 3.2), at(-radius - 4.5, 3.2)},
        {.width_mm = thin_mm, .fill = Paint::white});
    pen.circle(place.at, radius, {.width_mm = thin_mm, .fill = Paint::white});
    pen.circle(place.at, end.hole_mm / 2, {.width_mm = thin_mm, .fill = Paint::white});
    const double gap = 0.7, slot_from = -radius - 4.5,
                 slot_to = -std::sqrt(std::pow(end.hole_mm / 2, 2) - gap * gap);
    pen.polygon({at(slot_from, -gap), at(slot_to - 0.2, -gap), at(slot_to - 0.2, gap), at(slot_from, gap)},
                {.width_mm = 0, .fill = Paint::white});
    for (const double side : {-gap, gap})
        pen.line(at(slot_from, side), at(slot_to, side), rule_mm);
    pen.line(at(-radius - 2.2, -5.0), at(-radius - 2.2, 5.0), thin_mm, Dash::dash_dot);
}

void draw_blade(Pen& pen, const EndShape& end, const EndPlace& place) {
    const Along at{&place};
    const double half = end.palm_mm / 2, neck = neck_length_mm(end), body = neck - 2;
    pen.polygon({at(0, -half), at(body, -half), at(body, half), at(0, half)},
                {.width_mm = thin_mm, .fill = Paint::white});
    pen.polygon({at(body, -half * 0.6), at(neck, -half * 0.6), at(neck, half * 0.6), at(body, half * 0.6)},
                {.width_mm = thin_mm, .fill = Paint::white});
    pen.circle(at(body * 0.5, 0), std::min(0.8, half * 0.35), {.width_mm = rule_mm});
}

void draw_plug(Pen& pen, const EndShape& end, const EndPlace& place) {
    const Along at{&place};
    const double half = end.palm_mm / 2, neck = neck_length_mm(end);
    pen.polygon({at(0, -half), at(neck, -half), at(neck, half), at(0, half)},
                {.width_mm = thin_mm, .fill = Paint::white});
    pen.polygon({at(neck * 0.3, -half), at(neck * 0.6, -half), at(neck * 0.6, -half - 1.2),
                 at(neck * 0.3, -half - 1.2)},
                {.width_mm = thin_mm, .fill = Paint::white});
}

} // namespace

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): along, then across
Point point_on_end(const EndPlace& place, double along_mm, double across_mm) {
    const double x = place.inward * along_mm, cosine = std::cos(place.turn_rad),
                 sine = std::sin(place.turn_rad);
    return {place.at.x_mm + cosine * x + sine * across_mm, place.at.y_mm - sine * x + cosine * across_mm};
}

double neck_length_mm(const EndShape& end) {
    switch (end.kind) {
    case EndKind::ring:
        return std::max(end.palm_mm / 2 + 1.5, end.hole_mm / 2 + 3) + 0.12 * end.palm_mm;
    case EndKind::post_clamp:
        return end.palm_mm / 2 + 4;
    case EndKind::blade:
        return 10;
    case EndKind::plug:
        return 11;
    case EndKind::splice:
        return 0;
    }
    return 0;
}

double overhang_mm(const EndShape& end) {
    if (end.kind == EndKind::ring)
        return end.palm_mm / 2;
    if (end.kind == EndKind::post_clamp)
        return end.palm_mm / 2 + 4.5;
    return 0;
}

double end_length_mm(const EndShape& end) {
    return neck_length_mm(end) + end.barrel_length_mm;
}

void draw_end(Pen& pen, const EndShape& end, const EndPlace& place) {
    switch (end.kind) {
    case EndKind::ring:
        draw_ring(pen, end, place);
        break;
    case EndKind::post_clamp:
        draw_post_clamp(pen, end, place);
        break;
    case EndKind::blade:
        draw_blade(pen, end, place);
        break;
    case EndKind::plug:
        draw_plug(pen, end, place);
        break;
    case EndKind::splice:
        break;
    }
    draw_barrel(pen, end, place);
}

} // namespace stoutloom::layout::papers
