// Places along the sheet: panels in vehicle order, in each the units with their studs, then the studs of the
// beds.
#include "layout/arrangement.h"
#include "layout/devices.h"
#include "layout/hardware.h"
#include "layout/pen.h"
#include "layout/stroke_path.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace stoutloom::layout {

Ends find_ends(const DiagramContent& content, const std::vector<double>& unit_keys) {
    Ends ends{std::vector<std::vector<Whereabouts>>(content.cables.size(), std::vector<Whereabouts>(2))};
    const auto note = [&](const StudGlyph& stud, const Whereabouts& where) {
        for (const LugGlyph& lug : stud.lugs)
            if (lug.cable < content.cables.size() && (lug.end == 0 || lug.end == 1))
                ends.of[lug.cable][static_cast<std::size_t>(lug.end)] = where;
    };
    for (std::size_t u = 0; u < content.units.size(); ++u)
        for (std::size_t s = 0; s < content.units[u].studs.size(); ++s)
            note(content.units[u].studs[s], {true, false, u, s, content.units[u].zone, unit_keys[u]});
    for (std::size_t b = 0; b < content.beds.size(); ++b)
        for (std::size_t s = 0; s < content.beds[b].studs.size(); ++s) {
            const std::size_t zone =
                s < content.beds[b].stud_zones.size() ? content.beds[b].stud_zones[s] : 0;
            note(content.beds[b].studs[s], {true, true, b, s, zone, static_cast<double>(zone) * 1000 + 500});
        }
    // A bed's stud stands beside what it is joined to: its key follows its partners' in the same zone.
    for (std::size_t c = 0; c < content.cables.size(); ++c)
        for (std::size_t e = 0; e < 2; ++e) {
            Whereabouts& own = ends.of[c][e];
            const Whereabouts& other = ends.of[c][1 - e];
            if (own.on_bed && other.known && !other.on_bed && other.zone == own.zone)
                own.key = other.key + 0.4;
        }
    return ends;
}

const PlacedStud* Arrangement::stud_of(std::size_t cable, int end, const PlacedLug** lug) const {
    for (const PlacedStud& stud : studs)
        for (const PlacedLug& each : stud.lugs)
            if (each.cable == cable && each.end == end) {
                *lug = &each;
                return &stud;
            }
    return nullptr;
}

namespace {

class Packer {
  public:
    Packer(const DiagramContent& content, const Ends& ends, const SheetShare& share, const SheetSize& size,
           const TextMeasure& measure, const ArrangeWish& wish)
        : content_(content), ends_(ends), measure_(measure), wish_(wish) {
        made_.content = &content;
        made_.share = share;
        made_.size = size;
        shown_.assign(content.cables.size(), false);
        for (const std::size_t cable : share.cables)
            shown_[cable] = true;
    }
    std::optional<Arrangement> pack();

  private:
    const DiagramContent& content_;
    const Ends& ends_;
    const TextMeasure& measure_;
    const ArrangeWish& wish_;
    Arrangement made_;
    std::vector<bool> shown_;
    std::map<std::size_t, std::size_t> bed_place_; // content index to placed index
    // Right edges so far: of what reaches up to the lanes, of low stacks with their tags, of the boxes, of
    // what hangs.
    double above_ = 0, low_ = 0, boxes_ = 0, below_ = 0;

    void find_leaving();
    void place_beds();
    PlacedStud stud(const StudGlyph& glyph, const std::string& owner, std::size_t panel, Row row);
    void choose_sides(PlacedStud& placed, double key) const;
    void place_panel(std::size_t index);
    void place_unit(std::size_t index, std::size_t panel);
    void place_inline(PlacedUnit& unit, std::size_t panel);
    void place_box(PlacedUnit& unit, std::size_t panel);
    void place_raised(std::size_t bed, std::size_t panel);
    void place_bed_studs(std::size_t panel);
    bool riser_clashes(const PlacedStud& candidate) const;
    double tag_half(const PlacedLug& lug) const { return lug.off_sheet ? made_.tag_width_mm / 2 : 0; }
    void widen_for_tags(PlacedStud& placed) const;
    std::size_t last_up_ = nowhere; // the stud above the boxes that was placed last
    double beside_last(const PlacedStud& next, double plain_x) const;
    bool runs_straight(const PlacedStud& stud, const UnitGlyph& unit) const;
    double head_width(const Panel& panel) const;
    bool on_raised_bed(const Whereabouts& where) const {
        const auto at = where.on_bed ? bed_place_.find(where.owner) : bed_place_.end();
        return at != bed_place_.end() && made_.beds[at->second].raised;
    }
};

void Packer::find_leaving() {
    const auto is_here = [&](const Whereabouts& where) {
        for (const Panel& panel : made_.share.panels) {
            if (panel.zone != where.zone)
                continue;
            if (where.on_bed)
                return !panel.continued;
            if (std::find(panel.units.begin(), panel.units.end(), where.owner) != panel.units.end())
                return true;
        }
        return false;
    };
    double first_key = 1e18;
    for (const Panel& panel : made_.share.panels)
        for (const std::size_t unit : panel.units)
            first_key = std::min(first_key, made_.share.unit_keys[unit]);
    if (first_key > 1e17 && !made_.share.panels.empty())
        first_key = static_cast<double>(made_.share.panels.front().zone) * 1000;
    for (const std::size_t cable : made_.share.cables)
        for (int end = 0; end < 2; ++end) {
            const Whereabouts& where = ends_.of[cable][static_cast<std::size_t>(end)];
            if (where.known && !is_here(where))
                made_.leaving.push_back({cable, end, where.key < first_key ? -1 : 1, "", ""});
        }
}

PlacedStud Packer::stud(const StudGlyph& glyph, const std::string& owner, std::size_t panel, Row row) {
    PlacedStud placed;
    placed.glyph = &glyph;
    placed.id = glyph.id;
    placed.owner = owner;
    placed.zone = panel;
    placed.row = row;
    placed.hanging = row == Row::unit && glyph.flow == Flow::back;
    placed.sinks = row == Row::raised_bed;
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
        put.off_sheet = made_.share.control != control;
        put.upright = put.off_sheet && glyph.kind != StudGlyph::Kind::stud && glyph.lugs.size() == 1;
        if (put.off_sheet || shown_[lug.cable])
            placed.lugs.push_back(put);
    }
    return placed;
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
            lug.side = other.key < key ? -1 : 1;
    }
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

void Packer::place_inline(PlacedUnit& unit, std::size_t panel) {
    const auto mean_key = [&](const StudGlyph& glyph) {
        double sum = 0;
        double count = 0;
        for (const LugGlyph& lug : glyph.lugs)
            if (lug.cable < content_.cables.size()) {
                sum += ends_.of[lug.cable][static_cast<std::size_t>(1 - lug.end)].key;
                ++count;
            }
        return count > 0 ? sum / count : made_.share.unit_keys[unit.index];
    };
    const StudGlyph* left = &unit.glyph->studs[0];
    const StudGlyph* right = &unit.glyph->studs[1];
    if (mean_key(*left) > mean_key(*right))
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
    for (const StudGlyph& glyph : unit.glyph->studs) {
        PlacedStud placed = stud(glyph, unit.glyph->id, panel, Row::unit);
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
    const double gap = 6 + wish_.gap_mm;
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
        each.x_mm = snapped(std::max(plain, least + 7) + 0.25);
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
    for (PlacedStud& each : down) {
        const bool beside_words = unit.glyph->symbol != UnitSymbol::post;
        each.x_mm =
            snapped(std::max({cursor + each.left_mm, left + 7, beside_words ? words + 2 : 0.0}) + 0.25);
        cursor = each.x_mm + each.right_mm + 1.5;
        right = std::max(right, each.x_mm + 7);
    }
    if (!down.empty())
        below_ = std::max(below_, cursor - 1.5);
    unit.box = {left, 0, snapped(std::max(unit_width_mm(unit), right - left)), made_.row_height_mm};
    boxes_ = unit.box.right_mm();
    for (const auto* group : {&down, &up})
        for (const PlacedStud& each : *group) {
            unit.studs.push_back(made_.studs.size());
            made_.studs.push_back(each);
        }
    if (!up.empty())
        last_up_ = made_.studs.size() - 1;
}

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
    if (unit.glyph->seat_bed && bed_place_.count(*unit.glyph->seat_bed) > 0)
        unit.seat = bed_place_[*unit.glyph->seat_bed];
    made_.units.push_back(std::move(unit));
}

void Packer::place_raised(std::size_t placed_bed, std::size_t panel) {
    PlacedBed& bed = made_.beds[placed_bed];
    double left = 1e9;
    double right = 0;
    for (const PlacedUnit& unit : made_.units)
        if (unit.seat == placed_bed) {
            left = std::min(left, unit.box.x_mm);
            right = std::max(right, unit.box.right_mm());
        }
    bed.left_mm = left - 3;
    double cursor = std::max({boxes_ + 2, below_});
    for (const StudGlyph& glyph : bed.glyph->studs) {
        PlacedStud placed = stud(glyph, bed.glyph->id, panel, Row::raised_bed);
        choose_sides(placed, static_cast<double>(made_.share.panels[panel].zone) * 1000 + 900);
        settle_stack(placed, measure_);
        placed.x_mm = snapped(cursor + placed.left_mm + 0.25);
        cursor = placed.x_mm + placed.right_mm + 1;
        const std::string words = placed.glyph->designation + "  " + placed.glyph->thread;
        const double half = measure_.width_mm(words, 2.5, Weight::bold) / 2;
        right = std::max({right, placed.x_mm + placed.core_mm, placed.x_mm + half - 1});
        bed.studs.push_back(made_.studs.size());
        made_.studs.push_back(placed);
    }
    bed.right_mm = right + 3;
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
    for (const PlacedUnit& unit : made_.units) {
        if (unit.seat == nowhere || made_.beds[unit.seat].raised)
            continue;
        const double middle = unit.box.x_mm + unit.box.width_mm / 2;
        if (std::abs(candidate.x_mm - middle) < candidate.core_mm + 7)
            return true;
    }
    return false;
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
                if (const PlacedStud* partner = made_.stud_of(lug.cable, 1 - lug.end, &other);
                    partner != nullptr && partner->zone == panel)
                    partners_x = std::max(partners_x, partner->row == Row::raised_bed ? partner->x_mm - 6
                                                                                      : partner->x_mm + 12);
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
        each.placed.x_mm = snapped(std::max(cursor + each.placed.left_mm, each.wish_x) + 0.25);
        for (int tries = 0; riser_clashes(each.placed) && tries < 400; ++tries)
            each.placed.x_mm += 0.5;
        cursor = each.placed.x_mm + each.placed.right_mm + 2;
        below_ = std::max(below_, each.placed.x_mm + each.placed.right_mm);
        made_.beds[each.bed].studs.push_back(made_.studs.size());
        made_.studs.push_back(each.placed);
    }
}

double Packer::head_width(const Panel& panel) const {
    const ZonePanel& zone = content_.zones[panel.zone];
    return 8 + measure_.width_mm("+" + zone.id.substr(0, 4), 3.5, Weight::bold) +
           std::min(measure_.width_mm(zone.label, 3.5, Weight::regular), 34.0) +
           measure_.width_mm(zone.ambient, 2.5, Weight::bold) + 14;
}

void Packer::place_panel(std::size_t index) {
    Panel& panel = made_.share.panels[index];
    const double edge = panel.left_mm;
    const bool tags_left = index == 0 && std::any_of(made_.leaving.begin(), made_.leaving.end(),
                                                     [](const Leaving& l) { return l.side < 0; });
    const bool tags_right =
        index + 1 == made_.share.panels.size() &&
        std::any_of(made_.leaving.begin(), made_.leaving.end(), [](const Leaving& l) { return l.side > 0; });
    const double tags = tags_left ? made_.tag_width_mm + 8 : 0;
    above_ = low_ = below_ = edge - 1 + tags + wish_.pad_mm;
    boxes_ = edge - 2 + tags + wish_.pad_mm; // a gap of 6 follows
    last_up_ = nowhere;
    // Units that share a raised bed stand together, and the bed's studs follow them.
    std::vector<std::size_t> left = panel.units;
    while (!left.empty()) {
        const std::optional<std::size_t> seat = content_.units[left.front()].seat_bed;
        const bool raised = seat && bed_place_.count(*seat) > 0 && made_.beds[bed_place_[*seat]].raised;
        std::vector<std::size_t> later;
        for (std::size_t i = 0; i < left.size(); ++i) {
            const bool now = i == 0 || (raised && content_.units[left[i]].seat_bed == seat);
            if (now)
                place_unit(left[i], index);
            else
                later.push_back(left[i]);
        }
        if (raised)
            place_raised(bed_place_[*seat], index);
        left = std::move(later);
    }
    place_bed_studs(index);
    double right = std::max({above_ + 3, low_ + 3, below_ + 3, boxes_ + 8}) + wish_.gap_mm + wish_.pad_mm;
    right = std::max(right,
                     edge + std::max(head_width(panel), (panel.units.empty() ? 62.0 : 46.0) + wish_.pad_mm));
    if (wish_.label_room_mm > 0 && wish_.label_panel == index)
        right += wish_.label_room_mm;
    if (tags_right)
        right += made_.tag_width_mm + 6;
    panel.right_mm = snapped(right);
}

std::optional<Arrangement> Packer::pack() {
    made_.tag_width_mm = std::max(24.0, measure_.width_mm("sheet 2b, B6", 2.5, Weight::regular) + 4);
    find_leaving();
    place_beds();
    const Box content = content_box(made_.size);
    double left = content.x_mm;
    for (std::size_t i = 0; i < made_.share.panels.size(); ++i) {
        made_.share.panels[i].left_mm = left;
        place_panel(i);
        left = made_.share.panels[i].right_mm + 4;
    }
    made_.left_mm = content.x_mm;
    made_.right_mm = left - 4;
    if (made_.right_mm > content.right_mm() + 1e-6)
        return std::nullopt;
    made_.spare_mm = content.right_mm() - made_.right_mm;
    made_.right_mm = content.right_mm();
    made_.share.panels.back().right_mm = made_.right_mm;
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
    return std::move(made_);
}

} // namespace

std::optional<Arrangement> arrange_across(const DiagramContent& content, const Ends& ends,
                                          const SheetShare& share, const SheetSize& size,
                                          const TextMeasure& measure, const ArrangeWish& wish) {
    std::optional<Arrangement> packed = Packer(content, ends, share, size, measure, wish).pack();
    if (!packed || share.panels.empty())
        return packed;
    // What is left over goes to both sides of every panel.
    ArrangeWish padded = wish;
    padded.pad_mm =
        std::floor(packed->spare_mm / (2 * static_cast<double>(share.panels.size())) * 2) / 2 - 0.5;
    if (padded.pad_mm >= 0.5)
        if (std::optional<Arrangement> wide = Packer(content, ends, share, size, measure, padded).pack())
            return wide;
    return packed;
}

} // namespace stoutloom::layout
