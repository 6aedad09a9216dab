// The probe map: the loop laid out from left to right, falling by the volts that each part loses.
#include "layout/papers/measurements.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace stoutloom::layout::papers {
namespace {

constexpr double head_mm = 9, foot_mm = 10.5, side_mm = 9, part_mm = 14, battery_mm = 12, motor_mm = 17,
                 motor_radius_mm = 3.9, least_cable_mm = 9, names_mm = 5, over_brackets_mm = 7;

struct Drawn {
    Point from, to;
};

/// The map shows what the loop loses; a battery or the unit at its end stands level.
bool takes_no_volts(const MapPiece& piece) {
    return piece.kind == MapPiece::Kind::battery || piece.kind == MapPiece::Kind::unit;
}

double fixed_mm(const MapPiece& piece) {
    switch (piece.kind) {
    case MapPiece::Kind::part:
    case MapPiece::Kind::metal:
        return part_mm;
    case MapPiece::Kind::unit:
        return motor_mm;
    default:
        return battery_mm;
    }
}

/// Widths: parts and batteries fixed, the rest shared by the cables after the root of their length.
std::vector<double> widths(const ProbeMap& map, double room) {
    std::vector<double> wide;
    double fixed = 0, shares = 0;
    for (const MapPiece& piece : map.pieces) {
        if (piece.kind == MapPiece::Kind::cable) {
            fixed += least_cable_mm;
            shares += std::sqrt(std::max(0.05, piece.length_m));
        } else
            fixed += fixed_mm(piece);
    }
    const double rest = std::max(0.0, room - fixed), squeeze = std::min(1.0, room / fixed);
    for (const MapPiece& piece : map.pieces) {
        if (piece.kind == MapPiece::Kind::cable)
            wide.push_back(squeeze * least_cable_mm +
                           rest * std::sqrt(std::max(0.05, piece.length_m)) / std::max(shares, 1e-9));
        else
            wide.push_back(squeeze * fixed_mm(piece));
    }
    return wide;
}

std::vector<Drawn> laid_out(const ProbeMap& map, const Box& field) {
    const std::vector<double> wide = widths(map, field.width_mm);
    const double lost =
        std::accumulate(map.pieces.begin(), map.pieces.end(), 0.0, [](double so_far, const MapPiece& piece) {
            return so_far + (takes_no_volts(piece) ? 0 : std::abs(piece.drop_v));
        });
    std::vector<Drawn> drawn;
    Point at{field.x_mm, field.y_mm};
    for (std::size_t i = 0; i < map.pieces.size(); ++i) {
        const MapPiece& piece = map.pieces[i];
        const double fall = takes_no_volts(piece) || lost <= 0 ? 0 : std::abs(piece.drop_v) / lost;
        const Point next{at.x_mm + wide[i], at.y_mm + fall * field.height_mm};
        drawn.push_back({at, next});
        at = next;
    }
    return drawn;
}

/// A bar along the slope, square to it.
void draw_bar(Pen& pen, const Drawn& at, double wide, const Outline& outline) {
    const double dx = at.to.x_mm - at.from.x_mm, dy = at.to.y_mm - at.from.y_mm, length = std::hypot(dx, dy);
    const double nx = -dy / length * wide / 2, ny = dx / length * wide / 2;
    pen.polygon({{at.from.x_mm + nx, at.from.y_mm + ny},
                 {at.to.x_mm + nx, at.to.y_mm + ny},
                 {at.to.x_mm - nx, at.to.y_mm - ny},
                 {at.from.x_mm - nx, at.from.y_mm - ny}},
                outline);
}

void draw_piece(Pen& pen, const MapPiece& piece, const Drawn& at) {
    const Point middle{(at.from.x_mm + at.to.x_mm) / 2, (at.from.y_mm + at.to.y_mm) / 2};
    if (piece.kind == MapPiece::Kind::cable) {
        const bool feed = piece.flow != Flow::back;
        draw_bar(pen, at, 2.6,
                 {.width_mm = thin_mm,
                  .fill = feed ? Paint::feed_core : Paint::return_core,
                  .paint = feed ? Paint::feed_edge : Paint::return_edge});
        return;
    }
    if (piece.kind == MapPiece::Kind::unit) {
        pen.line(at.from, at.to, thin_mm);
        // The loop of a charging unit ends at its studs: a unit within a loop is the starter's motor. Larger
        // than a probe's diamond and with the dash of direct current: nobody takes it for a letter.
        pen.circle(middle, motor_radius_mm, {.width_mm = medium_mm, .fill = Paint::white});
        pen.text({.at = {middle.x_mm, middle.y_mm + 0.7}, .words = "M", .anchor = Anchor::middle});
        pen.line({middle.x_mm - 1.4, middle.y_mm + 1.9}, {middle.x_mm + 1.4, middle.y_mm + 1.9}, thin_mm);
        return;
    }
    if (piece.kind == MapPiece::Kind::battery) {
        pen.line(at.from, {middle.x_mm - 1, middle.y_mm}, thin_mm);
        pen.line({middle.x_mm + 1, middle.y_mm}, at.to, thin_mm);
        pen.line({middle.x_mm - 1, middle.y_mm - 3.6}, {middle.x_mm - 1, middle.y_mm + 3.6}, thin_mm);
        pen.line({middle.x_mm + 1, middle.y_mm - 1.8}, {middle.x_mm + 1, middle.y_mm + 1.8}, broad_mm);
        return;
    }
    pen.line(at.from, at.to, thin_mm);
    const auto along = [&](double share) {
        return Point{at.from.x_mm + share * (at.to.x_mm - at.from.x_mm),
                     at.from.y_mm + share * (at.to.y_mm - at.from.y_mm)};
    };
    // Short enough to stand clear of a diamond at either end. A mass is a piece of the diagram's bed; the
    // line passes through a fuse-link, a switch and the like.
    const bool metal = piece.kind == MapPiece::Kind::metal;
    draw_bar(pen, {along(0.3), along(0.7)}, 2.8,
             {.width_mm = thin_mm, .fill = metal ? Paint::bed : Paint::white});
    if (!metal)
        pen.line(along(0.3), along(0.7), thin_mm);
}

/// Names above the slope, lifted where two would touch.
std::vector<Box> draw_names(Pen& pen, const ProbeMap& map, const std::vector<Drawn>& drawn, double top) {
    std::vector<Box> taken;
    const Point start = drawn.front().from; // the level line
    taken.push_back({start.x_mm, start.y_mm - 0.4, drawn.back().to.x_mm - start.x_mm, 0.8});
    for (const Drawn& at : drawn) // the diamonds
        for (const Point& point : {at.from, at.to})
            taken.push_back({point.x_mm - 3.2, point.y_mm - 3.4, 6.4, 6.8});
    std::vector<Box> names;
    for (std::size_t i = 0; i < map.pieces.size(); ++i) {
        const Drawn& at = drawn[i];
        const double wide = pen.width_mm(map.pieces[i].name, text_height_mm, Weight::bold);
        const double centre = (at.from.x_mm + at.to.x_mm) / 2;
        double baseline = (at.from.y_mm + at.to.y_mm) / 2 - (takes_no_volts(map.pieces[i]) ? 5.4 : 3.4);
        // On a steep slope the bar's upper end is nearer: clear the end under the word's left edge.
        const double slope = (at.to.y_mm - at.from.y_mm) / std::max(1.0, at.to.x_mm - at.from.x_mm);
        baseline -= slope * wide / 2;
        const auto place = [&](double y) {
            return Box{centre - wide / 2 - 0.6, y - 1.05 * text_height_mm, wide + 1.2, 3.6};
        };
        const auto free = [&](const Box& box) {
            return std::none_of(taken.begin(), taken.end(),
                                [&](const Box& other) { return overlaps(box, other, 0.3); });
        };
        while (!free(place(baseline)) && baseline > top + text_height_mm)
            baseline -= 0.8;
        taken.push_back(place(baseline));
        names.push_back(place(baseline));
        pen.text({.at = {centre, baseline},
                  .words = map.pieces[i].name,
                  .weight = Weight::bold,
                  .anchor = Anchor::middle});
    }
    return names;
}

void draw_brackets(Pen& pen, const ProbeMap& map, const std::vector<Drawn>& drawn, double y) {
    for (const MapBracket& bracket : map.brackets) {
        const double from = drawn[bracket.first].from.x_mm, to = drawn[bracket.last].to.x_mm;
        const double box = 6.2, words = pen.width_mm(bracket.words, text_height_mm),
                     need = box + 2 + words + 3;
        const bool inside = need + 4 < to - from;
        const double shown = inside ? need : box + 3, left = (from + to) / 2 - shown / 2;
        pen.line({from, y - 2.4}, {from, y + 2.4}, medium_mm);
        pen.line({to, y - 2.4}, {to, y + 2.4}, medium_mm);
        if (to - from > shown + 1) {
            pen.line({from, y}, {left, y}, rule_mm);
            pen.line({left + shown, y}, {to, y}, rule_mm);
        }
        pen.box({left + 1.5, y - box / 2, box, box}, {.width_mm = medium_mm, .fill = Paint::white});
        // As in the rows: a number of two digits is written smaller, clear of its box.
        const bool small = pen.width_mm(bracket.number, strong_height_mm, Weight::bold) > box - 2;
        const double tall = small ? text_height_mm : strong_height_mm;
        pen.text({.at = {left + 1.5 + box / 2, y + tall / 2},
                  .words = bracket.number,
                  .height_mm = tall,
                  .weight = Weight::bold,
                  .anchor = Anchor::middle});
        if (inside)
            pen.text({.at = {left + 1.5 + box + 2, y + text_height_mm / 2}, .words = bracket.words});
        for (const Point& end : {drawn[bracket.first].from, drawn[bracket.last].to})
            pen.line({end.x_mm, end.y_mm + 3.4}, {end.x_mm, y - 2.8}, hair_mm, Dash::dashed);
    }
}

/// The volts lost so far, hatched between the level start and the slope.
void draw_loss(Pen& pen, const std::vector<Drawn>& drawn, const std::vector<Box>& names) {
    const double top = drawn.front().from.y_mm, right = drawn.back().to.x_mm;
    pen.line({drawn.front().from.x_mm + 3.4, top}, {right, top}, rule_mm, Dash::dashed);
    for (const Drawn& at : drawn) {
        const int strips = std::max(1, static_cast<int>((at.to.x_mm - at.from.x_mm) / 1.6));
        for (int i = 0; i < strips; ++i) {
            const double share = static_cast<double>(i) / strips, wide = (at.to.x_mm - at.from.x_mm) / strips;
            const double foot = at.from.y_mm + share * (at.to.y_mm - at.from.y_mm) - 2.6;
            const Box strip{at.from.x_mm + share * (at.to.x_mm - at.from.x_mm), top, wide, foot - top};
            if (strip.height_mm > 1)
                pen.hatch(strip, {.pitch_mm = 2.0, .width_mm = hair_mm}, names);
        }
    }
}

} // namespace

void draw_probe_map(Pen& pen, const Box& area, const ProbeMap& map) {
    pen.box(area, {.width_mm = thin_mm});
    const double baseline = area.y_mm + 2.2 + strong_height_mm;
    const Box heading = pen.text({.at = {area.x_mm + 2.5, baseline},
                                  .words = map.heading,
                                  .height_mm = strong_height_mm,
                                  .weight = Weight::bold});
    pen.text({.at = {area.right_mm() - 2.5, baseline},
              .words = shortened(map.remark, {.width_mm = area.right_mm() - 5 - heading.right_mm()},
                                 pen.measure()),
              .anchor = Anchor::right});
    if (map.pieces.empty())
        return;
    // Names have room above the slope's beginning, the last diamond clear of the brackets under its end.
    const Box field{area.x_mm + side_mm, area.y_mm + head_mm + names_mm, area.width_mm - 2 * side_mm,
                    area.height_mm - head_mm - names_mm - foot_mm / 2 - over_brackets_mm};
    const std::vector<Drawn> drawn = laid_out(map, field);
    const std::vector<Box> names = draw_names(pen, map, drawn, area.y_mm + head_mm - 1);
    draw_loss(pen, drawn, names);
    for (std::size_t i = 0; i < map.pieces.size(); ++i)
        draw_piece(pen, map.pieces[i], drawn[i]);
    draw_brackets(pen, map, drawn, area.bottom_mm() - foot_mm / 2);
    for (std::size_t i = 0; i < map.pieces.size(); ++i) {
        const bool last = i + 1 == map.pieces.size();
        const std::string& before = map.pieces[i].probe_before;
        if (!before.empty())
            draw_probe(pen, drawn[i].from, before);
        else if (i > 0 && map.pieces[i - 1].probe_after.empty())
            pen.circle(drawn[i].from, 0.9, {.width_mm = thin_mm, .fill = Paint::white});
        if (!map.pieces[i].probe_after.empty() && (last || map.pieces[i + 1].probe_before.empty()))
            draw_probe(pen, drawn[i].to, map.pieces[i].probe_after);
    }
}

} // namespace stoutloom::layout::papers
