// Masses along the sheet: those close under their units, the long ones at the bottom, and the studs on both.
#include "layout/devices.h"
#include "layout/hardware.h"
#include "layout/packer.h"
#include "layout/pen.h"
#include "layout/stroke_path.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout {

/// Metal on which nothing of this sheet stands or ends, while something on another does, is left out here.
bool Packer::bare_here(std::size_t bed, bool seated_here) const {
    const BedGlyph& glyph = content_.beds[bed];
    if (seated_here)
        return false;
    for (const std::size_t zone : glyph.stud_zones)
        for (const Panel& panel : made_.share.panels)
            if (panel.zone == zone && !panel.continued)
                return false;
    return !glyph.studs.empty() || std::any_of(content_.units.begin(), content_.units.end(),
                                               [&](const UnitGlyph& unit) { return unit.seat_bed == bed; });
}

void Packer::place_beds() {
    const auto panel_of_zone = [&](std::size_t zone) -> std::optional<std::size_t> {
        for (std::size_t p = 0; p < made_.share.panels.size(); ++p)
            if (made_.share.panels[p].zone == zone)
                return p;
        return std::nullopt;
    };
    for (std::size_t b = 0; b < content_.beds.size() && !made_.share.control; ++b) {
        std::vector<std::size_t> zones = content_.beds[b].zones;
        zones.insert(zones.end(), content_.beds[b].stud_zones.begin(), content_.beds[b].stud_zones.end());
        bool seated = false;
        bool seated_here = false;
        for (const UnitGlyph& unit : content_.units)
            if (unit.seat_bed == b) {
                zones.push_back(unit.zone);
                seated = true;
                for (const Panel& panel : made_.share.panels)
                    for (const std::size_t index : panel.units)
                        seated_here = seated_here || &content_.units[index] == &unit;
            }
        if (zones.empty())
            continue;
        const auto [low, high] = std::minmax_element(zones.begin(), zones.end());
        PlacedBed bed;
        bed.glyph = &content_.beds[b];
        bed.index = b;
        std::size_t here = 0;
        for (std::size_t zone = *low; zone <= *high; ++zone)
            here += panel_of_zone(zone).has_value() ? 1U : 0U;
        if (here == 0)
            continue;
        if (bare_here(b, seated_here))
            continue;
        const Panel& first = made_.share.panels.front();
        const Panel& last = made_.share.panels.back();
        bed.torn_left = *low < first.zone || (*low == first.zone && first.continued);
        bed.torn_right = *high > last.zone;
        // An engine block stands close under its units; the long metal everything returns to lies at the
        // bottom.
        bed.raised = seated && seated_here && *low == *high && content_.beds.size() > 1 &&
                     bed.glyph->studs.size() <= 3;
        bed_place_[b] = made_.beds.size();
        made_.beds.push_back(bed);
    }
}

/// How far right what hangs in the panel reaches by now, captions too.
double Packer::hanging_to_mm(std::size_t panel) const {
    double right = 0;
    for (const PlacedStud& stud : made_.studs)
        if (stud.hanging && stud.zone == panel)
            for (const Box& box : stack_boxes(stud, measure_))
                right = std::max(right, box.right_mm());
    return right;
}

/// Where a lead from a raised bed in that zone aims, for the order of its studs: one to lower metal of
/// another zone runs under those to units there, so its stud stands nearer to the middle.
double Packer::aim_key(const Whereabouts& aim, std::size_t zone) const {
    if (!aim.on_bed || aim.zone == zone || on_raised_bed(aim))
        return aim.key;
    return static_cast<double>(zone) * 1000 + (aim.zone < zone ? -0.5 : 499.5);
}

// A bed of the arrangement and a panel of the sheet; the one call names them.
// NOLINTNEXTLINE(bugprone-easily-swappable-parameters)
void Packer::place_raised(std::size_t placed_bed, std::size_t panel) {
    PlacedBed& bed = made_.beds[placed_bed];
    double left = 1e9;
    double foot = 1e9;
    double right = 0;
    for (const PlacedUnit& unit : made_.units)
        if (unit.seat == placed_bed) {
            left = std::min(left, unit.box.x_mm);
            foot = std::min(foot, unit.box.x_mm + unit.box.width_mm / 2 - 8); // of its seat, and a little
            right = std::max(right, unit.box.right_mm());
        }
    // It reaches a little beyond its units, but not under a stack that hangs from the one before them.
    bed.left_mm = std::max(left - 3, std::min(hanging_to_mm(panel) + 1, foot));
    double cursor = std::max({boxes_ + 2, below_});
    double captions_mm = -1e9;
    double words_mm = bed.left_mm + 2.5 + bed_words_mm(bed, measure_); // up to which they reach from the left
    // What leads to the left stands on the left.
    std::vector<std::pair<double, const StudGlyph*>> order;
    for (const StudGlyph& glyph : bed.glyph->studs) {
        double key = static_cast<double>(made_.share.panels[panel].zone) * 1000 + 500;
        for (const LugGlyph& lug : glyph.lugs)
            if (lug.cable < content_.cables.size())
                key = std::min(key, aim_key(ends_.of[lug.cable][static_cast<std::size_t>(1 - lug.end)],
                                            made_.share.panels[panel].zone));
        if (glyph.lugs.empty()) // a bare one keeps its place in the file among those
            key -= 0.5;
        order.emplace_back(key, &glyph);
    }
    std::stable_sort(order.begin(), order.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    for (const auto& [key, glyph] : order) {
        PlacedStud placed = stud(*glyph, bed.glyph->id, panel, Row::raised_bed);
        // All its cables are on other sheets, and there it stands; a bare one where the bed's others do.
        if (placed.lugs.empty() && (!glyph->lugs.empty() || made_.share.panels[panel].continued))
            continue;
        choose_sides(placed, static_cast<double>(made_.share.panels[panel].zone) * 1000 + 900);
        settle_stack(placed, measure_);
        const std::string words = placed.glyph->designation + "  " + placed.glyph->thread;
        const double half = measure_.width_mm(words, 2.5, Weight::bold) / 2;
        // Its cable may go down over the bed: not through the caption there.
        for (PlacedLug& lug : placed.lugs)
            if (!lug.off_sheet) {
                lug.riser_mm = std::max(lug.riser_mm, half + lug.half_mm + 2.5);
                double& reach = lug.side < 0 ? placed.left_mm : placed.right_mm;
                reach = std::max(reach, lug.riser_mm + lug.half_mm + 1.5);
            }
        const double crossing = bed.studs.empty() ? 0 : crossing_room(made_.studs.back(), placed);
        double from_words = half;
        for (const PlacedLug& lug : placed.lugs)
            if (lug.side < 0 && !lug.off_sheet)
                from_words = std::max(from_words, lug.riser_mm + lug.half_mm + 1.5);
        placed.x_mm = snapped(std::max({cursor + placed.left_mm + crossing, captions_mm + half + 4,
                                        words_mm + from_words + 2.5}) +
                              0.25);
        words_mm = -1e9;
        cursor = placed.x_mm + placed.right_mm + 1;
        captions_mm = placed.x_mm + half;
        for (const PlacedLug& lug : placed.lugs)
            if (lug.side > 0 && !lug.off_sheet)
                captions_mm = std::max(captions_mm, placed.riser_x(lug) + lug.half_mm);
        right = std::max({right, placed.x_mm + placed.core_mm, placed.x_mm + half - 1});
        bed.studs.push_back(made_.studs.size());
        made_.studs.push_back(placed);
    }
    bed.right_mm = std::max(right + 3, words_mm); // bare metal too says what it is
    boxes_ = std::max(boxes_, cursor - 4);
    below_ = std::max({below_, cursor, bed.right_mm});
}

bool Packer::riser_clashes(const PlacedStud& candidate) const {
    for (const PlacedStud& other : made_.studs) {
        if (!other.hanging && other.row != Row::bed && other.row != Row::raised_bed)
            continue;
        for (const PlacedLug& mine : candidate.lugs)
            for (const PlacedLug& its : other.lugs)
                if (mine.cable != its.cable &&
                    std::abs(candidate.riser_x(mine) - other.riser_x(its)) < mine.half_mm + its.half_mm + 2.2)
                    return true;
    }
    return std::any_of(made_.units.begin(), made_.units.end(), [&](const PlacedUnit& unit) {
        const double middle = unit.box.x_mm + unit.box.width_mm / 2;
        return unit.seat != nowhere && !made_.beds[unit.seat].raised &&
               std::abs(candidate.x_mm - middle) < candidate.core_mm + 7;
    });
}

/// Where the one cable of a bed's stud could drop straight from the stud above it; 0 when there is none.
double Packer::under(const PlacedStud& placed) const {
    if (placed.lugs.size() != 1)
        return 0;
    const PlacedLug& own = placed.lugs.front();
    const PlacedLug* lug = nullptr;
    const PlacedStud* partner = made_.stud_of(own.cable, 1 - own.end, &lug);
    if (partner == nullptr || partner->zone != placed.zone || lug->side != own.side ||
        !(partner->hanging || partner->row == Row::raised_bed))
        return 0;
    return partner->riser_x(*lug) - own.side * own.riser_mm;
}

/// Two risers of one cable stand in line, or far enough apart for both bends of the step between them.
bool Packer::cannot_step(const PlacedStud& candidate) const {
    return std::any_of(candidate.lugs.begin(), candidate.lugs.end(), [&](const PlacedLug& own) {
        const PlacedLug* lug = nullptr;
        const PlacedStud* partner = made_.stud_of(own.cable, 1 - own.end, &lug);
        if (partner == nullptr || lug->off_sheet ||
            !(partner->hanging || partner->row == Row::raised_bed || partner->row == Row::bed))
            return false;
        const double apart = std::abs(candidate.riser_x(own) - partner->riser_x(*lug));
        return apart > 0.26 && apart < 2 * bend_radius_mm(content_.cables[own.cable]) + 0.5;
    });
}

void Packer::place_bed_studs(std::size_t panel) {
    struct Waiting {
        PlacedStud placed;
        std::size_t bed;
        double key, wish_x;
    };
    std::vector<Waiting> waiting;
    const std::size_t zone = made_.share.panels[panel].zone;
    for (std::size_t b = 0; b < made_.beds.size(); ++b) {
        const BedGlyph& glyph = *made_.beds[b].glyph;
        for (std::size_t s = 0; s < glyph.studs.size() && !made_.beds[b].raised; ++s) {
            if ((s < glyph.stud_zones.size() ? glyph.stud_zones[s] : 0) != zone ||
                made_.share.panels[panel].continued)
                continue;
            Waiting each{stud(glyph.studs[s], glyph.id, panel, Row::bed), b, 0, 0};
            double sum = 0;
            double partners_x = 0;
            for (const PlacedLug& lug : each.placed.lugs) {
                sum += ends_.of[lug.cable][static_cast<std::size_t>(1 - lug.end)].key;
                const PlacedLug* other = nullptr;
                const PlacedStud* partner = made_.stud_of(lug.cable, 1 - lug.end, &other);
                if (partner == nullptr || partner->zone != panel)
                    continue;
                partners_x = std::max(partners_x, partner->row == Row::raised_bed ? partner->x_mm - 6
                                                                                  : partner->x_mm + 12);
                // Under a full stack its cables turn down: the stud stands clear of them, its lug towards it.
                if (partner->hanging && partner->lugs.size() > 2 && other->side > 0 &&
                    each.placed.lugs.size() == 1) {
                    partners_x = std::max(partners_x, partner->x_mm + partner->right_mm + 30);
                    each.placed.forced_side = -1;
                }
            }
            const auto count = static_cast<double>(each.placed.lugs.size());
            each.key = count > 0 ? sum / count : static_cast<double>(zone) * 1000 + 500;
            each.wish_x = partners_x;
            waiting.push_back(each);
        }
    }
    std::stable_sort(waiting.begin(), waiting.end(),
                     [](const Waiting& a, const Waiting& b) { return a.key < b.key; });
    double cursor = made_.share.panels[panel].left_mm + 8 + wish_.pad_mm;
    for (Waiting& each : waiting) {
        choose_sides(each.placed, std::clamp(each.key, static_cast<double>(zone) * 1000,
                                             static_cast<double>(zone) * 1000 + 999));
        settle_stack(each.placed, measure_);
        each.placed.left_mm = std::max(each.placed.left_mm, 9.0); // its caption stands in the bed
        each.placed.right_mm = std::max(each.placed.right_mm, 9.0);
        const double least = cursor + each.placed.left_mm;
        each.placed.x_mm = snapped(std::max(least, each.wish_x) + 0.25);
        if (const double straight = under(each.placed); cannot_step(each.placed) && straight >= least)
            each.placed.x_mm = straight;
        for (int tries = 0; (riser_clashes(each.placed) || cannot_step(each.placed)) && tries < 400; ++tries)
            each.placed.x_mm += 0.5;
        cursor = each.placed.x_mm + each.placed.right_mm + 2;
        below_ = std::max(below_, each.placed.x_mm + each.placed.right_mm);
        made_.beds[each.bed].studs.push_back(made_.studs.size());
        made_.studs.push_back(each.placed);
    }
}

/// The long beds run through every panel of their zones.
void Packer::stretch_beds() {
    for (PlacedBed& bed : made_.beds) {
        if (bed.raised)
            continue;
        bed.left_mm = 1e9;
        std::vector<std::size_t> zones = bed.glyph->zones;
        zones.insert(zones.end(), bed.glyph->stud_zones.begin(), bed.glyph->stud_zones.end());
        for (const UnitGlyph& unit : content_.units)
            if (unit.seat_bed == bed.index)
                zones.push_back(unit.zone);
        const auto [low, high] = std::minmax_element(zones.begin(), zones.end());
        for (const Panel& panel : made_.share.panels)
            if (panel.zone >= *low && panel.zone <= *high) {
                bed.left_mm = std::min(bed.left_mm, panel.left_mm + 4);
                bed.right_mm = std::max(bed.right_mm, panel.right_mm - 4);
            }
    }
}

} // namespace stoutloom::layout
