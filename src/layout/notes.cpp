// The search for free places: the cheapest free one for those with the fewest choices first, losers first
// next round.
#include "layout/notes.h"

#include "layout/crowd.h"
#include "layout/devices.h"
#include "layout/hardware.h"
#include "layout/pen.h"
#include "layout/stencil.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace stoutloom::layout {

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
            boxes.push_back(grown(box_around(note.dot, {note.dot.x_mm, note.box.y_mm}), 0.6));
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

namespace {

struct Spot {
    Point at, foot;
    bool level = true, beside = false;
    double cost = 0;
};

class Search {
  public:
    Search(const Arrangement& all, const Routing& routing, const TextMeasure& measure)
        : all_(all), routing_(routing), measure_(measure) {
        for (std::size_t i = 0; i < routing.obstacles.size(); ++i)
            solid_.add(routing.obstacles[i].box, solid_clear_mm, i);
        for (const Obstacle& obstacle : routing.obstacles)
            no_label_.take(grown(obstacle.box, solid_clear_mm));
        for (const Routed& route : routing.routes) {
            for (const Piece& piece : pieces_of(route)) {
                ways_.push_back(grown(box_around(piece.a, piece.b), piece.half_mm));
                cabled_.add(ways_.back(), widest_clear_mm, pieces_.size());
                no_label_.take(grown(ways_.back(), label_clear_mm));
                pieces_.push_back(piece);
            }
            for (std::size_t i = 1; i + 1 < route.track.size(); ++i) {
                turning_.add(grown({route.track[i].x_mm, route.track[i].y_mm, 0, 0}, route.radius_mm),
                             route.half_mm + widest_clear_mm, turns_.size());
                turns_.push_back({&route, i});
            }
            if (route.tag_end >= 0)
                tags_.push_back(tag_box(route.tag_end == 0 ? route.track.front() : route.track.back(),
                                        -route.tag_side, route.tag_mm));
        }
        for (const Box& tag : tags_)
            no_label_.take(grown(tag, 1.2));
        no_label_.close();
    }
    Notes search();

  private:
    static constexpr double solid_clear_mm = 1.1;
    static constexpr double label_clear_mm = 1.5;
    const Arrangement& all_;
    const Routing& routing_;
    const TextMeasure& measure_;
    static constexpr double widest_clear_mm = 1.8;
    struct Turn {
        const Routed* route;
        std::size_t corner;
        bool meets(const Box& box, double clear_mm) const {
            return meets_bend(box, route->track[corner - 1], route->track[corner], route->track[corner + 1],
                              route->radius_mm, route->half_mm + clear_mm);
        }
    };
    std::vector<Piece> pieces_;
    std::vector<Box> ways_; // of the pieces
    std::vector<Turn> turns_;
    Crowd solid_, cabled_, turning_;
    Stencil no_label_; // a sieve before the exact question
    std::vector<Box> tags_;
    std::vector<Box> taken_;
    std::vector<IncidentalNote> incidentals_; // placed by now

    void place_incidentals(Notes& kept);
    std::vector<Spot> spots(const Routed& route, bool close) const;
    std::vector<Spot> spots_beside(const Routed& route) const;
    bool free(const Box& box, double to_cable, std::size_t own_cable) const;
    static constexpr double numbered_from = 10; // of what `astray` counts
    double astray(const Box& label, const Spot& spot, const Routed& route) const;
    std::optional<CableNote> best(const Routed& route, bool short_label, bool label,
                                  const std::vector<Spot>& from) const;
    CableNote note_for(const Routed& route, int round) const;
    CableNote ring_for(const Routed& route) const;
    FlagNote flag_for(std::size_t index);
    std::vector<Point> dots(const FlagGlyph& flag, std::size_t& own_cable, std::size_t& own_stud,
                            Box& own_box) const;
};

bool Search::free(const Box& box, double to_cable, std::size_t own_cable) const {
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
    return std::none_of(taken_.begin(), taken_.end(),
                        [&](const Box& other) { return overlaps(box, other, 1.2); });
}

void cheapest_first(std::vector<Spot>& spots) {
    std::stable_sort(spots.begin(), spots.end(),
                     [](const Spot& a, const Spot& b) { return a.cost < b.cost; });
}

/// Places for the balloon on the cable, clear of bends, lugs and crossings.
std::vector<Spot> Search::spots(const Routed& route, bool close) const {
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
std::vector<Spot> Search::spots_beside(const Routed& route) const {
    std::vector<Spot> made;
    for (const Piece& piece : pieces_of(route)) {
        const double length = std::abs(piece.a.x_mm - piece.b.x_mm) + std::abs(piece.a.y_mm - piece.b.y_mm);
        for (double at = 1.5; at < length - 1; at += 1.5) {
            const double share = at / length;
            const Point foot{snapped(piece.a.x_mm + (piece.b.x_mm - piece.a.x_mm) * share),
                             snapped(piece.a.y_mm + (piece.b.y_mm - piece.a.y_mm) * share)};
            for (double off = 7; off < 24; off += 1)
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

double gap_between(const Box& a, const Box& b) {
    return std::hypot(std::max({0.0, a.x_mm - b.right_mm(), b.x_mm - a.right_mm()}),
                      std::max({0.0, a.y_mm - b.bottom_mm(), b.y_mm - a.bottom_mm()}));
}

/// What it costs that a label can be taken for another cable's: another runs between it and its balloon, or
/// lies nearer to it, or its words go on in those of another label.
double Search::astray(const Box& label, const Spot& spot, const Routed& route) const {
    const Point near{std::clamp(spot.at.x_mm, label.x_mm, label.right_mm()),
                     std::clamp(spot.at.y_mm, label.y_mm, label.bottom_mm())};
    const Box between = box_around(near, spot.at);
    double own = 1e9;
    double other = 1e9;
    bool parted = false;
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
        double& nearest = pieces_[i].cable == route.cable ? own : other;
        nearest = std::min(nearest, gap_between(label, ways_[i]));
        parted = parted || (pieces_[i].cable != route.cable && overlaps(between, ways_[i]));
    }
    const bool behind =
        solid_.any(between, [&](std::size_t i) { return overlaps(between, routing_.obstacles[i].box); });
    const Box line{label.x_mm - 4, label.y_mm - 2.5, label.width_mm + 8, label.height_mm + 5};
    const bool runs_on = std::any_of(taken_.begin(), taken_.end(), [&](const Box& each) {
        return each.width_mm > 2.5 * balloon_radius_mm && overlaps(line, each);
    });
    return (parted ? 30 : 0) + (behind ? 12 : 0) + (other + 0.3 < own ? 10 : 0) + (runs_on ? 5 : 0);
}

std::optional<CableNote> Search::best(const Routed& route, bool short_label, bool label,
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
        chosen = CableNote{route.cable, true,        true, short_label, spot.at,
                           spot.foot,   spot.beside, box,  false,       says};
    };
    // Cheapest first: once a place is found, what costs more need not be looked at.
    for (const Spot& spot : from) {
        if (spot.cost >= least)
            break;
        if (!label)
            return CableNote{route.cable, true,        false, false, spot.at,
                             spot.foot,   spot.beside, {},    false, false};
        const double x = spot.at.x_mm;
        const double y = spot.at.y_mm;
        const double w = size.width_mm;
        const double h = size.height_mm;
        for (const double up : {5.0, 6.5, 8.5, 11.0, 14.0})
            for (const double dx : {8.0, 5.5, 2.0, -4.0, -12.0, -24.0, -w + 8, -w - 2, -w - 6}) {
                const double sideways = dx == 8.0 ? 0 : 1.5 + 0.12 * std::abs(dx - 8);
                consider(spot, {x + dx, y - up - h}, sideways + 0.5 * (up - 5));
                consider(spot, {x + dx, y + up}, 4 + sideways + 0.5 * (up - 5));
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

/// The second stub of a cut cable carries its number alone.
CableNote Search::ring_for(const Routed& route) const {
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

CableNote Search::note_for(const Routed& route, int round) const {
    const std::vector<Spot> on = spots(route, false);
    std::vector<Spot> all = on;
    if (on.empty())
        all = spots(route, true);
    if (all.empty())
        all = spots_beside(route);
    if (const auto whole = best(route, false, true, all))
        return *whole;
    if (round > 1)
        if (const auto less = best(route, true, true, all))
            return *less;
    if (round > 0) {
        const std::vector<Spot> more = spots_beside(route);
        if (const auto whole = best(route, false, true, more))
            return *whole;
        if (const auto less = best(route, true, true, more))
            return *less;
    }
    if (const auto ring = best(route, false, false, all))
        return *ring;
    CableNote none;
    none.cable = route.cable;
    return none;
}

// Both are answers, told apart by name at the one call.
// NOLINTNEXTLINE(bugprone-easily-swappable-parameters)
std::vector<Point> Search::dots(const FlagGlyph& flag, std::size_t& own_cable, std::size_t& own_stud,
                                Box& own_box) const {
    std::vector<Point> made;
    for (const Routed& route : routing_.routes) {
        if (all_.content->cables[route.cable].id != flag.subject)
            continue;
        own_cable = route.cable;
        for (const Piece& piece : pieces_of(route)) {
            const double length =
                std::abs(piece.a.x_mm - piece.b.x_mm) + std::abs(piece.a.y_mm - piece.b.y_mm);
            if (piece.level())
                for (double at = 3; at < length - 2; at += 2)
                    made.push_back(
                        {snapped(piece.a.x_mm + (piece.b.x_mm - piece.a.x_mm) * at / length), piece.a.y_mm});
        }
    }
    for (const IncidentalNote& note : incidentals_)
        if (all_.content->incidentals[note.path].id == flag.subject) {
            own_box = grown(box_around(note.top, note.foot), 1.0);
            for (double y = note.top.y_mm + 4; y < note.foot.y_mm - 2; y += 2)
                made.push_back({note.top.x_mm, y});
        }
    // On a sheet without its subject the flag may hang on what stands for it.
    const std::string& subject = made.empty() && !flag.instead.empty() ? flag.instead : flag.subject;
    for (std::size_t s = 0; s < all_.studs.size(); ++s)
        if (all_.studs[s].id == subject) {
            own_stud = s;
            const Point end = stud_end(all_.studs[s]);
            own_box = grown({end.x_mm, end.y_mm, 0, 0}, 8);
            made.push_back({end.x_mm, all_.studs[s].away(all_.studs[s].tall_mm - 1)});
        }
    const auto along_top = [&](const Box& box) {
        own_box = grown(box, 0.1);
        for (double x = box.x_mm + 3; x < box.right_mm() - 2; x += 2)
            made.push_back({x, box.y_mm});
    };
    for (const PlacedUnit& unit : all_.units)
        if (unit.glyph->id == subject)
            along_top(unit.upper ? Box{unit.box.x_mm, all_.upper_mm, unit.box.width_mm, 3}
                      : unit.bar != PlacedUnit::Bar::none ? bar_box(unit)
                                                          : unit.box);
    for (const PlacedBed& bed : all_.beds)
        if (bed.glyph->id == subject)
            along_top(bed.box());
    return made;
}

FlagNote Search::flag_for(std::size_t index) {
    const FlagGlyph& flag = all_.content->flags[index];
    FlagNote note;
    note.flag = index;
    std::size_t own_cable = nowhere;
    std::size_t own_stud = nowhere;
    Box own_box;
    const std::vector<Point> from = dots(flag, own_cable, own_stud, own_box);
    // The pole of a flag on an incidental path stands in its line.
    for (const IncidentalNote& path : incidentals_)
        if (all_.content->incidentals[path.path].id == flag.subject)
            std::erase_if(taken_, [&](const Box& box) {
                return box.x_mm < path.top.x_mm && box.right_mm() > path.top.x_mm && box.width_mm < 1;
            });
    const auto pole_free = [&](const Box& pole) {
        if (solid_.any(pole, [&](std::size_t i) {
                const Obstacle& obstacle = routing_.obstacles[i];
                return overlaps(pole, obstacle.box, 0.8) &&
                       !(own_stud != nowhere && obstacle.stud == own_stud) &&
                       !overlaps(obstacle.box, own_box, -0.3);
            }))
            return false;
        if (cabled_.any(pole, [&](std::size_t i) {
                return pieces_[i].cable != own_cable && overlaps(pole, ways_[i], 0.8);
            }))
            return false;
        for (const Box& tag : tags_)
            if (overlaps(pole, tag, 0.8))
                return false;
        return std::none_of(taken_.begin(), taken_.end(),
                            [&](const Box& other) { return overlaps(pole, other, 0.8); });
    };
    const double wide = flag_width_mm(flag);
    double least = 1e9;
    for (const Point& dot : from)
        for (double tall = 9; tall < 44; tall += 1)
            for (const bool left : {false, true}) {
                const double cost = tall + (left ? 2 : 0);
                if (cost >= least)
                    break;
                const Box box{left ? dot.x_mm - wide : dot.x_mm, dot.y_mm - tall, wide, flag_height_mm};
                const Box pole =
                    grown(box_around({dot.x_mm, dot.y_mm - 1.2}, {dot.x_mm, box.bottom_mm()}), 0.25);
                if (!free(box, 1.2, nowhere) || !pole_free(pole))
                    continue;
                least = cost;
                note.placed = true;
                note.dot = dot;
                note.box = box;
                note.to_left = left;
            }
    return note;
}

void Search::place_incidentals(Notes& kept) {
    std::vector<Box> solid = tags_;
    for (const Obstacle& obstacle : routing_.obstacles)
        solid.push_back(obstacle.box);
    for (const Box& way : ways_)
        solid.push_back(grown(way, 0.9));
    for (std::size_t i = 0; i < all_.content->incidentals.size(); ++i) {
        std::vector<Box> taken = solid;
        taken.insert(taken.end(), taken_.begin(), taken_.end());
        if (const auto placed = place_incidental(all_, i, taken, measure_)) {
            kept.incidentals.push_back(*placed);
            incidentals_.push_back(*placed);
            taken_ = kept.taken();
        }
    }
}

Notes Search::search() {
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
    taken_ = kept.taken();
    place_incidentals(kept);
    for (std::size_t f = 0; f < all_.content->flags.size(); ++f) {
        kept.flags.push_back(flag_for(f));
        taken_ = kept.taken();
    }
    return kept;
}

} // namespace

Notes place_notes(const Arrangement& arrangement, const Routing& routing, const TextMeasure& measure) {
    return Search(arrangement, routing, measure).search();
}

} // namespace stoutloom::layout
