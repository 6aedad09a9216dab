// A pattern router: for each cable the cheapest of a few shapes (straight, step, bridge over a lane, through
// a gap of the unit row) that meets nothing, shortest cables first; a cable that finds no way goes first in
// the next round.
#include "layout/route.h"

#include "layout/hardware.h"
#include "layout/pen.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace stoutloom::layout {
namespace {
constexpr double bend_cost = 9;
constexpr double crossing_cost = 45;
constexpr double no_label_cost = 45;
constexpr double through_label_cost = 30;
constexpr double cable_clear_mm = 2;
constexpr double lane_step_mm = 1;

struct Terminal {
    bool tag = false;
    int tag_side = 0;
    std::size_t stud = nowhere;
    Point at; // end of the barrel, or the tag's point (x only)
    int side = 1;
    double riser_x = 0;
};
struct Job {
    std::size_t cable = nowhere;
    Terminal ends[2];
    double half_mm = 1, radius_mm = 4, span_mm = 0;
    LabelBox label;
};

class Router {
  public:
    Router(const Arrangement& all, const std::vector<LabelBox>& labels, const TextMeasure& measure)
        : all_(all) {
        obstacles_ = obstacles_of(all, measure);
        for (const std::size_t cable : all.share.cables)
            jobs_.push_back(job(cable, labels[cable]));
        std::stable_sort(jobs_.begin(), jobs_.end(),
                         [](const Job& a, const Job& b) { return a.span_mm < b.span_mm; });
    }
    Routing route();

  private:
    const Arrangement& all_;
    std::vector<Obstacle> obstacles_;
    std::vector<Job> jobs_;
    std::vector<Routed> done_;
    std::vector<Piece> pieces_;
    std::vector<Box> tags_;
    std::vector<Box> pending_; // columns that cables yet to come will need
    std::size_t at_ = 0;

    Job job(std::size_t cable, const LabelBox& label) const;
    std::optional<std::size_t> attempt(Routing& result);
    void note_pending(std::size_t from);

    std::vector<Track> candidates(const Job& job) const;
    void bridges(const Job& job, std::vector<Track>& made) const;
    void steps(const Job& job, std::vector<Track>& made) const;
    void passages(const Job& job, std::vector<Track>& made) const;
    std::vector<double> gaps() const;
    std::optional<double> price(const Job& job, const Track& track, double best) const;
    bool meets_obstacle(const Job& job, const Piece& piece, bool first, bool last) const;
    /// Crossings with the cables laid so far; -1 when it touches one.
    int meets_cables(const Piece& piece) const;
    Box label_room(const Job& job, const Track& track) const;
    bool room_free(const Box& box) const;
    Routed routed(const Job& job, const Track& track) const;
};

Job Router::job(std::size_t cable, const LabelBox& label) const {
    const RunGlyph& run = all_.content->cables[cable];
    Job made;
    made.cable = cable;
    made.label = label;
    made.half_mm = half_width_mm(run);
    made.radius_mm = bend_radius_mm(run);
    for (int end = 0; end < 2; ++end) {
        Terminal& terminal = made.ends[end];
        const PlacedLug* lug = nullptr;
        const PlacedStud* stud = all_.stud_of(cable, end, &lug);
        if (stud != nullptr) {
            terminal.stud = static_cast<std::size_t>(stud - all_.studs.data());
            terminal.at = stud->lug_end(*lug);
            terminal.side = lug->side;
            terminal.riser_x = stud->riser_x(*lug);
            continue;
        }
        terminal.tag = true;
        for (const Leaving& leaving : all_.leaving)
            if (leaving.cable == cable && leaving.end == end)
                terminal.tag_side = leaving.side;
        const double inset = 3 + all_.tag_width_mm + 2.6;
        terminal.at.x_mm = terminal.tag_side < 0 ? all_.left_mm + inset : all_.right_mm - inset;
        terminal.side = -terminal.tag_side;
        terminal.riser_x = terminal.at.x_mm;
    }
    made.span_mm = std::abs(made.ends[0].at.x_mm - made.ends[1].at.x_mm);
    return made;
}

Routed Router::routed(const Job& job, const Track& track) const {
    Routed made;
    made.cable = job.cable;
    made.track = track;
    made.half_mm = job.half_mm;
    made.radius_mm = job.radius_mm;
    for (int end = 0; end < 2; ++end) {
        made.studs[end] = job.ends[end].stud;
        if (job.ends[end].tag) {
            made.tag_end = end;
            made.tag_side = job.ends[end].tag_side;
        }
    }
    return made;
}

bool Router::meets_obstacle(const Job& job, const Piece& piece, bool first, bool last) const {
    const Box way = grown(box_around(piece.a, piece.b), piece.half_mm);
    for (const Obstacle& obstacle : obstacles_) {
        if (piece.level() ? obstacle.passes_horizontal : obstacle.passes_vertical)
            continue;
        const bool own_first = first && obstacle.stud != nowhere && obstacle.stud == job.ends[0].stud;
        const bool own_last = last && obstacle.stud != nowhere && obstacle.stud == job.ends[1].stud;
        if (own_first || own_last) {
            // The stub that leaves the stack touches its own barrel; anything deeper is a way through the
            // stack.
            Box inside = way;
            const Point start = own_first ? piece.a : piece.b;
            const double out = own_first ? job.ends[0].side : job.ends[1].side;
            if (out > 0) {
                inside.width_mm -= std::max(0.0, start.x_mm + 0.05 - inside.x_mm);
                inside.x_mm = std::max(inside.x_mm, start.x_mm + 0.05);
            } else {
                inside.width_mm = std::min(inside.width_mm, start.x_mm - 0.05 - inside.x_mm);
            }
            if (inside.width_mm > 0 && overlaps(inside, obstacle.box, -0.05))
                return true;
            continue;
        }
        if (overlaps(way, obstacle.box, obstacle.clear_mm))
            return true;
    }
    for (const Box& tag : tags_)
        if (overlaps(way, tag, 2))
            return true;
    return false;
}

int Router::meets_cables(const Piece& piece) const {
    int crossings = 0;
    const Box way = grown(box_around(piece.a, piece.b), piece.half_mm);
    for (const Piece& other : pieces_) {
        const Box its = grown(box_around(other.a, other.b), other.half_mm);
        const bool together =
            (piece.stud_a != nowhere && (piece.stud_a == other.stud_a || piece.stud_a == other.stud_b)) ||
            (piece.stud_b != nowhere && (piece.stud_b == other.stud_a || piece.stud_b == other.stud_b));
        if (!overlaps(way, its, together ? 0.7 : cable_clear_mm))
            continue;
        if (piece.level() == other.level())
            return -1;
        const Piece& flat = piece.level() ? piece : other;
        const Piece& steep = piece.level() ? other : piece;
        const Point at{steep.a.x_mm, flat.a.y_mm};
        const auto far_enough = [&](const Piece& through, const Piece& by) {
            const double to_a = std::abs(at.x_mm - through.a.x_mm) + std::abs(at.y_mm - through.a.y_mm);
            const double to_b = std::abs(at.x_mm - through.b.x_mm) + std::abs(at.y_mm - through.b.y_mm);
            const bool inside = to_a + to_b < std::abs(through.a.x_mm - through.b.x_mm) +
                                                  std::abs(through.a.y_mm - through.b.y_mm) + 1e-6;
            return inside && to_a >= through.keep_a_mm + by.half_mm + 1.2 &&
                   to_b >= through.keep_b_mm + by.half_mm + 1.2;
        };
        if (!far_enough(piece, other) || !far_enough(other, piece))
            return -1;
        ++crossings;
    }
    return crossings;
}

std::optional<double> Router::price(const Job& job, const Track& track, double best) const {
    double cost = track_length_mm(track) + bend_cost * track_bends(track);
    if (cost >= best)
        return std::nullopt;
    const std::vector<Piece> pieces = pieces_of(routed(job, track));
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        const Piece& piece = pieces[i];
        const double length = std::abs(piece.a.x_mm - piece.b.x_mm) + std::abs(piece.a.y_mm - piece.b.y_mm);
        const bool first = i == 0;
        const bool last = i + 1 == pieces.size();
        const double least = job.radius_mm * (pieces.size() == 1 ? 0 : first || last ? 1 : 2);
        if (length < least - 1e-6 || length < 1)
            return std::nullopt;
        if (first && !job.ends[0].tag && (piece.b.x_mm - piece.a.x_mm) * job.ends[0].side <= 0)
            return std::nullopt; // a lug's barrel points one way
        if (last && !job.ends[1].tag && (piece.a.x_mm - piece.b.x_mm) * job.ends[1].side <= 0)
            return std::nullopt;
        if (meets_obstacle(job, piece, first, last))
            return std::nullopt;
        const int crossed = meets_cables(piece);
        if (crossed < 0)
            return std::nullopt;
        cost += crossing_cost * crossed;
        const Box way = grown(box_around(piece.a, piece.b), piece.half_mm + 1.5);
        for (const Routed& other : done_)
            if (other.reserved.width_mm > 0 && overlaps(way, other.reserved))
                cost += through_label_cost;
        if (cost >= best)
            return std::nullopt;
    }
    for (const Obstacle& obstacle : obstacles_)
        if (!obstacle.passes_horizontal && !obstacle.passes_vertical &&
            meets_bends(track, job.radius_mm, job.half_mm + 0.6, obstacle.box))
            return std::nullopt;
    for (const Terminal& end : job.ends)
        if (end.tag) {
            const Point point = &end == &job.ends[0] ? track.front() : track.back();
            const Box tag = tag_box(point, -end.tag_side, all_.tag_width_mm);
            for (const Obstacle& obstacle : obstacles_)
                if (overlaps(tag, obstacle.box, 1.5))
                    return std::nullopt;
            for (const Box& other : tags_)
                if (overlaps(tag, other, 2))
                    return std::nullopt;
            for (const Piece& piece : pieces_)
                if (overlaps(tag, grown(box_around(piece.a, piece.b), piece.half_mm), 2))
                    return std::nullopt;
        }
    return cost;
}

void Router::bridges(const Job& job, std::vector<Track>& made) const {
    const Terminal& a = job.ends[0];
    const Terminal& b = job.ends[1];
    for (double y = snapped(all_.sky_mm + job.half_mm + 1); y < all_.bed_mm; y += lane_step_mm) {
        if (a.tag || b.tag) {
            const Terminal& here = a.tag ? b : a;
            const Terminal& gone = a.tag ? a : b;
            Track track{here.at, {here.riser_x, here.at.y_mm}, {here.riser_x, y}, {gone.at.x_mm, y}};
            if (a.tag)
                std::reverse(track.begin(), track.end());
            made.push_back(std::move(track));
            continue;
        }
        made.push_back(
            {a.at, {a.riser_x, a.at.y_mm}, {a.riser_x, y}, {b.riser_x, y}, {b.riser_x, b.at.y_mm}, b.at});
    }
}

void Router::steps(const Job& job, std::vector<Track>& made) const {
    const Terminal& a = job.ends[0];
    const Terminal& b = job.ends[1];
    if (a.tag || b.tag) {
        Track track = a.tag ? Track{{a.at.x_mm, b.at.y_mm}, b.at} : Track{a.at, {b.at.x_mm, a.at.y_mm}};
        made.push_back(std::move(track));
        return;
    }
    if (std::abs(a.at.y_mm - b.at.y_mm) < 0.01)
        made.push_back({a.at, b.at});
    std::vector<double> middles{a.riser_x, b.riser_x, snapped((a.at.x_mm + b.at.x_mm) / 2)};
    const double low = std::min(a.at.x_mm, b.at.x_mm) - 20;
    const double high = std::max(a.at.x_mm, b.at.x_mm) + 20;
    for (double x = snapped(low); x < high; x += 3)
        middles.push_back(x);
    for (const double x : middles)
        made.push_back({a.at, {x, a.at.y_mm}, {x, b.at.y_mm}, b.at});
}

/// Middles of the gaps between boxes of the unit row, with places beside them.
std::vector<double> Router::gaps() const {
    std::vector<Box> boxes;
    for (const PlacedUnit& unit : all_.units)
        if (!unit.upper)
            boxes.push_back(unit.box);
    std::sort(boxes.begin(), boxes.end(), [](const Box& a, const Box& b) { return a.x_mm < b.x_mm; });
    std::vector<double> places;
    double from = all_.left_mm;
    boxes.push_back({all_.right_mm, 0, 0, 0});
    for (const Box& box : boxes) {
        for (double x = snapped(from + 3); x < box.x_mm - 3; x += 2)
            places.push_back(x);
        from = std::max(from, box.right_mm());
    }
    return places;
}

void Router::passages(const Job& job, std::vector<Track>& made) const {
    const Terminal& a = job.ends[0];
    const Terminal& b = job.ends[1];
    if (a.tag || b.tag)
        return;
    const double high_end = std::min(a.at.y_mm, b.at.y_mm);
    const double low_end = std::max(a.at.y_mm, b.at.y_mm);
    if (high_end > all_.row_mm || low_end < all_.row_mm)
        return;
    const std::vector<double> xs = gaps();
    for (const double x : xs)
        for (double y = snapped(all_.sky_mm + job.half_mm + 1); y < all_.bed_mm; y += 4) {
            // Out of one stud straight to the gap, through it, along a lane to the other; and the other way
            // round.
            made.push_back({a.at, {x, a.at.y_mm}, {x, y}, {b.riser_x, y}, {b.riser_x, b.at.y_mm}, b.at});
            made.push_back({a.at, {a.riser_x, a.at.y_mm}, {a.riser_x, y}, {x, y}, {x, b.at.y_mm}, b.at});
        }
    const Terminal& up = a.at.y_mm < b.at.y_mm ? a : b;
    const Terminal& down = a.at.y_mm < b.at.y_mm ? b : a;
    for (const double x : xs)
        for (double over = snapped(all_.sky_mm + job.half_mm + 1); over < all_.row_mm; over += 4)
            for (double under = snapped(all_.row_mm + all_.row_height_mm + 4); under < all_.bed_mm;
                 under += 4) {
                Track track{up.at,      {up.riser_x, up.at.y_mm}, {up.riser_x, over},           {x, over},
                            {x, under}, {down.riser_x, under},    {down.riser_x, down.at.y_mm}, down.at};
                if (&up == &b)
                    std::reverse(track.begin(), track.end());
                made.push_back(std::move(track));
            }
}

/// Joins pieces that run on in one direction and drops empty ones.
Track tidy(const Track& track) {
    Track made;
    for (const Point& point : track) {
        if (!made.empty() && made.back().x_mm == point.x_mm && made.back().y_mm == point.y_mm)
            continue;
        if (made.size() >= 2) {
            const Point& before = made[made.size() - 2];
            const Point& last = made.back();
            if ((before.x_mm == last.x_mm && last.x_mm == point.x_mm) ||
                (before.y_mm == last.y_mm && last.y_mm == point.y_mm))
                made.pop_back();
        }
        made.push_back(point);
    }
    return made;
}

bool doubles_back(const Track& track) {
    for (std::size_t i = 2; i < track.size(); ++i)
        if ((track[i].x_mm == track[i - 1].x_mm) == (track[i - 1].x_mm == track[i - 2].x_mm))
            return true;
    return false;
}

bool Router::room_free(const Box& box) const {
    for (const Obstacle& obstacle : obstacles_)
        if (overlaps(box, obstacle.box, 1.5))
            return false;
    for (const Piece& piece : pieces_)
        if (overlaps(box, grown(box_around(piece.a, piece.b), piece.half_mm), 1.5))
            return false;
    for (const Routed& other : done_)
        if (meets_bends(other.track, other.radius_mm, other.half_mm + 1.5, box))
            return false;
    for (const Box& column : pending_)
        if (overlaps(box, column, 1.5))
            return false;
    for (const Box& tag : tags_)
        if (overlaps(box, tag, 1.5))
            return false;
    for (const Routed& other : done_)
        if (other.reserved.width_mm > 0 && overlaps(box, other.reserved, 2))
            return false;
    return true;
}

/// A free place for the label beside some piece of the track; zero width if there is none.
Box Router::label_room(const Job& job, const Track& track) const {
    const LabelBox& size = job.label;
    std::vector<Box> own;
    for (std::size_t i = 1; i < track.size(); ++i)
        own.push_back(grown(box_around(track[i - 1], track[i]), job.half_mm));
    const auto good = [&](const Box& box) {
        return room_free(box) &&
               std::none_of(own.begin(), own.end(), [&](const Box& way) { return overlaps(box, way, 1.5); });
    };
    for (std::size_t i = 1; i < track.size(); ++i) {
        const Point a = track[i - 1];
        const Point b = track[i];
        const double length = std::abs(a.x_mm - b.x_mm) + std::abs(a.y_mm - b.y_mm);
        if (length < 13)
            continue;
        if (a.y_mm == b.y_mm) {
            const double low = std::min(a.x_mm, b.x_mm) + 6;
            const double high = std::max(a.x_mm, b.x_mm) - 6;
            for (double x = low; x < high; x += 4)
                for (const double top : {a.y_mm - job.half_mm - 4 - size.height_mm, a.y_mm + job.half_mm + 4})
                    if (const Box box{x + 2, top, size.width_mm, size.height_mm}; good(box))
                        return box;
        } else {
            const double low = std::min(a.y_mm, b.y_mm);
            const double high = std::max(a.y_mm, b.y_mm);
            for (double y = low; y + size.height_mm < high + 8; y += 3)
                for (const double left : {a.x_mm + 6, a.x_mm - 6 - size.width_mm})
                    if (const Box box{left, y - 2, size.width_mm, size.height_mm}; good(box))
                        return box;
        }
    }
    return {};
}

std::vector<Track> Router::candidates(const Job& job) const {
    std::vector<Track> raw;
    steps(job, raw);
    bridges(job, raw);
    std::vector<Track> made;
    for (const Track& each : raw) {
        Track track = tidy(each);
        if (track.size() >= 2 && !doubles_back(track))
            made.push_back(std::move(track));
    }
    const auto cheap = [](const Track& track) {
        return track_length_mm(track) + bend_cost * track_bends(track);
    };
    std::stable_sort(made.begin(), made.end(),
                     [&](const Track& a, const Track& b) { return cheap(a) < cheap(b); });
    return made;
}

void Router::note_pending(std::size_t from) {
    pending_.clear();
    for (std::size_t i = from; i < jobs_.size(); ++i)
        for (const Terminal& end : jobs_[i].ends) {
            if (end.tag)
                continue;
            const PlacedStud& stud = all_.studs[end.stud];
            const double half = jobs_[i].half_mm;
            pending_.push_back(grown(box_around(end.at, {end.riser_x, end.at.y_mm}), half));
            const double to = stud.hanging || stud.sinks ? all_.bed_mm
                              : stud.row == Row::bed     ? all_.row_mm + all_.row_height_mm
                                                         : all_.sky_mm;
            pending_.push_back(grown(box_around({end.riser_x, end.at.y_mm}, {end.riser_x, to}), half));
        }
}

std::optional<std::size_t> Router::attempt(Routing& result) {
    done_.clear();
    pieces_.clear();
    tags_.clear();
    result.routes.clear();
    result.crossings = 0;
    result.cost = 0;
    for (at_ = 0; at_ < jobs_.size(); ++at_) {
        const Job& job = jobs_[at_];
        note_pending(at_ + 1);
        double best = 1e9;
        Track chosen;
        Box reserved;
        const auto weigh = [&](const std::vector<Track>& tracks) {
            for (const Track& track : tracks) {
                const std::optional<double> cost = price(job, track, best);
                if (!cost)
                    continue;
                const Box room = label_room(job, track);
                const double whole = *cost + (room.width_mm > 0 ? 0 : no_label_cost);
                if (whole < best) {
                    best = whole;
                    chosen = track;
                    reserved = room;
                }
            }
        };
        weigh(candidates(job));
        if (chosen.empty()) {
            std::vector<Track> more;
            passages(job, more);
            for (Track& each : more)
                each = tidy(each);
            std::erase_if(more, [](const Track& track) { return track.size() < 2 || doubles_back(track); });
            weigh(more);
        }
        if (chosen.empty())
            return at_;
        Routed made = routed(job, chosen);
        made.reserved = reserved;
        for (const Piece& piece : pieces_of(made))
            result.crossings += std::max(0, meets_cables(piece));
        for (const Piece& piece : pieces_of(made))
            pieces_.push_back(piece);
        for (const Terminal& end : job.ends)
            if (end.tag)
                tags_.push_back(tag_box(&end == &job.ends[0] ? chosen.front() : chosen.back(), -end.tag_side,
                                        all_.tag_width_mm));
        result.cost += best;
        done_.push_back(std::move(made));
    }
    result.routes = done_;
    return std::nullopt;
}

Routing Router::route() {
    Routing result;
    result.obstacles = obstacles_;
    const std::size_t rounds = 6 + jobs_.size() / 4;
    for (std::size_t round = 0; round < rounds; ++round) {
        const std::optional<std::size_t> stuck = attempt(result);
        if (!stuck)
            return result;
        result.stuck = all_.content->cables[jobs_[*stuck].cable].id;
        if (*stuck == 0)
            break; // it finds no way even alone
        const auto place = static_cast<std::ptrdiff_t>(*stuck);
        std::rotate(jobs_.begin(), jobs_.begin() + place, jobs_.begin() + place + 1);
    }
    result.routes.clear();
    return result;
}

} // namespace

Routing route_sheet(const Arrangement& arrangement, const std::vector<LabelBox>& labels,
                    const TextMeasure& measure) {
    return Router(arrangement, labels, measure).route();
}

} // namespace stoutloom::layout
