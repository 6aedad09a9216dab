// The search for free places: the cheapest free one for those with the fewest choices first, losers first
// next round.
#include "layout/note_search.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace stoutloom::layout {
namespace {
constexpr double in_sight_mm = 9; // of a label and its balloon
constexpr double beside_mm = 3;
constexpr double stacked_mm = 3; // of two labels: one reads as if it went on in the other
} // namespace

std::vector<Box> Notes::taken() const {
    std::vector<Box> boxes;
    for (const CableNote& note : cables) {
        if (note.has_balloon)
            boxes.push_back(grown({note.balloon.x_mm, note.balloon.y_mm, 0, 0}, balloon_radius_mm + 0.3));
        if (note.has_label)
            boxes.push_back(note.label);
        if (note.has_balloon && note.beside)
            boxes.push_back(grown(box_around(note.balloon, note.foot), 0.3));
    }
    for (const IncidentalNote& note : incidentals) {
        boxes.push_back(grown(box_around(note.top, note.foot), 0.4));
        boxes.push_back(note.words);
    }
    for (const FlagNote& note : flags)
        if (note.placed) {
            boxes.push_back(note.box);
            boxes.push_back(grown(box_around(note.foot, {note.foot.x_mm, note.box.y_mm}), 0.6));
            if (note.foot.x_mm != note.dot.x_mm)
                boxes.push_back(grown(box_around(note.foot, note.dot), 0.6));
        }
    return boxes;
}
std::size_t Notes::without_label() const {
    return static_cast<std::size_t>(std::count_if(
        cables.begin(), cables.end(), [](const CableNote& n) { return !n.has_label && !n.again; }));
}
std::size_t Notes::without_balloon() const {
    return static_cast<std::size_t>(
        std::count_if(cables.begin(), cables.end(), [](const CableNote& n) { return !n.has_balloon; }));
}
std::size_t Notes::short_labels() const {
    return static_cast<std::size_t>(std::count_if(
        cables.begin(), cables.end(), [](const CableNote& n) { return n.has_label && n.short_label; }));
}

/// The second stub of a cut cable carries its number alone.
CableNote NoteSearch::ring_for(const Routed& route) const {
    std::vector<Spot> all = spots(route, false);
    if (all.empty())
        all = spots(route, true);
    if (all.empty())
        all = spots_beside(route);
    CableNote note;
    if (const auto ring = best(route, false, false, all))
        note = *ring;
    note.cable = route.cable;
    note.again = true;
    return note;
}

CableNote NoteSearch::note_for(const Routed& route, int round) const {
    const std::vector<Spot> on = spots(route, false);
    std::vector<Spot> all = on;
    if (on.empty())
        all = spots(route, true);
    if (all.empty())
        all = spots_beside(route);
    if (const auto whole = best(route, false, true, all))
        return *whole;
    if (round > 0) {
        const std::vector<Spot> more = spots_beside(route);
        if (!on.empty())
            if (const auto afar = best_afar(route, on))
                return *afar;
        if (const auto whole = best(route, false, true, more))
            return *whole;
        if (const auto afar = best_afar(route, more))
            return *afar;
        if (round > 1)
            if (const auto less = best(route, true, true, all))
                return *less;
        if (const auto less = best(route, true, true, more))
            return *less;
    }
    if (const auto ring = best(route, false, false, all))
        return *ring;
    CableNote none;
    none.cable = route.cable;
    return none;
}

/// A label that stands off its balloon, to which another cable's balloon stands nearer, or that is stacked
/// with another says whose it is: that shows only when all stand.
void NoteSearch::number_doubtful(Notes& kept) {
    const auto ring = [](const CableNote& note) {
        return grown({note.balloon.x_mm, note.balloon.y_mm, 0, 0}, balloon_radius_mm);
    };
    for (CableNote& note : kept.cables) {
        if (!note.has_label || note.numbered || note.again || !note.has_balloon)
            continue;
        const double own = gap_between(note.label, ring(note));
        const bool doubtful =
            own > in_sight_mm ||
            std::any_of(kept.cables.begin(), kept.cables.end(), [&](const CableNote& other) {
                return other.cable != note.cable && other.has_balloon &&
                       (gap_between(note.label, ring(other)) < own ||
                        (other.has_label && own > beside_mm &&
                         gap_between(note.label, other.label) < stacked_mm));
            });
        if (!doubtful)
            continue;
        const LabelBox size = label_size(all_.content->cables[note.cable], note.short_label, measure_, true);
        const double wider = size.width_mm - note.label.width_mm;
        const Box before = note.label;
        note.label = {}; // not in its own way
        note.has_label = false;
        taken_ = kept.taken();
        note.has_label = true;
        note.label = before;
        for (const double shift : {0.0, -wider, -wider / 2}) {
            const Box wide{snapped(before.x_mm + shift), before.y_mm, size.width_mm, before.height_mm};
            if (no_label_.surely_taken(wide) || !free(wide, label_clear_mm, nowhere))
                continue;
            note.label = wide;
            note.numbered = true;
            break;
        }
    }
}

Notes NoteSearch::search(Crowding crowding) {
    if (crowding == Crowding::make_room)
        between_labels_mm_ = 3.5;
    std::vector<const Routed*> order;
    for (const Routed& route : routing_.routes)
        order.push_back(&route);
    std::stable_sort(order.begin(), order.end(), [](const Routed* a, const Routed* b) {
        return track_length_mm(a->track) < track_length_mm(b->track);
    });
    Notes kept;
    std::size_t least = nowhere;
    for (int round = 0; round < 4 && least > 0; ++round) {
        Notes tried;
        taken_.clear();
        std::vector<const Routed*> losers;
        std::vector<const Routed*> winners;
        for (const Routed* route : order) {
            const bool again = std::any_of(tried.cables.begin(), tried.cables.end(),
                                           [&](const CableNote& n) { return n.cable == route->cable; });
            tried.cables.push_back(again ? ring_for(*route) : note_for(*route, round));
            const CableNote& note = tried.cables.back();
            taken_ = tried.taken();
            ((note.has_label || note.again) && note.has_balloon ? winners : losers).push_back(route);
        }
        const std::size_t bad =
            100 * tried.without_balloon() + 10 * tried.without_label() + tried.short_labels();
        if (bad < least) {
            least = bad;
            kept = std::move(tried);
        }
        order = losers;
        order.insert(order.end(), winners.begin(), winners.end());
    }
    if (crowding == Crowding::make_room)
        polish(kept);
    number_doubtful(kept);
    taken_ = kept.taken();
    place_incidentals(kept);
    bool moved = false;
    for (std::size_t f = 0; f < all_.content->flags.size(); ++f) {
        kept.flags.push_back(flag_for(f));
        taken_ = kept.taken();
        if (crowding == Crowding::make_room && !kept.flags.back().placed) {
            moved = make_room(kept, f, false) || moved;
            if (!kept.flags.back().placed)
                kept.flags.back() = flag_over(f, kept);
            if (!kept.flags.back().placed)
                kept.flags.back() = flag_afar(f);
            if (!kept.flags.back().placed)
                moved = make_room(kept, f, true) || moved;
            if (!kept.flags.back().placed && kept.flags.back().here)
                kept.flags.back() = flag_nearby(f, kept);
            taken_ = kept.taken();
        }
    }
    if (moved)
        number_doubtful(kept);
    return kept;
}

std::size_t NoteSearch::ringless() const {
    return static_cast<std::size_t>(
        std::count_if(routing_.routes.begin(), routing_.routes.end(), [&](const Routed& route) {
            return spots(route, true).empty() && spots_beside(route).empty();
        }));
}

std::size_t without_ring_room(const Arrangement& arrangement, const Routing& routing,
                              const TextMeasure& measure) {
    return NoteSearch(arrangement, routing, measure).ringless();
}

Notes place_notes(const Arrangement& arrangement, const Routing& routing, const TextMeasure& measure,
                  Crowding crowding) {
    return NoteSearch(arrangement, routing, measure).search(crowding);
}

} // namespace stoutloom::layout
