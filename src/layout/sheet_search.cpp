// The coarse search: everything finer is decided by the router and the label search inside it.
#include "layout/sheet_search.h"

#include "layout/rearrange.h"
#include "layout/untangle.h"
#include "layout/volt_line.h"
#include "layout/wandering.h"
#include "layout/way_cost.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

namespace stoutloom::layout {

namespace {
/// Whether every stud stands where it does on the other, each lead on the same side of it and of the sheet.
bool stand_alike(const Arrangement& a, const Arrangement& b) {
    const auto alike = [](const PlacedStud& one, const PlacedStud& other) {
        return one.id == other.id && one.x_mm == other.x_mm &&
               std::equal(one.lugs.begin(), one.lugs.end(), other.lugs.begin(), other.lugs.end(),
                          [](const PlacedLug& mine, const PlacedLug& its) {
                              return mine.cable == its.cable && mine.side == its.side;
                          });
    };
    const auto leaves_alike = [](const Leaving& one, const Leaving& other) {
        return one.cable == other.cable && one.end == other.end && one.side == other.side;
    };
    return a.studs.size() == b.studs.size() &&
           std::equal(a.leaving.begin(), a.leaving.end(), b.leaving.begin(), b.leaving.end(), leaves_alike) &&
           std::all_of(a.studs.begin(), a.studs.end(), [&](const PlacedStud& one) {
               return std::any_of(b.studs.begin(), b.studs.end(),
                                  [&](const PlacedStud& other) { return alike(one, other); });
           });
}
/// As `untidiness` has it.
double knots(const Routing& routing) {
    double sum = 10.0 * routing.crossings;
    for (const Routed& route : routing.routes)
        sum += 2.0 * track_bends(route.track) + 0.05 * track_length_mm(route.track);
    return sum;
}
} // namespace

namespace {
/// An empty band over everything reads worse than longer ways.
double band_cost(const PlacedSheet& sheet) {
    double highest = sheet.arrangement.row_mm;
    for (const Box& box : sheet.notes.taken())
        highest = std::min(highest, box.y_mm);
    return 2.0 * std::max(0.0, highest - sheet.arrangement.sky_mm - 12);
}
} // namespace

double sheet_cost(const PlacedSheet& sheet) {
    double cost = way_cost(sheet.arrangement, sheet.routing) +
                  1e5 * static_cast<double>(sheet.notes.without_balloon()) +
                  4000 * static_cast<double>(sheet.notes.without_label()) +
                  900 * static_cast<double>(sheet.notes.short_labels());
    for (const FlagNote& flag : sheet.notes.flags)
        cost += flag.placed ? 0.5 * std::abs(flag.dot.y_mm - flag.box.y_mm) : 60;
    for (const CableNote& note : sheet.notes.cables)
        cost += (note.beside ? 60 : 0) + 1.5 * note.doubt;
    return cost + band_cost(sheet);
}

namespace {
constexpr int most_routings = 36;
constexpr int most_in_deck = 16;
constexpr int most_rearranged = 90, few_rearranged = 40;
constexpr std::size_t most_turned = 24;
constexpr int few_heights = 6;
constexpr double higher_mm = 20;
constexpr const char* hardware_meets = "hardware meets hardware";
constexpr int few_routings = 5; // with cables cut, each of which is many

class SheetSearch {
  public:
    SheetSearch(const DiagramContent& content, const TextMeasure& measure, Cutting cutting, bool low_deck,
                const Enough& enough)
        : content_(content), measure_(measure), cutting_(cutting), enough_(enough),
          left_(cutting == Cutting::when_stuck ? few_routings
                : low_deck                     ? most_in_deck
                                               : most_routings) {
        for (const RunGlyph& run : content.cables)
            labels_.push_back(label_size(run, false, measure));
    }
    void heights(const Arrangement& across, const ArrangeWish& wish);
    void untangle();
    void rearrange(int most = most_rearranged);
    void turn_for_stuck(const SheetShare& share, const SheetSize& size);
    std::optional<PlacedSheet> best;
    double least = 1e18;
    std::string in_the_way = "wider than the sheet";
    std::string stuck; // the cable that found no way last
    /// Everything told and nothing left out: no narrower gap will do better.
    bool content_with() const {
        return labelled() && (!volts_ || best->arrangement.volt_line || best->arrangement.share.control);
    }
    bool enough() const { return enough_ && best && enough_(*best); }
    bool labelled() const {
        return best &&
               best->notes.without_label() + best->notes.without_balloon() + best->notes.short_labels() == 0;
    }

  private:
    const DiagramContent& content_;
    const TextMeasure& measure_;
    Cutting cutting_;
    const Enough& enough_;
    std::vector<LabelBox> labels_;

    // Routings that may still be tried: the search ends, whatever it is given.
    int left_;
    bool volts_ = false; // the sheet shows enough of the path for the volt line
    ArrangeWish wish_;   // being tried, with its heights
    Heights heights_;
    double hopeless_ = 0; // what writing the notes of other ways adds at least, as far as one may hope

    /// The cost at these heights; nothing when something found no place.
    std::optional<double> attempt(Arrangement arrangement, const Heights& heights);
    Routing route(const Arrangement& arrangement) const;
    double weigh(Arrangement arrangement, Routing routing);
    void mend();
    std::optional<Arrangement> closer(const SheetShare& share);
    void try_order(const Arrangement& across, bool mirrored);
    bool descend(const Arrangement& across, bool volts, const std::vector<double>& uppers,
                 const std::vector<double>& returns);
};

std::optional<double> SheetSearch::attempt(Arrangement arrangement, const Heights& heights) {
    if (!arrange_down(arrangement, heights))
        return std::nullopt;
    if (!stands_free(arrangement, measure_)) {
        in_the_way = hardware_meets;
        return std::nullopt;
    }
    if (left_ == 0)
        return std::nullopt;
    --left_;
    heights_ = heights;
    Routing routing = route(arrangement);
    if (!routing.stuck.empty()) {
        stuck = routing.stuck;
        in_the_way = "no way for cable " + stuck;
        return std::nullopt;
    }
    if (const double cost = way_cost(arrangement, routing); cost >= least - hopeless_)
        return cost;
    return weigh(std::move(arrangement), std::move(routing));
}

/// Ways for the arrangement; where they cross or one is stuck, also with the tags first, unless it could not
/// be the best even without a crossing.
Routing SheetSearch::route(const Arrangement& arrangement) const {
    Routing plain = route_sheet(arrangement, labels_, measure_, cutting_, TagsFirst::no);
    const bool hopeless =
        way_cost(arrangement, plain) - sheet_crossing_cost * plain.crossings >= least - hopeless_;
    if (plain.stuck.empty() && (plain.crossings == 0 || hopeless))
        return plain;
    Routing other = route_sheet(arrangement, labels_, measure_, cutting_, TagsFirst::yes);
    const bool better = other.stuck.empty() && (!plain.stuck.empty() || other.cut < plain.cut ||
                                                (other.cut == plain.cut && other.cost < plain.cost));
    return better ? std::move(other) : std::move(plain);
}

/// Writes the notes; kept when it is the best so far.
double SheetSearch::weigh(Arrangement arrangement, Routing routing) {
    PlacedSheet sheet;
    sheet.arrangement = std::move(arrangement);
    sheet.routing = std::move(routing);
    sheet.notes = place_notes(sheet.arrangement, sheet.routing, measure_, Crowding::leave_out);
    const double cost = sheet_cost(sheet);
    if (cost < least) {
        least = cost;
        best = std::move(sheet);
        best->standing = {wish_, heights_};
    }
    return cost;
}

/// What crosses on the best so far is taken up and laid anew.
void SheetSearch::mend() {
    if (!best || (best->routing.crossings == 0 && labelled()))
        return;
    const Arrangement arrangement = best->arrangement;
    heights_ = best->standing.heights;
    wish_ = best->standing.wish;
    if (std::optional<Routing> mended = mended_routes(arrangement, labels_, measure_, cutting_))
        weigh(arrangement, std::move(*mended));
}

/// One height after the other: the rows below with the usual height above, then the heights above with the
/// best row below. Whether anything found a place.
bool SheetSearch::descend(const Arrangement& across, bool volts, const std::vector<double>& uppers,
                          const std::vector<double>& returns) {
    bool any = false;
    double lowest = 1e18;
    double chosen = returns.front();
    const auto tried = [&](double above, double below) {
        const std::optional<double> cost = attempt(across, {above, below, volts});
        any = any || cost;
        if (cost && *cost < lowest) {
            lowest = *cost;
            chosen = below;
        }
    };
    for (const double below : returns)
        if (!enough())
            tried(uppers.front(), below);
    for (std::size_t i = 1; i < uppers.size() && !enough(); ++i) {
        if (any)
            tried(uppers[i], chosen);
        else
            for (std::size_t k = 0; k < returns.size() && !any; k += 2)
                tried(uppers[i], returns[k]);
        if (!any && i >= 2)
            break;
    }
    return any;
}

/// No order that comes first gives this cable its way: lugs of its studs are turned to their other side, one,
/// then two of them, until every cable has one.
void SheetSearch::turn_for_stuck(const SheetShare& share, const SheetSize& size) {
    std::vector<SheetShare> shares;
    const auto add = [&](const SheetShare& from) {
        const auto cable = std::find_if(content_.cables.begin(), content_.cables.end(),
                                        [&](const RunGlyph& run) { return run.id == stuck; });
        if (cable == content_.cables.end())
            return;
        for (const std::size_t other : share.cables)
            for (std::size_t end = 0; end < 2; ++end) {
                const std::string& at = end == 0 ? content_.cables[other].from : content_.cables[other].to;
                if (at == cable->from || at == cable->to)
                    shares.push_back(rearranged(from, {Rearrangement::Kind::turn, other, end}));
            }
    };
    const bool tagged =
        !share.control && std::any_of(content_.cables.begin(), content_.cables.end(),
                                      [](const RunGlyph& run) { return run.flow == Flow::control; });
    if (tagged)
        shares.push_back(share); // the tags alone may be in the way
    add(share);
    const Ends ends = find_ends(content_, share.unit_keys);
    for (std::size_t i = 0; i < shares.size() && i < most_turned && !best; ++i) {
        const std::string before = std::exchange(stuck, {});
        for (const double gap : {6.0, 0.0}) {
            const ArrangeWish wish{.gap_mm = gap, .tight = true, .narrow = true, .past_tags = tagged};
            const auto across = arrange_across(content_, ends, shares[i], size, measure_, wish);
            if (!across)
                continue;
            left_ = few_heights;
            heights(*across, wish);
            break;
        }
        // Another one is stuck now: from here one more is turned.
        if (!best && !stuck.empty() && stuck != before && shares.size() < 2 * most_turned)
            add(SheetShare(shares[i]));
    }
    left_ = most_routings;
}

/// Another order along the sheet, as wide as the best or as close as it must.
std::optional<Arrangement> SheetSearch::closer(const SheetShare& share) {
    wish_ = best->standing.wish;
    return arranged_close(content_, share, best->arrangement.size, measure_, wish_);
}

/// At the heights of the best; where what stands over it would then meet the row, at others.
void SheetSearch::try_order(const Arrangement& across, bool mirrored) {
    const double before = least;
    Heights heights = best->standing.heights;
    hopeless_ = labelled() ? 0.5 * (least - way_cost(best->arrangement, best->routing)) : 0;
    in_the_way.clear();
    attempt(across, heights);
    for (const double above : {42.0, 28.0})
        if (in_the_way == hardware_meets) {
            in_the_way.clear();
            heights.upper_mm = above;
            attempt(across, heights);
        }
    // Ways side by side need more height than ways that cross.
    for (int more = 0; more < 2 && least >= before - 1 && mirrored; ++more) {
        heights.return_mm += higher_mm;
        attempt(across, heights);
    }
    hopeless_ = 0;
}

/// Tries the orders that may untie what crosses on the best so far, one change after the other, each at the
/// heights of the best; what draws tidier is kept and built upon.
void SheetSearch::rearrange(int most) {
    left_ = most;
    const double plain = least;
    std::vector<Arrangement> tried; // at the heights of the best
    for (bool better = true; better && left_ > 0 && best;) {
        better = false;
        const Ends ends = find_ends(content_, best->arrangement.share.unit_keys);
        for (const Rearrangement& how : rearrangements(content_, ends, *best)) {
            const SheetShare share = rearranged(best->arrangement.share, how);
            const double before = least;
            const auto across = closer(share);
            const auto known = [&](const Arrangement& other) { return stand_alike(*across, other); };
            if (!across || left_ == 0 || known(best->arrangement) ||
                std::any_of(tried.begin(), tried.end(), known))
                continue;
            tried.push_back(*across);
            try_order(*across, how.kind == Rearrangement::Kind::mirror);
            if (least < before - 1) {
                mend();
                better = true;
                break;
            }
        }
    }
    // In another order other heights may be the better ones.
    if (least < plain - 1) {
        const SheetShare share = best->arrangement.share;
        const ArrangeWish wish = best->standing.wish;
        left_ = most_in_deck;
        if (const auto across = arrange_across(content_, find_ends(content_, share.unit_keys), share,
                                               best->arrangement.size, measure_, wish))
            heights(*across, wish);
    }
}

/// Draws the sheet in the orders that tangle least by reckoning.
void SheetSearch::untangle() {
    const std::vector<SheetShare> shares = best ? untangled(*best) : std::vector<SheetShare>{};
    if (shares.empty()) {
        rearrange();
        return;
    }
    const ArrangeWish wish = best->standing.wish;
    const SheetSize size = best->arrangement.size;
    const PlacedSheet plain = *best;
    const double plain_cost = least;
    for (const SheetShare& share : shares)
        for (const double gap : {wish.gap_mm, 3.0, 0.0}) {
            const ArrangeWish tight{.gap_mm = gap, .tight = true, .narrow = wish.narrow || gap == 0};
            const double before = least;
            left_ = most_in_deck;
            if (const auto across = arrange_across(content_, find_ends(content_, share.unit_keys), share,
                                                   size, measure_, tight))
                heights(*across, tight);
            if (least < before)
                break;
        }
    rearrange();
    if (best->routing.crossings == 0 || knots(best->routing) < 0.75 * knots(plain.routing))
        return;
    // From the order as it was, single changes may lead further. What gains a better place for words alone is
    // not worth a tangle.
    const PlacedSheet other = std::exchange(*best, plain);
    const double other_cost = std::exchange(least, plain_cost);
    rearrange(most_rearranged / 2);
    if (other_cost < least && knots(other.routing) <= knots(best->routing)) {
        best = other;
        least = other_cost;
    }
}

void SheetSearch::heights(const Arrangement& across, const ArrangeWish& wish) {
    wish_ = wish;
    const bool hanging = std::any_of(across.studs.begin(), across.studs.end(), [](const PlacedStud& stud) {
        return stud.hanging || stud.row == Row::bed;
    });
    const bool raised =
        std::any_of(across.beds.begin(), across.beds.end(), [](const PlacedBed& bed) { return bed.raised; });
    const bool upper = std::any_of(across.units.begin(), across.units.end(),
                                   [](const PlacedUnit& unit) { return unit.upper; });
    const bool volts = volts_ = content_.volt_line && volt_line_fits(across, *content_.volt_line);
    std::vector<double> returns{8};
    if (across.beds.empty())
        returns = {8, 30, 60, 90, 120};
    if (hanging || raised)
        returns = {34, 40, 46, 52, 58, 64, 70, 84};
    if (across.beds.empty() && hanging)
        returns = {20, 28, 36, 46, 58, 78, 100};
    std::vector<double> uppers{33};
    if (upper)
        uppers = {33, 38, 46, 28, 24};
    if (across.share.deck_bottom_mm > 0) { // low: several drawings share the page
        uppers = upper ? std::vector<double>{24, 42, 33, 28, 20} : uppers;
        returns = hanging || raised     ? std::vector<double>{28, 24, 20, 34, 40, 46, 58}
                  : across.beds.empty() ? std::vector<double>{8, 20, 30}
                                        : std::vector<double>{8, 16};
    }
    if (cutting_ == Cutting::when_stuck) {
        uppers = {33, 46};
        returns = returns.size() > 1 ? std::vector<double>{40, 60} : returns;
    }
    for (const bool with_volts : {true, false}) {
        if (with_volts && !volts)
            continue;
        const double before = least;
        descend(across, with_volts, uppers, returns);
        if (least < before && !enough())
            mend();
        if ((best && labelled()) || enough())
            return;
    }
}
} // namespace

base::Outcome<PlacedSheet, NoPlace> search_sheet(const DiagramContent& content, const SheetShare& share,
                                                 const SheetSize& size, const TextMeasure& measure,
                                                 Cutting cutting, Reordering reordering,
                                                 const Enough& enough) {
    const Ends ends = find_ends(content, share.unit_keys);
    SheetSearch search(content, measure, cutting, share.deck_bottom_mm > 0, enough);
    // Roomy first; where not even the least gap fits, neighbours may share their risers.
    int tried = 0;
    for (const int pass : {0, 1, 2, 3, 4}) {
        const bool tight = pass > 0;
        for (const double gap : {14.0, 10.0, 6.0, 3.0, 0.0}) {
            const ArrangeWish wish{
                .gap_mm = gap, .tight = tight, .narrow = pass > 1, .no_edge = pass == 3, .pressed = pass > 3};
            const auto across = arrange_across(content, ends, share, size, measure, wish);
            if (!across)
                continue;
            search.heights(*across, wish);
            // Where nothing goes at two gaps, a third will not help.
            if (++tried >= (search.best ? 4 : 2) || search.content_with() || search.enough())
                break;
        }
        if (search.labelled() || (tight && search.best) || search.enough())
            break;
        tried = 0;
    }
    // Labels that found no place get room: one panel is widened, each in turn.
    for (const double room : {58.0, 30.0})
        for (std::size_t panel = 0;
             panel < share.panels.size() && !search.labelled() && search.best && !search.enough(); ++panel) {
            const ArrangeWish wish{
                .label_room_mm = room, .label_panel = panel, .tight = true, .narrow = true};
            const auto across = arrange_across(content, ends, share, size, measure, wish);
            if (across)
                search.heights(*across, wish);
        }
    constexpr std::size_t few_cables = 10;
    if (!search.best && reordering == Reordering::any && cutting == Cutting::never && !search.stuck.empty() &&
        share.cables.size() <= few_cables)
        search.turn_for_stuck(share, size);
    if (!search.best)
        return base::failure(NoPlace{search.in_the_way});
    if (reordering == Reordering::any)
        search.untangle();
    else if (reordering == Reordering::single)
        search.rearrange(few_rearranged);
    if (search.best->notes.without_balloon() > 0 && reordering == Reordering::any &&
        cutting == Cutting::never)
        search.best = untied(content, std::move(*search.best), measure);
    if (search.best->notes.without_balloon() > 0)
        return base::failure(NoPlace{"no place for a balloon"});
    PlacedSheet& best = *search.best;
    if (reordering != Reordering::none)
        best.notes = place_notes(best.arrangement, best.routing, measure, Crowding::make_room);
    return std::move(best);
}

} // namespace stoutloom::layout
