// Simulated annealing over orders, lug sides, tags and heights. A step lays all ways anew, in well under a
// millisecond; so some fifteen hundred orders are seen where the search of single changes sees ninety.
#include "layout/wandering.h"

#include "layout/rearrange.h"
#include "layout/sheet_search.h"
#include "layout/untangle.h"
#include "layout/way_cost.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <random>
#include <utility>

namespace stoutloom::layout {
namespace {

constexpr int starts = 3, most_starts = 6; // the others where nothing without a crossing was found yet
constexpr int steps = 500;                 // of a start
constexpr int stuck_steps = 8;             // what an order without ways uses up: to find that takes long
constexpr std::size_t plain_work = 1500;   // ways looked at in a step; one that takes more uses up more steps
constexpr double warmest = 90;
constexpr double not_drawn = 1e9;
constexpr double ringless_cost = 120; // a way that leaves no place for its balloon, or another's none
constexpr double cold_from = 0.85;    // of the steps: from there only what is better is taken
constexpr std::size_t most_kept = 24;
constexpr double same_cost = 1e-6;
constexpr double least_return_mm = 8, least_upper_mm = 20;

/// A sheet with its ways and nothing written.
struct WayDrawing {
    Arrangement arrangement;
    Routing routing;
    Standing standing;
    double cost = 0; // of its ways
    bool written = false;
};

class Wandering {
  public:
    Wandering(const DiagramContent& content, const PlacedSheet& sheet, const TextMeasure& measure)
        : content_(content), sheet_(sheet), measure_(measure),
          cutting_(sheet.routing.cut > 0 ? Cutting::when_stuck : Cutting::never),
          random_(sheet.arrangement.studs.size() * 1000 + sheet.arrangement.units.size()) {
        for (const RunGlyph& run : content.cables)
            labels_.push_back(label_size(run, false, measure));
    }
    void walk();
    std::optional<PlacedSheet> tidiest(double& least);

  private:
    struct State {
        SheetShare share;
        Heights heights;
        double cost = 0;
    };
    const DiagramContent& content_;
    const PlacedSheet& sheet_;
    std::vector<LabelBox> labels_;
    const TextMeasure& measure_;
    Cutting cutting_;
    std::mt19937_64 random_;
    std::vector<WayDrawing> kept_; // cheapest first
    int used_ = 0;                 // steps of this start
    std::size_t walks_ = 0;
    std::vector<SheetShare> others_; // to begin from

    std::size_t any_of(std::size_t count) { return static_cast<std::size_t>(random_() % count); }
    bool change(State& state);
    bool change_units(State& state, std::uint64_t kind);
    void change_heights(Heights& heights);
    /// Places the state and lays its ways; false when there is no place or no way. What costs more than
    /// `worth_asking` before its balloons are asked for is not kept anyway.
    bool draw(State& state, double worth_asking);
    void keep(WayDrawing drawing);
};

void Wandering::change_heights(Heights& heights) {
    constexpr double by_mm[] = {-14, -6, 6, 14};
    const double more = by_mm[any_of(4)];
    if (any_of(2) == 0)
        heights.return_mm = std::max(least_return_mm, heights.return_mm + more);
    else
        heights.upper_mm = std::max(least_upper_mm, heights.upper_mm + more / 2);
}

/// A unit mirrored, two exchanged, or one put elsewhere in its zone.
bool Wandering::change_units(State& state, std::uint64_t kind) {
    const std::size_t at = any_of(state.share.panels.size());
    const auto units = [&]() -> const std::vector<std::size_t>& { return state.share.panels[at].units; };
    const auto exchange = [&](std::size_t a, std::size_t b) {
        state.share = rearranged(
            state.share, {Rearrangement::Kind::exchange, units()[std::min(a, b)], units()[std::max(a, b)]});
    };
    if (units().empty())
        return false;
    std::size_t from = any_of(units().size());
    const std::size_t to = any_of(units().size());
    if (kind == 0) {
        if (content_.units[units()[from]].studs.size() < 2)
            return false;
        state.share = rearranged(state.share, {Rearrangement::Kind::mirror, units()[from], 0});
        return true;
    }
    if (from == to)
        return false;
    if (kind == 1) {
        exchange(from, to);
        return true;
    }
    while (from != to) {
        const std::size_t next = from < to ? from + 1 : from - 1;
        exchange(from, next);
        from = next;
    }
    return true;
}

bool Wandering::change(State& state) {
    const std::uint64_t kind = random_() % 6;
    if (kind < 3)
        return change_units(state, kind);
    if (kind == 3) {
        const std::size_t cable = state.share.cables[any_of(state.share.cables.size())];
        state.share = rearranged(state.share, {Rearrangement::Kind::turn, cable, any_of(3)});
        return true;
    }
    if (kind == 4) {
        const std::vector<Leaving>& leaving = sheet_.arrangement.leaving;
        if (leaving.empty())
            return false;
        const Leaving& one = leaving[any_of(leaving.size())];
        state.share = rearranged(state.share,
                                 {Rearrangement::Kind::leave, one.cable, static_cast<std::size_t>(one.end)});
        return true;
    }
    change_heights(state.heights);
    return true;
}

void Wandering::keep(WayDrawing drawing) {
    const auto place =
        std::lower_bound(kept_.begin(), kept_.end(), drawing.cost - same_cost,
                         [](const WayDrawing& other, double cost) { return other.cost < cost; });
    if (place != kept_.end() && place->cost < drawing.cost + same_cost)
        return; // the same once more, or as good as that
    kept_.insert(place, std::move(drawing));
    if (kept_.size() > most_kept)
        kept_.pop_back();
}

bool Wandering::draw(State& state, double worth_asking) {
    WayDrawing drawing;
    drawing.standing = {sheet_.standing.wish, state.heights};
    auto across =
        arranged_close(content_, state.share, sheet_.arrangement.size, measure_, drawing.standing.wish);
    const TagsFirst tags_first = any_of(2) == 0 ? TagsFirst::no : TagsFirst::yes;
    if (!across || !arrange_down(*across, state.heights) || !stands_free(*across, measure_))
        return false;
    drawing.arrangement = std::move(*across);
    drawing.routing = route_sheet(drawing.arrangement, labels_, measure_, cutting_, tags_first);
    used_ += static_cast<int>(drawing.routing.weighed / plain_work);
    if (!drawing.routing.stuck.empty()) {
        used_ += stuck_steps - 1;
        return false;
    }
    drawing.cost = way_cost(drawing.arrangement, drawing.routing);
    if (drawing.cost < worth_asking)
        drawing.cost += ringless_cost * static_cast<double>(without_ring_room(drawing.arrangement,
                                                                              drawing.routing, measure_));
    state.cost = drawing.cost;
    if (kept_.size() < most_kept || drawing.cost < kept_.back().cost)
        keep(std::move(drawing));
    return true;
}

void Wandering::walk() {
    const State first{sheet_.arrangement.share, sheet_.standing.heights,
                      way_cost(sheet_.arrangement, sheet_.routing)};
    if (walks_ == 0)
        others_ = untangled(sheet_); // may have had no place at its heights
    State at = first;
    if (walks_ > 0 && walks_ <= others_.size()) {
        at.share = others_[walks_ - 1];
        at.cost = not_drawn;
        draw(at, not_drawn);
    }
    ++walks_;
    for (used_ = 0; used_ < steps; ++used_) {
        const double warmth = warmest * (1 - used_ / (cold_from * steps));
        State next = at;
        bool changed = change(next);
        if (any_of(2) == 0)
            changed = change(next) || changed;
        const double allowed = at.cost + std::max(0.0, warmth * static_cast<double>(any_of(1000)) / 1000.0);
        if (changed && draw(next, allowed) && next.cost <= allowed)
            at = std::move(next);
    }
}

/// Writes the notes of what may be better than what cost so much; the tidiest, if any is.
std::optional<PlacedSheet> Wandering::tidiest(double& least) {
    std::optional<PlacedSheet> best;
    for (WayDrawing& drawing : kept_) {
        if (drawing.cost >= least)
            break; // the notes only add to it
        if (drawing.written)
            continue;
        drawing.written = true;
        PlacedSheet other;
        other.arrangement = drawing.arrangement;
        other.routing = drawing.routing;
        other.standing = drawing.standing;
        other.under = sheet_.under;
        other.notes = place_notes(other.arrangement, other.routing, measure_, Crowding::leave_out);
        if (const double cost = sheet_cost(other); cost < least) {
            least = cost;
            best = std::move(other);
        }
    }
    return best;
}

} // namespace

std::optional<Arrangement> arranged_close(const DiagramContent& content, const SheetShare& share,
                                          const SheetSize& size, const TextMeasure& measure,
                                          ArrangeWish& wish) {
    const Ends ends = find_ends(content, share.unit_keys);
    const ArrangeWish wished = wish;
    for (const double gap : {wished.gap_mm, 3.0, 0.0}) {
        wish = wished;
        wish.pressed = false;
        if (gap < wished.gap_mm) {
            wish.gap_mm = gap;
            wish.tight = true;
            wish.narrow = wished.narrow || gap == 0;
        }
        if (auto across = arrange_across(content, ends, share, size, measure, wish))
            return across;
    }
    return std::nullopt;
}

PlacedSheet untied(const DiagramContent& content, PlacedSheet sheet, const TextMeasure& measure) {
    const auto tidy = [](const PlacedSheet& one) {
        return one.routing.crossings == 0 && one.notes.without_balloon() == 0;
    };
    if (tidy(sheet) || !sheet.list.rows.empty())
        return sheet;
    Wandering wandering(content, sheet, measure);
    std::optional<PlacedSheet> best;
    double least = sheet_cost(sheet);
    for (int start = 0; start < most_starts; ++start) {
        wandering.walk();
        if (start + 1 < starts)
            continue;
        if (auto better = wandering.tidiest(least))
            best = std::move(better);
        if (best && tidy(*best))
            break;
    }
    if (!best)
        return sheet;
    best->notes = place_notes(best->arrangement, best->routing, measure, Crowding::make_room);
    return std::move(*best);
}

} // namespace stoutloom::layout
