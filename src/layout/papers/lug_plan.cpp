#include "layout/papers/lug_plan.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>

namespace stoutloom::layout::papers {
namespace {

constexpr double degree = std::numbers::pi / 180;
constexpr double clearance_mm = 1.0, stub_mm = 5, ring_gap_mm = 2.5, tag_gap_mm = 1.2, least_ring_mm = 19;
constexpr int step_deg = 5, easy_gap_deg = 45;
constexpr double up_deg = 90, tab_deg = 270;
constexpr std::size_t most_angles = 8; // more angles than this are no help to anyone

bool is_tab(const FanLug& lug) {
    return lug.outside_mm <= 0;
}

/// What must keep clear, at true size about the stud's middle: the barrel and the cable behind it; of a tab
/// all of it.
using Corners = std::array<Point, 4>;
Corners hard_part(const FanLug& lug, double angle_deg) {
    constexpr double long_mm = 120;
    const EndPlace place{.at = {0, 0}, .turn_rad = angle_deg * degree};
    const double half = (is_tab(lug) ? lug.end.palm_mm : std::max(lug.end.barrel_mm, lug.outside_mm)) / 2,
                 from = is_tab(lug) ? -half : neck_length_mm(lug.end);
    return {point_on_end(place, from, -half), point_on_end(place, from + long_mm, -half),
            point_on_end(place, from + long_mm, half), point_on_end(place, from, half)};
}

/// From where to where a part reaches in a direction.
std::pair<double, double> reach_along(const Corners& corners, Point direction) {
    std::pair<double, double> reach{1e9, -1e9};
    for (const Point& point : corners) {
        const double at = point.x_mm * direction.x_mm + point.y_mm * direction.y_mm;
        reach = {std::min(reach.first, at), std::max(reach.second, at)};
    }
    return reach;
}

/// Whether a line with the clearance on it passes between the two, along an edge of either.
bool clear_of(const Corners& one, const Corners& other) {
    for (const Corners* shape : {&one, &other})
        for (std::size_t i = 0; i < 2; ++i) {
            const Point &a = (*shape)[i], &b = (*shape)[i + 1];
            const double length = std::hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm);
            const Point across{(b.y_mm - a.y_mm) / length, (a.x_mm - b.x_mm) / length};
            const auto p = reach_along(one, across), q = reach_along(other, across);
            if (std::max(q.first - p.second, p.first - q.second) >= clearance_mm)
                return true;
        }
    return false;
}

EndShape half_size(EndShape end) {
    for (double* size : {&end.hole_mm, &end.palm_mm, &end.barrel_mm})
        *size *= plan_scale;
    // The neck is told from hole and palm, with a few millimetres that do not shrink: the barrel gives them.
    return end;
}

/// The lug at half size: neck and barrel end where half of the true ones do.
struct Reach {
    double neck_mm, barrel_end_mm, stub_end_mm;
};
Reach reach_of(const FanLug& lug) {
    if (is_tab(lug))
        return {.neck_mm = 0,
                .barrel_end_mm = (lug.end.palm_mm / 2 + 8) * plan_scale,
                .stub_end_mm = (lug.end.palm_mm / 2 + 8) * plan_scale};
    const double neck = neck_length_mm(lug.end) * plan_scale,
                 barrel = neck + lug.end.barrel_length_mm * plan_scale;
    return {.neck_mm = neck, .barrel_end_mm = barrel, .stub_end_mm = barrel + stub_mm};
}

Point on_ring(double radius_mm, double angle_deg) {
    return {radius_mm * std::cos(angle_deg * degree), -radius_mm * std::sin(angle_deg * degree)};
}

/// Distance of the box from the origin.
double distance_mm(const Box& box) {
    const double x = std::max({box.x_mm, -box.right_mm(), 0.0}),
                 y = std::max({box.y_mm, -box.bottom_mm(), 0.0});
    return std::hypot(x, y);
}

Box joined(const Box& a, const Box& b) {
    const double left = std::min(a.x_mm, b.x_mm), top = std::min(a.y_mm, b.y_mm);
    return {left, top, std::max(a.right_mm(), b.right_mm()) - left,
            std::max(a.bottom_mm(), b.bottom_mm()) - top};
}

/// Outside the ring on its ray, as near as the words already there allow.
// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): in the order of their sizes
Box free_place(double wide_mm, double ring_mm, double angle_deg, const std::vector<LugPlan::Tag>& taken) {
    for (double out = ring_mm + tag_gap_mm;; out += 0.5) {
        const Point middle = on_ring(out, angle_deg);
        const Box box{middle.x_mm - wide_mm / 2, middle.y_mm - text_height_mm / 2, wide_mm, text_height_mm};
        const bool free = std::none_of(taken.begin(), taken.end(),
                                       [&](const LugPlan::Tag& tag) { return overlaps(tag.box, box, 0.8); });
        if (distance_mm(box) >= ring_mm + tag_gap_mm && free)
            return box;
    }
}

void draw_stub(Pen& pen, const FanLug& lug, const EndPlace& place) {
    const Reach reach = reach_of(lug);
    const double half = lug.outside_mm * plan_scale / 2;
    const bool feed = lug.flow == Flow::feed, back = lug.flow == Flow::back;
    pen.polygon({point_on_end(place, reach.barrel_end_mm, -half),
                 point_on_end(place, reach.stub_end_mm, -half), point_on_end(place, reach.stub_end_mm, half),
                 point_on_end(place, reach.barrel_end_mm, half)},
                {.width_mm = thin_mm,
                 .fill = feed   ? Paint::feed_tint
                         : back ? Paint::return_tint
                                : Paint::white,
                 .paint = Paint::ink});
}

/// Palm, barrel with its crimps, hole: the lug's outline at half size.
void draw_lug(Pen& pen, const FanLug& lug, const EndPlace& place) {
    const Reach reach = reach_of(lug);
    const EndShape end = half_size(lug.end);
    const auto at = [&](double along, double across) { return point_on_end(place, along, across); };
    const Outline outline{.width_mm = thin_mm, .fill = Paint::white};
    const double radius = end.palm_mm / 2, half = end.barrel_mm / 2;
    if (is_tab(lug)) {
        pen.polygon({at(-radius, -radius), at(reach.stub_end_mm, -radius), at(reach.stub_end_mm, radius),
                     at(-radius, radius)},
                    outline);
        return;
    }
    draw_stub(pen, lug, place);
    pen.polygon({at(reach.neck_mm, -half), at(reach.barrel_end_mm, -half), at(reach.barrel_end_mm, half),
                 at(reach.neck_mm, half)},
                outline);
    for (int i = 0; i < end.crimps; ++i) {
        const double x = reach.neck_mm + (reach.barrel_end_mm - reach.neck_mm) * (i + 0.5) / end.crimps;
        pen.line(at(x, -half), at(x, half), rule_mm);
    }
    // The palm runs into the barrel; the round is drawn over its root.
    const double waist = std::min(half, radius);
    pen.polygon({at(0, -waist), at(reach.neck_mm, -half), at(reach.neck_mm, half), at(0, waist)}, outline);
    pen.circle(place.at, radius, outline);
}

void draw_ring_of_angles(Pen& pen, const LugPlan& plan, Point centre) {
    for (const Fan::Gap& gap : plan.fan.gaps) {
        const double left = plan.fan.angle_deg[gap.left], right = plan.fan.angle_deg[gap.right];
        pen.path(arc(centre, plan.ring_mm, -left * degree, -right * degree, true), false,
                 {.width_mm = hair_mm});
    }
}

} // namespace

int least_angle_deg(const FanLug& one, const FanLug& other) {
    const Corners fixed = hard_part(one, 0);
    for (int angle = step_deg; angle < 180; angle += step_deg)
        if (clear_of(fixed, hard_part(other, angle)))
            return angle;
    return 180;
}

namespace {

/// Each lug as near to the first as all before it allow, and no gap under `least_gap_deg`.
std::vector<int> places_of(const std::vector<const FanLug*>& order, int least_gap_deg) {
    std::vector<int> places;
    for (std::size_t i = 0; i < order.size(); ++i) {
        int place = i == 0 ? 0 : places.back() + least_gap_deg;
        for (std::size_t k = 0; k < i; ++k)
            place = std::max(place, places[k] + least_angle_deg(*order[k], *order[i]));
        places.push_back(place);
    }
    return places;
}

/// Whether the circle closes: what lies between two of them the other way round, and beside the tab, which
/// stands opposite to the middle of the fan.
bool closes(const std::vector<const FanLug*>& order, const std::vector<int>& places, const FanLug* tab) {
    for (std::size_t i = 0; i < order.size(); ++i) {
        for (std::size_t k = 0; k < i; ++k)
            if (360 - (places[i] - places[k]) < least_angle_deg(*order[k], *order[i]))
                return false;
        const double from_middle = std::abs(places[i] - places.back() / 2.0);
        if (tab != nullptr && 180 - from_middle < least_angle_deg(*tab, *order[i]))
            return false;
    }
    return true;
}

} // namespace

Fan fan_of(const std::vector<FanLug>& lugs) {
    Fan fan;
    fan.angle_deg.assign(lugs.size(), up_deg);
    std::vector<std::size_t> order;
    const FanLug* tab = nullptr;
    for (std::size_t i = 0; i < lugs.size(); ++i)
        if (is_tab(lugs[i])) {
            tab = &lugs[i];
            fan.angle_deg[i] = tab_deg;
        } else {
            order.push_back(i);
        }
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return lugs[a].towards < lugs[b].towards; });
    std::vector<const FanLug*> parts;
    parts.reserve(order.size());
    for (const std::size_t i : order)
        parts.push_back(&lugs[i]);
    if (parts.empty())
        return fan;
    std::vector<int> places = places_of(parts, easy_gap_deg);
    if (!closes(parts, places, tab))
        places = places_of(parts, 0);
    fan.clears = closes(parts, places, tab);
    const double all = fan.clears
                           ? places.back()
                           : 360.0 * static_cast<double>(order.size() - 1) / static_cast<double>(lugs.size());
    for (std::size_t i = 0; i < order.size(); ++i) {
        const double share = fan.clears ? places[i]
                                        : all * static_cast<double>(i) /
                                              static_cast<double>(std::max<std::size_t>(1, order.size() - 1));
        fan.angle_deg[order[i]] = up_deg + all / 2 - share;
        if (fan.clears && i > 0)
            fan.gaps.push_back(
                {.left = order[i - 1], .right = order[i], .degrees = places[i] - places[i - 1]});
    }
    return fan;
}

LugPlan lay_plan(const std::vector<FanLug>& lugs, double stud_mm, const TextMeasure& measure) {
    LugPlan plan{.fan = fan_of(lugs), .ring_mm = least_ring_mm, .tags = {}, .bounds = {}};
    for (const FanLug& lug : lugs)
        if (!is_tab(lug))
            plan.ring_mm = std::max(plan.ring_mm, reach_of(lug).stub_end_mm + ring_gap_mm);
    const double core = stud_mm * plan_scale / 2 + 1;
    plan.bounds = {-core, -core, 2 * core, 2 * core};
    for (std::size_t i = 0; i < lugs.size(); ++i) {
        const double wide = std::max(lugs[i].end.palm_mm, lugs[i].end.barrel_mm) * plan_scale / 2 + 0.5;
        const Point tip =
            on_ring(is_tab(lugs[i]) ? reach_of(lugs[i]).stub_end_mm : plan.ring_mm, plan.fan.angle_deg[i]);
        plan.bounds = joined(plan.bounds, {-wide, -wide, 2 * wide, 2 * wide});
        plan.bounds = joined(plan.bounds, {tip.x_mm - 0.5, tip.y_mm - 0.5, 1, 1});
        if (is_tab(lugs[i]))
            continue;
        plan.tags.push_back(
            {.box = free_place(measure.width_mm(lugs[i].words, text_height_mm, Weight::regular), plan.ring_mm,
                               plan.fan.angle_deg[i], plan.tags),
             .words = lugs[i].words});
    }
    if (plan.fan.gaps.size() < most_angles)
        for (const Fan::Gap& gap : plan.fan.gaps) {
            const std::string words = std::to_string(gap.degrees) + "°";
            const double middle = (plan.fan.angle_deg[gap.left] + plan.fan.angle_deg[gap.right]) / 2;
            plan.tags.push_back({.box = free_place(measure.width_mm(words, text_height_mm, Weight::bold),
                                                   plan.ring_mm, middle, plan.tags),
                                 .words = words,
                                 .weight = Weight::bold});
        }
    else
        plan.fan.gaps.clear();
    for (const LugPlan::Tag& tag : plan.tags)
        plan.bounds = joined(plan.bounds, grown(tag.box, 0.4));
    return plan;
}

void draw_plan(Pen& pen, const std::vector<FanLug>& lugs, const LugPlan& plan, const StudMiddle& stud) {
    for (std::size_t i = 0; i < lugs.size(); ++i)
        draw_lug(pen, lugs[i], {.at = stud.centre, .turn_rad = plan.fan.angle_deg[i] * degree});
    // The stud's end over them all, and the centre lines that the angles are taken from.
    pen.circle(stud.centre, stud.diameter_mm * plan_scale / 2, {.width_mm = medium_mm, .fill = Paint::white});
    for (std::size_t i = 0; i < lugs.size(); ++i)
        if (!is_tab(lugs[i])) {
            const Point tip = on_ring(plan.ring_mm + 0.6, plan.fan.angle_deg[i]);
            pen.line(stud.centre, {stud.centre.x_mm + tip.x_mm, stud.centre.y_mm + tip.y_mm}, hair_mm,
                     Dash::dash_dot);
        }
    draw_ring_of_angles(pen, plan, stud.centre);
    for (const LugPlan::Tag& tag : plan.tags)
        pen.text({.at = {stud.centre.x_mm + tag.box.x_mm, stud.centre.y_mm + tag.box.bottom_mm()},
                  .words = tag.words,
                  .weight = tag.weight});
}

} // namespace stoutloom::layout::papers
