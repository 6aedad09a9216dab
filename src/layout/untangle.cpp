// All studs of a sheet stand in one row. A way over it and another cross where their ends stand by turns; so
// crossings can be counted from the order alone, thousands of orders in the time that one sheet takes to
// draw. What comes out is only proposed: the sheet is drawn in that order, and kept where it is the tidier.
#include "layout/untangle.h"

#include "layout/way_cost.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <map>
#include <random>
#include <utility>
#include <vector>

namespace stoutloom::layout {
namespace {

constexpr double far_mm = 1e5;
constexpr double crossing_tag = 60; // a tag may stand at its stud instead
constexpr double far_edge_mm = 140; // from the edge: there it will
constexpr double under_way = 45;    // with another way to go round it
constexpr double not_straight = 48; // four bends
constexpr double round_itself = 60; // leaves a device on the side that faces away
constexpr double falling = 6;       // a bar that counts 6, 5 ... 1
constexpr double per_mm = 0.5;
constexpr double worth_drawing = 30;
constexpr int steps = 8000;
constexpr int starts = 3;

struct Foot {
    std::size_t thing = nowhere; // nowhere: at the sheet's edge, or on metal
    std::size_t stud = 0;        // of the thing
    double edge_mm = 0;          // far out on one side where it ends in a tag
    bool on_metal = false;
};
struct Strand {
    std::size_t cable = nowhere;
    Foot ends[2];
    int leaving = -1;                           // the end that is on another sheet
    bool left_away = false, right_away = false; // that edge is the farther one from where it goes
    bool tag() const { return leaving >= 0; }
};
struct Place {
    double offset_mm = 0;
    bool hanging = false;
    int forced_side = 0;
};
/// A unit of the row.
struct Thing {
    std::size_t unit = nowhere, panel = 0;
    double width_mm = 0;
    std::vector<Place> studs;
    bool upper = false;
    bool counts = false;   // a bar, whose studs are numbered along it
    bool mirrored = false; // as it stands on the sheet
};
struct Order {
    std::vector<std::vector<std::size_t>> rows; // things of each panel
    std::vector<bool> turned;                   // against how it stands on the sheet
    std::vector<bool> astray;                   // strands that leave at the other edge than there
    bool operator==(const Order&) const = default;
};

/// What a strand covers of the row: over it or under it.
struct Span {
    double low, high;
    bool above, below, tag, metal;
    /// Whether the other, a tag at its stud, stands under this.
    bool holds_tag(const Span& other) const {
        return other.low == other.high && low < other.low && other.low < high;
    }
};

class Untangling {
  public:
    explicit Untangling(const PlacedSheet& sheet);
    std::vector<SheetShare> best();

  private:
    const Arrangement& all_;
    std::vector<Thing> things_;
    std::vector<Strand> strands_;
    std::vector<double> panel_left_mm_;
    Order now_;
    // Room to weigh in, made once: thousands of orders are weighed.
    mutable std::vector<double> left_mm_; // of each thing
    mutable std::vector<Span> spans_;

    void gather_strands();
    double x_of(const Order& order, const Foot& foot) const;
    double x_of(const Order& order, std::size_t strand, std::size_t end) const;
    double weigh(const Order& order) const;
    bool straight(const Order& order, const Strand& strand, double from, double to) const;
    bool change(Order& order, std::mt19937_64& random) const;
    bool against_its_leads(std::size_t thing, const Order& order, const Ends& ends) const;
    SheetShare share_of(const Order& order) const;
};

Untangling::Untangling(const PlacedSheet& sheet) : all_(sheet.arrangement) {
    now_.rows.resize(all_.share.panels.size());
    for (const Panel& panel : all_.share.panels)
        panel_left_mm_.push_back(panel.left_mm);
    for (std::size_t p = 0; p < all_.share.panels.size(); ++p)
        for (const std::size_t index : all_.share.panels[p].units) {
            const auto unit = std::find_if(all_.units.begin(), all_.units.end(),
                                           [&](const PlacedUnit& each) { return each.index == index; });
            if (unit == all_.units.end())
                continue;
            Thing thing;
            thing.unit = index;
            thing.panel = p;
            thing.upper = unit->upper;
            double left = unit->box.x_mm;
            double right = unit->box.right_mm();
            for (const std::size_t s : unit->studs) {
                left = std::min(left, all_.studs[s].x_mm - all_.studs[s].left_mm);
                right = std::max(right, all_.studs[s].x_mm + all_.studs[s].right_mm);
            }
            for (const std::size_t s : unit->studs)
                thing.studs.push_back(
                    {all_.studs[s].x_mm - left, all_.studs[s].hanging, all_.studs[s].forced_side});
            thing.width_mm = right - left;
            const auto& mirrored = all_.share.departures.mirrored;
            thing.mirrored = std::find(mirrored.begin(), mirrored.end(), index) != mirrored.end();
            thing.counts = unit->bar != PlacedUnit::Bar::none && thing.studs.size() > 2;
            now_.rows[p].push_back(things_.size());
            things_.push_back(std::move(thing));
        }
    now_.turned.assign(things_.size(), false);
    left_mm_.assign(things_.size(), 0);
    gather_strands();
    now_.astray.assign(strands_.size(), false);
}

void Untangling::gather_strands() {
    const Ends ends = find_ends(*all_.content, all_.share.unit_keys);
    for (const std::size_t cable : all_.share.cables) {
        Strand strand;
        strand.cable = cable;
        bool known = true;
        for (int end = 0; end < 2; ++end) {
            Foot& foot = strand.ends[end];
            const PlacedLug* lug = nullptr;
            const PlacedStud* stud = all_.stud_of(cable, end, &lug);
            if (stud == nullptr) {
                for (const Leaving& leaving : all_.leaving)
                    if (leaving.cable == cable && leaving.end == end)
                        foot.edge_mm = leaving.side * far_mm;
                known = known && foot.edge_mm != 0;
                const std::size_t zone = ends.of[cable][static_cast<std::size_t>(end)].zone;
                strand.leaving = end;
                strand.left_away = zone > all_.share.panels.back().zone;
                strand.right_away = zone < all_.share.panels.front().zone;
                continue;
            }
            const auto index = static_cast<std::size_t>(stud - all_.studs.data());
            for (std::size_t t = 0; t < things_.size(); ++t) {
                const auto unit =
                    std::find_if(all_.units.begin(), all_.units.end(),
                                 [&](const PlacedUnit& each) { return each.index == things_[t].unit; });
                for (std::size_t s = 0; s < unit->studs.size(); ++s)
                    if (unit->studs[s] == index) {
                        foot.thing = t;
                        foot.stud = s;
                    }
            }
            if (foot.thing == nowhere) {
                foot.on_metal = true;
                foot.edge_mm = 2 * far_mm; // beyond every tag: to what goes there nothing lies outside
                known = known && stud->row == Row::bed;
            }
        }
        if (known && (strand.ends[0].thing != nowhere || strand.ends[1].thing != nowhere))
            strands_.push_back(strand);
    }
}

double Untangling::x_of(const Order& order, const Foot& foot) const {
    if (foot.thing == nowhere)
        return foot.edge_mm;
    const Thing& thing = things_[foot.thing];
    const double offset = thing.studs[foot.stud].offset_mm;
    return left_mm_[foot.thing] + (order.turned[foot.thing] ? thing.width_mm - offset : offset);
}

double Untangling::x_of(const Order& order, std::size_t strand, std::size_t end) const {
    const double x = x_of(order, strands_[strand].ends[end]);
    return static_cast<int>(end) == strands_[strand].leaving && order.astray[strand] ? -x : x;
}

/// Next to each other in the row at the same height, nothing between.
bool Untangling::straight(const Order& order, const Strand& strand, double from, double to) const {
    const Foot& a = strand.ends[0];
    const Foot& b = strand.ends[1];
    if (a.thing == nowhere || b.thing == nowhere)
        return true;
    if (things_[a.thing].upper != things_[b.thing].upper)
        return true; // a single step
    const bool hanging = things_[a.thing].studs[a.stud].hanging;
    if (hanging != things_[b.thing].studs[b.stud].hanging)
        return true;
    for (std::size_t t = 0; t < things_.size(); ++t) {
        if (things_[t].panel < std::min(things_[a.thing].panel, things_[b.thing].panel) ||
            things_[t].panel > std::max(things_[a.thing].panel, things_[b.thing].panel))
            continue;
        for (std::size_t s = 0; s < things_[t].studs.size(); ++s) {
            const double x = x_of(order, {t, s});
            if (things_[t].studs[s].hanging == hanging && x > std::min(from, to) + 0.1 &&
                x < std::max(from, to) - 0.1)
                return false;
        }
    }
    return true;
}

double Untangling::weigh(const Order& order) const {
    double cost = 0;
    for (std::size_t p = 0; p < order.rows.size(); ++p) {
        double x = panel_left_mm_[p];
        for (const std::size_t t : order.rows[p]) {
            left_mm_[t] = x;
            x += things_[t].width_mm + 6;
            if (things_[t].counts && things_[t].mirrored != order.turned[t])
                cost += falling;
        }
    }
    spans_.clear();
    for (std::size_t s = 0; s < strands_.size(); ++s) {
        const Strand& strand = strands_[s];
        const double from = x_of(order, s, 0);
        const double to = x_of(order, s, 1);
        Span span{std::min(from, to), std::max(from, to), true, true, strand.tag(), false};
        for (int end = 0; end < 2; ++end) {
            const Foot& foot = strand.ends[end];
            span.metal = span.metal || foot.on_metal;
            if (foot.thing == nowhere)
                continue;
            const Place& place = things_[foot.thing].studs[foot.stud];
            (place.hanging ? span.above : span.below) = false;
            const int side = order.turned[foot.thing] ? -place.forced_side : place.forced_side;
            const double ahead = (end == 0 ? to - from : from - to) * side;
            if (side != 0 && ahead < 0)
                cost += round_itself;
        }
        if (!strand.tag() && !span.metal) {
            cost += per_mm * (span.high - span.low);
            cost += straight(order, strand, from, to) ? 0 : not_straight;
        } else if (strand.tag()) {
            const double here = strand.leaving == 0 ? to : from;
            const double there = strand.leaving == 0 ? from : to;
            const double run = there > 0 ? all_.right_mm - here : here - all_.left_mm;
            cost += per_mm * std::min(run, far_edge_mm);
            if (run > far_edge_mm)
                span.low = span.high = here;
            cost += (there > 0 ? strand.right_away : strand.left_away) ? away_cost : 0;
        }
        if (span.above != span.below) // one that changes sides finds a gap
            spans_.push_back(span);
    }
    for (std::size_t i = 0; i < spans_.size(); ++i)
        for (std::size_t k = i + 1; k < spans_.size(); ++k) {
            const Span& a = spans_[i];
            const Span& b = spans_[k];
            if (a.above != b.above)
                continue;
            const bool by_turns = (a.low < b.low && b.low < a.high && a.high < b.high) ||
                                  (b.low < a.low && a.low < b.high && b.high < a.high);
            cost += a.holds_tag(b) || b.holds_tag(a) ? under_way : 0;
            if (!by_turns || (a.metal && b.metal))
                continue;
            cost += a.tag || b.tag ? crossing_tag : sheet_crossing_cost;
        }
    return cost;
}

/// One change, by chance: a thing turned, two exchanged, or one put elsewhere in its panel.
bool Untangling::change(Order& order, std::mt19937_64& random) const {
    const std::size_t t = random() % things_.size();
    std::vector<std::size_t>& row = order.rows[things_[t].panel];
    const std::uint64_t kind = random() % 4;
    if (kind == 3) {
        const std::size_t s = random() % strands_.size();
        if (!strands_[s].tag())
            return false;
        order.astray[s] = !order.astray[s];
        return true;
    }
    if (kind == 0 || row.size() < 2) {
        if (things_[t].studs.size() < 2)
            return false;
        order.turned[t] = !order.turned[t];
        return true;
    }
    const auto at = std::find(row.begin(), row.end(), t) - row.begin();
    const auto to = static_cast<std::ptrdiff_t>(random() % row.size());
    if (at == to)
        return false;
    if (kind == 1) {
        std::swap(row[static_cast<std::size_t>(at)], row[static_cast<std::size_t>(to)]);
    } else {
        row.erase(row.begin() + at);
        row.insert(row.begin() + to, t);
    }
    return true;
}

/// The studs of an in-line device stand as what they lead to does; whether this order wants them otherwise.
bool Untangling::against_its_leads(std::size_t thing, const Order& order, const Ends& ends) const {
    const auto unit = std::find_if(all_.units.begin(), all_.units.end(),
                                   [&](const PlacedUnit& each) { return each.index == things_[thing].unit; });
    const StudGlyph* left = all_.studs[unit->studs[order.turned[thing] ? 1 : 0]].glyph;
    const auto mean_key = [&](const StudGlyph& glyph) {
        double sum = 0;
        double count = 0;
        for (const LugGlyph& lug : glyph.lugs)
            if (lug.cable < all_.content->cables.size()) {
                double key = ends.of[lug.cable][static_cast<std::size_t>(1 - lug.end)].key;
                for (std::size_t s = 0; s < strands_.size(); ++s)
                    if (strands_[s].cable == lug.cable && strands_[s].leaving == 1 - lug.end)
                        key = 10 * x_of(order, s, static_cast<std::size_t>(1 - lug.end));
                sum += key;
                ++count;
            }
        return count > 0 ? sum / count : 0;
    };
    const std::vector<StudGlyph>& studs = unit->glyph->studs;
    const StudGlyph* plain = mean_key(studs[0]) > mean_key(studs[1]) ? &studs[1] : studs.data();
    return plain != left;
}

SheetShare Untangling::share_of(const Order& order) const {
    SheetShare made = all_.share;
    made.departures.turned.clear();
    for (std::size_t p = 0; p < order.rows.size(); ++p) {
        std::vector<std::size_t> units;
        std::vector<double> keys;
        for (const std::size_t t : order.rows[p]) {
            units.push_back(things_[t].unit);
            keys.push_back(made.unit_keys[things_[t].unit]);
        }
        std::sort(keys.begin(), keys.end());
        if (units.size() != made.panels[p].units.size())
            continue;
        made.panels[p].units = units;
        for (std::size_t i = 0; i < units.size(); ++i)
            made.unit_keys[units[i]] = keys[i];
    }
    auto& mirrored = made.departures.mirrored;
    const Ends ends = find_ends(*all_.content, made.unit_keys);
    for (std::size_t t = 0; t < things_.size(); ++t) {
        std::erase(mirrored, things_[t].unit);
        const bool turn =
            things_[t].upper ? against_its_leads(t, order, ends) : things_[t].mirrored != order.turned[t];
        if (turn)
            mirrored.push_back(things_[t].unit);
    }
    for (std::size_t s = 0; s < strands_.size(); ++s)
        if (const std::pair end(strands_[s].cable, strands_[s].leaving);
            order.astray[s] && std::erase(made.departures.astray, end) == 0)
            made.departures.astray.push_back(end);
    return made;
}

std::vector<SheetShare> Untangling::best() {
    if (things_.size() < 2 || strands_.empty())
        return {};
    const double before = weigh(now_);
    std::vector<std::pair<double, Order>> found;
    std::mt19937_64 random(things_.size() * 1000 + strands_.size());
    for (int start = 0; start < starts; ++start) {
        double least = before;
        Order tidiest = now_;
        Order at = now_;
        double here = before;
        for (int step = 0; step < steps; ++step) {
            // Less and less of a step backwards is taken.
            const double allowed = 150.0 * (1.0 - static_cast<double>(step) / (0.8 * steps));
            Order next = at;
            if (!change(next, random))
                continue;
            const double cost = weigh(next);
            if (cost > here + std::max(0.0, allowed * static_cast<double>(random() % 1000) / 1000.0))
                continue;
            at = std::move(next);
            here = cost;
            if (here < least - 1e-9) {
                least = here;
                tidiest = at;
            }
        }
        const bool known = std::any_of(found.begin(), found.end(),
                                       [&](const auto& other) { return other.second == tidiest; });
        if (least <= before - worth_drawing && !known)
            found.emplace_back(least, std::move(tidiest));
    }
    std::stable_sort(found.begin(), found.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    std::vector<SheetShare> shares;
    shares.reserve(found.size());
    for (const auto& [cost, order] : found)
        shares.push_back(share_of(order));
    return shares;
}
} // namespace

std::vector<SheetShare> untangled(const PlacedSheet& sheet) {
    return Untangling(sheet).best();
}

} // namespace stoutloom::layout
