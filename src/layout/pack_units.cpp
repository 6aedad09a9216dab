// Units along the sheet: boxes with their studs above and below, in-line devices over them.
#include "layout/devices.h"
#include "layout/hardware.h"
#include "layout/packer.h"
#include "layout/pen.h"
#include "layout/stroke_path.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout {
namespace {
constexpr double balloon_gap_mm = 13;
} // namespace

PlacedStud Packer::stud(const StudGlyph& glyph, const std::string& owner, std::size_t panel, Row row,
                        bool hangs) {
    PlacedStud placed;
    placed.glyph = &glyph;
    placed.id = glyph.id;
    placed.owner = owner;
    placed.zone = panel;
    placed.row = row;
    placed.hanging = row == Row::unit && (hangs || glyph.flow == Flow::back);
    placed.sinks = row == Row::raised_bed;
    placed.past_tags = wish_.past_tags;
    for (const LugGlyph& lug : glyph.lugs) {
        if (lug.cable >= content_.cables.size())
            continue;
        const RunGlyph& run = content_.cables[lug.cable];
        const bool control = run.flow == Flow::control;
        if (made_.share.control != control && (made_.share.control || placed.hanging))
            continue; // the other sheet's; a control lead on a hanging stud is told there alone
        PlacedLug put;
        put.glyph = &lug;
        put.cable = lug.cable;
        put.end = lug.end;
        put.half_mm = half_width_mm(run);
        put.radius_mm = bend_radius_mm(run);
        put.off_sheet = made_.share.control != control;
        put.upright = put.off_sheet && glyph.kind != StudGlyph::Kind::stud && glyph.lugs.size() == 1;
        if (put.off_sheet)
            put.tag_mm = whole_tag_mm(tag_words(run, glyph.designation), content_.title, measure_);
        if (put.off_sheet || shown_[lug.cable])
            placed.lugs.push_back(put);
    }
    return placed;
}

/// Where the other end of a lug's cable lies along the vehicle; beyond the sheet's edge where it leaves.
double Packer::far_key(const LugGlyph& lug) const {
    for (const Leaving& leaving : made_.leaving)
        if (leaving.cable == lug.cable && leaving.end == 1 - lug.end)
            return leaving.side < 0 ? -1e6 : 1e6;
    return ends_.of[lug.cable][static_cast<std::size_t>(1 - lug.end)].key;
}

void Packer::choose_sides(PlacedStud& placed, double key) const {
    for (PlacedLug& lug : placed.lugs) {
        const Whereabouts& other = ends_.of[lug.cable][static_cast<std::size_t>(1 - lug.end)];
        if (placed.forced_side != 0)
            lug.side = placed.forced_side;
        else if (lug.off_sheet || (placed.row == Row::raised_bed && other.on_bed) ||
                 (placed.row == Row::bed && on_raised_bed(other)))
            lug.side = 1;
        else
            lug.side = far_key(*lug.glyph) < key ? -1 : 1;
        const auto& turned = made_.share.departures.turned;
        if (placed.forced_side == 0 && !lug.off_sheet &&
            std::find(turned.begin(), turned.end(), std::pair(lug.cable, lug.end)) != turned.end())
            lug.side = -lug.side;
    }
}

bool Packer::mirrored(std::size_t unit) const {
    const auto& all = made_.share.departures.mirrored;
    return std::find(all.begin(), all.end(), unit) != all.end();
}

void Packer::widen_for_tags(PlacedStud& placed) const {
    for (const PlacedLug& lug : placed.lugs)
        if (lug.off_sheet) {
            double& reach = lug.side < 0 ? placed.left_mm : placed.right_mm;
            reach = std::max(reach, lug.riser_mm + tag_half(lug) + 1);
            double& back = lug.side < 0 ? placed.right_mm : placed.left_mm;
            back = std::max(back, tag_half(lug) - lug.riser_mm + 1);
        }
}

/// Two neighbours joined by one cable share its vertical piece, so they may stand closer than two strangers.
double Packer::beside_last(const PlacedStud& next, double plain_x) const {
    if (last_up_ == nowhere)
        return plain_x;
    const PlacedStud& last = made_.studs[last_up_];
    const auto facing = [](const PlacedStud& stud, int side) {
        std::vector<const PlacedLug*> found;
        for (const PlacedLug& lug : stud.lugs)
            if (lug.side == side)
                found.push_back(&lug);
        return found;
    };
    const auto right = facing(last, 1);
    const auto left = facing(next, -1);
    if (last.zone != next.zone || left.size() != 1 || right.empty())
        return plain_x;
    const auto joined = std::find_if(right.begin(), right.end(),
                                     [&](const PlacedLug* lug) { return lug->cable == left[0]->cable; });
    if (joined == right.end() || (right.size() > 1 && !wish_.tight))
        return plain_x;
    const double radius = bend_radius_mm(content_.cables[left[0]->cable]);
    return std::min(plain_x,
                    last.x_mm + std::max((*joined)->reach_mm + left[0]->reach_mm + 2 * radius + 1.5, 24.0));
}

/// Whether a cable runs straight from the neighbour in the same row.
bool Packer::joined_straight(std::size_t neighbour, const PlacedStud& next) const {
    if (neighbour == nowhere)
        return false;
    const PlacedStud& last = made_.studs[neighbour];
    if (last.row != next.row || last.zone != next.zone || last.owner == next.owner)
        return false;
    for (const PlacedLug& one : last.lugs)
        for (const PlacedLug& other : next.lugs)
            if (one.side > 0 && other.side < 0 && one.cable == other.cable)
                return true;
    return false;
}

/// Where a stud must stand at least so that the cable to its neighbour in the same row can rise, run level
/// and come down: plates at nearly the same height leave no room for a step.
double Packer::bridged_x(std::size_t neighbour, const PlacedStud& next) const {
    double least = -1e9;
    if (neighbour == nowhere || wish_.pressed)
        return least;
    const PlacedStud& last = made_.studs[neighbour];
    if (last.row != next.row || last.zone != next.zone || last.owner == next.owner)
        return least;
    for (const PlacedLug& one : last.lugs)
        for (const PlacedLug& other : next.lugs) {
            const double apart = std::abs(one.level_mm - other.level_mm);
            if (one.cable == other.cable && one.side > 0 && other.side < 0 && apart > 0.01 &&
                apart < 2 * one.radius_mm)
                least = std::max(least, last.riser_x(one) + 2 * one.radius_mm + other.riser_mm + 0.5);
        }
    return least;
}

/// Room two neighbours need beyond their own: where cables leave them towards each other the ways cross, and
/// each must cross clear of the other's bend.
double Packer::crossing_room(const PlacedStud& left, const PlacedStud& right) const {
    double room = 0;
    for (const PlacedLug& one : left.lugs)
        for (const PlacedLug& other : right.lugs) {
            if (one.side < 0 || other.side > 0 || one.off_sheet || other.off_sheet ||
                one.cable == other.cable)
                continue;
            const double needed = std::max(bend_radius_mm(content_.cables[one.cable]) + other.half_mm,
                                           bend_radius_mm(content_.cables[other.cable]) + one.half_mm) +
                                  1.5;
            room = std::max(room, needed - (left.right_mm - one.riser_mm + right.left_mm - other.riser_mm));
        }
    return room;
}

/// A lug of an in-line device that faces the next one of its row, joined to it: the cable goes straight
/// across.
bool Packer::runs_straight(const PlacedStud& placed, const UnitGlyph& unit) const {
    if (placed.lugs.size() != 1 || placed.lugs[0].off_sheet)
        return false;
    const auto in_row = [&](std::size_t u) {
        const UnitGlyph& each = content_.units[u];
        return each.studs.size() == 2 && !each.seat_bed &&
               (each.symbol == UnitSymbol::fuse_link || each.symbol == UnitSymbol::switch_ ||
                each.symbol == UnitSymbol::shunt);
    };
    const Whereabouts& own = ends_.of[placed.lugs[0].cable][static_cast<std::size_t>(placed.lugs[0].end)];
    const Whereabouts& other =
        ends_.of[placed.lugs[0].cable][static_cast<std::size_t>(1 - placed.lugs[0].end)];
    if (other.on_bed || !in_row(other.owner) || &content_.units[other.owner] == &unit)
        return false;
    for (std::size_t u = 0; u < content_.units.size(); ++u) {
        const double key = made_.share.unit_keys[u];
        if (in_row(u) && key > std::min(own.key, other.key) && key < std::max(own.key, other.key))
            return false;
    }
    return true;
}

void Packer::place_inline(PlacedUnit& unit, std::size_t panel) {
    const auto mean_key = [&](const StudGlyph& glyph) {
        double sum = 0;
        double count = 0;
        for (const LugGlyph& lug : glyph.lugs)
            if (lug.cable < content_.cables.size()) {
                sum += far_key(lug);
                ++count;
            }
        return count > 0 ? sum / count : made_.share.unit_keys[unit.index];
    };
    const StudGlyph* left = unit.glyph->studs.data();
    const StudGlyph* right = left + 1;
    if ((mean_key(*left) > mean_key(*right)) != mirrored(unit.index))
        std::swap(left, right);
    const double pitch =
        unit.glyph->fixing_pitch_mm > 0 ? std::clamp(unit.glyph->fixing_pitch_mm * 0.5, 15.0, 40.0) : 20.0;
    PlacedStud a = stud(*left, unit.glyph->id, panel, Row::upper);
    PlacedStud b = stud(*right, unit.glyph->id, panel, Row::upper);
    a.forced_side = -1;
    b.forced_side = 1;
    for (PlacedStud* each : {&a, &b}) {
        each->inline_device = true;
        choose_sides(*each, made_.share.unit_keys[unit.index]);
        settle_stack(*each, measure_);
        if (runs_straight(*each, *unit.glyph)) {
            double& reach = each->forced_side < 0 ? each->left_mm : each->right_mm;
            reach = each->lugs[0].reach_mm + 2;
        }
        widen_for_tags(*each);
    }
    const double half_words = unit.text_width_mm / 2 - pitch / 2;
    const double reach_left = std::max({a.left_mm, half_words + 1.5, 6.5});
    const double reach_right = std::max({b.right_mm, half_words + 1.5, 6.5});
    a.x_mm = snapped(beside_last(a, above_ + 2 + wish_.gap_mm + reach_left) + 0.25);
    b.x_mm = a.x_mm + snapped(pitch);
    above_ = b.x_mm + reach_right;
    unit.upper = true;
    unit.box = {a.x_mm - 6, 0, b.x_mm - a.x_mm + 12, 0};
    for (PlacedStud* each : {&a, &b}) {
        unit.studs.push_back(made_.studs.size());
        made_.studs.push_back(*each);
    }
    last_up_ = made_.studs.size() - 1;
}

void Packer::place_box(PlacedUnit& unit, std::size_t panel) {
    std::vector<PlacedStud> up;
    std::vector<PlacedStud> down;
    const double key = made_.share.unit_keys[unit.index];
    // All studs of a return bar hang, those for light leads too.
    const auto has = [&](Flow flow) {
        return std::any_of(unit.glyph->studs.begin(), unit.glyph->studs.end(),
                           [&](const StudGlyph& each) { return each.flow == flow; });
    };
    const bool hangs =
        unit.glyph->symbol == UnitSymbol::post && !made_.share.control && has(Flow::back) && !has(Flow::feed);
    std::vector<const StudGlyph*> studs;
    for (const StudGlyph& glyph : unit.glyph->studs)
        studs.push_back(&glyph);
    if (mirrored(unit.index))
        std::reverse(studs.begin(), studs.end());
    for (const StudGlyph* glyph : studs) {
        PlacedStud placed = stud(*glyph, unit.glyph->id, panel, Row::unit, hangs);
        if (made_.share.control && placed.lugs.empty())
            continue;
        // A seat takes the place below the box: such a unit's return stud stands on top.
        if (unit.glyph->seat_bed)
            placed.hanging = false;
        choose_sides(placed, key);
        settle_stack(placed, measure_);
        widen_for_tags(placed);
        (placed.hanging ? down : up).push_back(placed);
    }
    // A straight cable runs so near the bodies that its balloon must stand between them.
    const bool straight = (!up.empty() && joined_straight(last_up_, up.front())) ||
                          (!down.empty() && joined_straight(last_down_, down.front()));
    const double gap = std::max(6 + wish_.gap_mm, straight && !wish_.pressed ? balloon_gap_mm : 0);
    const double least = boxes_ + gap;
    double left = least;
    double right = left;
    // A stud whose only leads end in tags stays low: an in-line device may stand over it.
    const auto stays_low = [](const PlacedStud& each) {
        return each.tall_mm < 12 && std::all_of(each.lugs.begin(), each.lugs.end(),
                                                [](const PlacedLug& lug) { return lug.off_sheet; });
    };
    double cursor = low_ + 2;
    for (std::size_t i = 0; i < up.size(); ++i) {
        PlacedStud& each = up[i];
        const bool low = stays_low(each);
        const double from = low ? cursor : std::max(cursor, above_ + 2);
        const double plain = i == 0 ? beside_last(each, from + each.left_mm) : from + each.left_mm;
        const double crossing =
            i == 0 ? 0 : up[i - 1].x_mm + up[i - 1].right_mm + each.left_mm + crossing_room(up[i - 1], each);
        const double bridged = i == 0 ? bridged_x(last_up_, each) : 0;
        each.x_mm = snapped(std::max({plain, least + 7, crossing, bridged}) + 0.25);
        if (i == 0) {
            // The box follows its first stud; a little to its left when there is room.
            left = snapped(std::max(least, each.x_mm - std::max(9.0, std::min(each.left_mm, 14.0))));
        }
        cursor = each.x_mm + each.right_mm + 1.5;
        low_ = cursor - 1.5;
        if (!low)
            above_ = std::max(above_, low_);
        right = each.x_mm + 7;
    }
    cursor = below_ + 2;
    const double words = left + unit.text_width_mm + 5;
    for (std::size_t i = 0; i < down.size(); ++i) {
        PlacedStud& each = down[i];
        const bool beside_words = unit.glyph->symbol != UnitSymbol::post;
        const double crossing = i == 0 ? 0
                                       : down[i - 1].x_mm + down[i - 1].right_mm + each.left_mm +
                                             crossing_room(down[i - 1], each);
        each.x_mm = snapped(std::max({cursor + each.left_mm, left + 7, beside_words ? words + 2 : 0.0,
                                      crossing, i == 0 ? bridged_x(last_down_, each) : 0}) +
                            0.25);
        cursor = each.x_mm + each.right_mm + 1.5;
        right = std::max(right, each.x_mm + 7);
    }
    if (!down.empty())
        below_ = std::max(below_, cursor - 1.5);
    // Studs on both sides of it, or none, keep a post a box: one bar cannot carry both.
    if (unit.glyph->symbol == UnitSymbol::post && !unit.glyph->seat_bed && up.empty() != down.empty())
        unit.bar = down.empty() ? PlacedUnit::Bar::upright : PlacedUnit::Bar::hanging;
    if (unit.bar != PlacedUnit::Bar::none) {
        const std::vector<PlacedStud>& row = down.empty() ? up : down;
        unit.bar_left_mm = row.front().x_mm - 6;
        unit.bar_right_mm = row.back().x_mm + 6;
        left = std::min(left, unit.bar_left_mm);
    }
    unit.box = {left, 0, snapped(std::max(unit_width_mm(unit), right - left)), made_.row_height_mm};
    boxes_ = unit.box.right_mm();
    for (const auto* group : {&down, &up}) {
        for (const PlacedStud& each : *group) {
            unit.studs.push_back(made_.studs.size());
            made_.studs.push_back(each);
        }
        if (group == &down && !down.empty())
            last_down_ = made_.studs.size() - 1;
    }
    if (!up.empty())
        last_up_ = made_.studs.size() - 1;
}

// A place in the content and a panel of the sheet; both calls name them.
// NOLINTNEXTLINE(bugprone-easily-swappable-parameters)
void Packer::place_unit(std::size_t index, std::size_t panel) {
    PlacedUnit unit;
    unit.glyph = &content_.units[index];
    unit.index = index;
    unit.panel = panel;
    const UnitSymbol symbol = unit.glyph->symbol;
    const bool two = unit.glyph->studs.size() == 2 && !unit.glyph->seat_bed &&
                     std::none_of(unit.glyph->studs.begin(), unit.glyph->studs.end(),
                                  [](const StudGlyph& s) { return s.flow == Flow::back; });
    unit.upper =
        two && !made_.share.control &&
        (symbol == UnitSymbol::fuse_link || symbol == UnitSymbol::switch_ || symbol == UnitSymbol::shunt);
    settle_unit(unit, measure_);
    if (unit.upper)
        place_inline(unit, panel);
    else
        place_box(unit, panel);
    if (unit.glyph->seat_bed && bed_place_.contains(*unit.glyph->seat_bed))
        unit.seat = bed_place_[*unit.glyph->seat_bed];
    made_.units.push_back(std::move(unit));
}

} // namespace stoutloom::layout
