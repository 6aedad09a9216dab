// Where a balloon and its label may stand: candidate places by what each costs, the cheapest free one first.
#include "layout/note_search.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout {

bool NoteSearch::free(const Box& box, double to_cable, std::size_t own_cable) const {
    if (solid_.any(box,
                   [&](std::size_t i) { return overlaps(box, routing_.obstacles[i].box, solid_clear_mm); }))
        return false;
    if (cabled_.any(box, [&](std::size_t i) {
            return pieces_[i].cable != own_cable && overlaps(box, ways_[i], to_cable);
        }))
        return false;
    if (turning_.any(box, [&](std::size_t i) {
            return turns_[i].route->cable != own_cable && turns_[i].meets(box, to_cable);
        }))
        return false;
    for (const Box& tag : tags_)
        if (overlaps(box, tag, 1.2))
            return false;
    const auto words = [](const Box& each) { return each.width_mm > 2.5 * balloon_radius_mm; };
    return std::none_of(taken_.begin(), taken_.end(), [&](const Box& other) {
        const double aside = words(box) && words(other) ? between_labels_mm_ - 1.2 : 0;
        return overlaps(box, {other.x_mm - aside, other.y_mm, other.width_mm + 2 * aside, other.height_mm},
                        1.2);
    });
}

namespace {
void cheapest_first(std::vector<Spot>& spots) {
    std::stable_sort(spots.begin(), spots.end(),
                     [](const Spot& a, const Spot& b) { return a.cost < b.cost; });
}
} // namespace

double gap_between(const Box& a, const Box& b) {
    const double across = std::max({0.0, a.x_mm - b.right_mm(), b.x_mm - a.right_mm()});
    const double down = std::max({0.0, a.y_mm - b.bottom_mm(), b.y_mm - a.bottom_mm()});
    return std::sqrt(across * across + down * down);
}

/// Places for the balloon on the cable, clear of bends, lugs and crossings.
std::vector<Spot> NoteSearch::spots(const Routed& route, bool close) const {
    std::vector<Spot> made;
    const double whole = track_length_mm(route.track);
    double before = 0;
    for (const Piece& piece : pieces_of(route)) {
        const double length = std::abs(piece.a.x_mm - piece.b.x_mm) + std::abs(piece.a.y_mm - piece.b.y_mm);
        const double from = (close ? 1.0 : piece.keep_a_mm) + balloon_radius_mm + 0.8;
        const double to = length - (close ? 1.0 : piece.keep_b_mm) - balloon_radius_mm - 0.8;
        for (double at = from; at <= to + 1e-6; at += std::max(1.0, (to - from) / 24)) {
            const double share = length > 0 ? at / length : 0;
            const Point spot{snapped(piece.a.x_mm + (piece.b.x_mm - piece.a.x_mm) * share),
                             piece.level() ? piece.a.y_mm
                                           : snapped(piece.a.y_mm + (piece.b.y_mm - piece.a.y_mm) * share)};
            const Box box = grown({spot.x_mm, spot.y_mm, 0, 0}, balloon_radius_mm + 0.25);
            if (free(box, 1.8, route.cable))
                made.push_back(
                    {spot, spot, piece.level(), false,
                     0.08 * std::abs(before + at - whole / 2) + (piece.level() ? 0 : 3) + (close ? 6 : 0)});
        }
        before += length;
    }
    cheapest_first(made);
    return made;
}

/// A balloon that finds no room on its cable stands beside it on a leader.
std::vector<Spot> NoteSearch::spots_beside(const Routed& route) const {
    std::vector<Spot> made;
    const std::vector<Piece> pieces = pieces_of(route);
    for (const Piece& piece : pieces) {
        const double length = std::abs(piece.a.x_mm - piece.b.x_mm) + std::abs(piece.a.y_mm - piece.b.y_mm);
        // The corners are cut by bends: a leader to one would end on nothing.
        const double from = &piece == &pieces.front() ? 1.5 : std::max(1.5, 0.8 * route.radius_mm);
        const double to = length - (&piece == &pieces.back() ? 1 : std::max(1.0, 0.8 * route.radius_mm));
        for (double at = from; at < to; at += 2.5) {
            const double share = at / length;
            const Point foot{snapped(piece.a.x_mm + (piece.b.x_mm - piece.a.x_mm) * share),
                             snapped(piece.a.y_mm + (piece.b.y_mm - piece.a.y_mm) * share)};
            for (double off = 7; off < 24; off += 1.5)
                for (const double side : {-1.0, 1.0}) {
                    Point spot = foot;
                    (piece.level() ? spot.y_mm : spot.x_mm) += side * off;
                    Point edge = foot;
                    (piece.level() ? edge.y_mm : edge.x_mm) += side * (route.half_mm + 0.3);
                    if (free(grown({spot.x_mm, spot.y_mm, 0, 0}, balloon_radius_mm + 0.3), 1.8, nowhere) &&
                        free(grown(box_around(edge, spot), 0.3), 1.0, route.cable))
                        made.push_back({spot, edge, piece.level(), true, 12 + 0.5 * off});
                }
        }
    }
    cheapest_first(made);
    return made;
}

const Panel* NoteSearch::panel_at(double x_mm) const {
    for (const Panel& panel : all_.share.panels)
        if (x_mm >= panel.left_mm && x_mm <= panel.right_mm)
            return &panel;
    return nullptr;
}

/// What it costs that a label can be taken for another cable's: another runs between it and its balloon, or
/// lies nearer to it, its words go on in others, or it stands in a zone where its cable never comes.
double NoteSearch::astray(const Box& label, const Spot& spot, const Routed& route) const {
    const Point near{std::clamp(spot.at.x_mm, label.x_mm, label.right_mm()),
                     std::clamp(spot.at.y_mm, label.y_mm, label.bottom_mm())};
    const Box between = box_around(near, spot.at);
    const Panel* zone = panel_at(label.x_mm + label.width_mm / 2);
    double own = 1e9;
    double other = 1e9;
    bool parted = false;
    bool comes_here = zone == nullptr;
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
        const bool mine = pieces_[i].cable == route.cable;
        double& nearest = mine ? own : other;
        nearest = std::min(nearest, gap_between(label, ways_[i]));
        parted = parted || (!mine && overlaps(between, ways_[i]));
        comes_here =
            comes_here || (mine && ways_[i].x_mm < zone->right_mm && ways_[i].right_mm() > zone->left_mm);
    }
    const bool behind =
        solid_.any(between, [&](std::size_t i) { return overlaps(between, routing_.obstacles[i].box); });
    const Box line{label.x_mm - 4, label.y_mm - 2.5, label.width_mm + 8, label.height_mm + 5};
    const bool runs_on = std::any_of(taken_.begin(), taken_.end(), [&](const Box& each) {
        return each.width_mm > 2.5 * balloon_radius_mm && overlaps(line, each);
    });
    // The words of a device or stud in the same line read as one sentence with the label's.
    const Box beside{label.x_mm - 4, label.y_mm + 0.5, label.width_mm + 8, label.height_mm - 1};
    const Box stacked{label.x_mm + 1, label.y_mm - 2, label.width_mm - 2, label.height_mm + 4};
    double words = 0;
    for (const std::size_t i : lettered_) {
        const Obstacle& obstacle = routing_.obstacles[i];
        const bool of_own =
            obstacle.stud != nowhere && (obstacle.stud == route.studs[0] || obstacle.stud == route.studs[1]);
        if (!of_own)
            words = std::max(words, overlaps(beside, obstacle.box)    ? 11.0
                                    : overlaps(stacked, obstacle.box) ? 4.0
                                                                      : 0.0);
    }
    for (const Box& tag : tags_)
        words = std::max(words, overlaps(beside, tag) ? 4.0 : 0.0);
    return (parted ? 30 : 0) + (behind ? 12 : 0) +
           (other + 0.3 < own   ? 10
            : other < own + 2.5 ? 4
                                : 0) +
           (runs_on ? 8 : 0) + (comes_here ? 0 : 40) + words;
}

/// What it costs that a label stands lower than all that is drawn: the findings want the room.
double NoteSearch::lowering(const Box& label) const {
    constexpr double a_millimetre = 1;
    return a_millimetre * std::max(0.0, label.bottom_mm() - lowest_mm_);
}

std::optional<CableNote> NoteSearch::best(const Routed& route, bool short_label, bool label,
                                          const std::vector<Spot>& from) const {
    const RunGlyph& run = all_.content->cables[route.cable];
    const LabelBox size = label_size(run, short_label, measure_);
    const LabelBox numbered = label_size(run, short_label, measure_, true);
    std::optional<CableNote> chosen;
    double least = 1e9;
    const auto fits = [&](const Box& box, const Spot& spot) {
        const Box ring = grown({spot.at.x_mm, spot.at.y_mm, 0, 0}, balloon_radius_mm + 0.3);
        return !no_label_.surely_taken(box) && !overlaps(box, ring, 1.2) &&
               free(box, label_clear_mm, nowhere) &&
               !(spot.beside && overlaps(box, box_around(spot.at, spot.foot), 1.0));
    };
    const auto consider = [&](const Spot& spot, Point corner, double cost) {
        if (spot.cost + cost >= least)
            return;
        Box box{snapped(corner.x_mm), snapped(corner.y_mm), size.width_mm, size.height_mm};
        if (!fits(box, spot))
            return;
        cost += lowering(box);
        double doubt = astray(box, spot, route);
        // Where it may be taken for another's the label says whose it is, if there is room for that.
        bool says = false;
        if (const Box wide{box.x_mm, box.y_mm, numbered.width_mm, box.height_mm};
            doubt >= numbered_from && fits(wide, spot)) {
            box = wide;
            says = true;
            doubt = 0.5 * doubt;
        }
        if (spot.cost + cost + doubt >= least)
            return;
        least = spot.cost + cost + doubt;
        chosen = CableNote{route.cable, true, true,  short_label, spot.at, spot.foot,
                           spot.beside, box,  false, says,        doubt,   least};
    };
    // Cheapest first: once a place is found, what costs more need not be looked at.
    for (const Spot& spot : from) {
        if (spot.cost >= least)
            break;
        if (!label)
            return CableNote{route.cable, true, false, false, spot.at, spot.foot,
                             spot.beside, {},   false, false, 0,       spot.cost};
        const double x = spot.at.x_mm;
        const double y = spot.at.y_mm;
        const double w = size.width_mm;
        const double h = size.height_mm;
        // In a narrow zone the label stands where the zone has room for it, not at a set distance.
        const Panel* zone = panel_at(x);
        double kept_in = 1e9;
        if (zone != nullptr && zone->right_mm - zone->left_mm < w + 40)
            kept_in = std::clamp(x + 8, zone->left_mm + 1.5,
                                 std::max(zone->left_mm + 1.5, zone->right_mm - 1.5 - w)) -
                      x;
        const double close = route.half_mm + label_clear_mm + 0.5; // beside the balloon, right at the cable
        for (const double up : {5.0, close, 6.5, 8.5, 11.0, 14.0, 18.0})
            for (const double dx : {8.0, 5.5, 2.0, -4.0, -12.0, -24.0, -w + 8, -w - 2, -w - 6, kept_in}) {
                if (std::abs(dx) > 1e3)
                    continue;
                const double sideways = dx == 8.0 ? 0 : 1.5 + 0.12 * std::abs(dx - 8);
                const double off = up < 5 ? 1.5 : 0.5 * (up - 5);
                consider(spot, {x + dx, y - up - h}, sideways + off);
                consider(spot, {x + dx, y + up}, 4 + sideways + off);
            }
        for (const double out : {6.0, 8.0, 11.0, 14.0})
            for (const double dy : {-h / 2, -h + 3, -3.0, -h - 2, 2.0}) {
                const double off = (spot.level ? 5 : 1) + 0.5 * (out - 6) + (dy == -h / 2 ? 0 : 1);
                consider(spot, {x + out, y + dy}, off);
                consider(spot, {x - out - w, y + dy}, off + 2);
            }
    }
    return chosen;
}

/// A label that says whose it is may stand farther off than beside its balloon, but in sight of its cable.
std::optional<CableNote> NoteSearch::best_afar(const Routed& route, const std::vector<Spot>& on) const {
    constexpr double farthest_mm = 36;
    constexpr double step_mm = 2;
    const RunGlyph& run = all_.content->cables[route.cable];
    const LabelBox size = label_size(run, false, measure_, true);
    std::optional<CableNote> chosen;
    double least = 1e9;
    std::size_t looked = 0;
    for (const Spot& spot : on) {
        if (++looked > 8 || spot.cost >= least)
            break;
        const Box ring = grown({spot.at.x_mm, spot.at.y_mm, 0, 0}, balloon_radius_mm + 0.3);
        for (double y = spot.at.y_mm - farthest_mm; y < spot.at.y_mm + farthest_mm - size.height_mm;
             y += step_mm)
            for (double x = spot.at.x_mm - farthest_mm - size.width_mm / 2; x < spot.at.x_mm + farthest_mm;
                 x += step_mm) {
                const Box box{snapped(x), snapped(y), size.width_mm, size.height_mm};
                if (no_label_.surely_taken(box))
                    continue;
                const double off = gap_between(box, ring);
                const double cost = spot.cost + 8 + 0.5 * off + lowering(box);
                if (cost >= least || overlaps(box, ring, 1.2) || !free(box, label_clear_mm, nowhere))
                    continue;
                const double doubt = 0.5 * astray(box, spot, route);
                if (cost + doubt >= least || doubt > 30)
                    continue;
                least = cost + doubt;
                chosen = CableNote{route.cable, true, true,  false, spot.at,    spot.foot,
                                   spot.beside, box,  false, true,  10 + doubt, least};
            }
    }
    return chosen;
}

} // namespace stoutloom::layout
