// A pattern router: for each cable the cheapest of a few shapes (straight, step, bridge over a lane, through
// a gap of the unit row) that meets nothing, shortest cables first; a cable that finds no way goes first in
// the next round.
#include "layout/router.h"

#include "layout/hardware.h"
#include "layout/pen.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

namespace stoutloom::layout {
namespace {
/// Which way a tag at the end of a track lies: +1 to the right, -1 to the left, 0 over a vertical piece, 2
/// under it.
int tag_side_of(const Track& track, int end) {
    const Point tip = end == 0 ? track.front() : track.back();
    const Point before = end == 0 ? track[1] : track[track.size() - 2];
    if (tip.x_mm != before.x_mm)
        return tip.x_mm > before.x_mm ? 1 : -1;
    return tip.y_mm > before.y_mm ? 2 : 0;
}
} // namespace

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
    made.tag_mm = job.tag_mm;
    for (int end = 0; end < 2; ++end) {
        made.studs[end] = job.ends[end].stud;
        if (job.ends[end].tag) {
            made.tag_end = end;
            made.tag_side = track.size() > 1 ? tag_side_of(track, end) : 0;
        }
    }
    return made;
}

bool Router::meets_obstacle(const Job& job, const Piece& piece, bool first, bool last) const {
    const Box way = grown(box_around(piece.a, piece.b), piece.half_mm);
    const auto meets = [&](std::size_t index) {
        const Obstacle& obstacle = obstacles_[index];
        if (piece.level() ? obstacle.passes_horizontal : obstacle.passes_vertical)
            return false;
        const bool own_first = first && obstacle.stud != nowhere && obstacle.stud == job.ends[0].stud;
        const bool own_last = last && obstacle.stud != nowhere && obstacle.stud == job.ends[1].stud;
        if (!own_first && !own_last)
            return overlaps(way, obstacle.box, obstacle.clear_mm);
        // The stub that leaves the stack touches its own barrel; anything deeper is a way through the stack.
        Box inside = way;
        const Point start = own_first ? piece.a : piece.b;
        const double out = own_first ? job.ends[0].side : job.ends[1].side;
        if (out > 0) {
            inside.width_mm -= std::max(0.0, start.x_mm + 0.05 - inside.x_mm);
            inside.x_mm = std::max(inside.x_mm, start.x_mm + 0.05);
        } else {
            inside.width_mm = std::min(inside.width_mm, start.x_mm - 0.05 - inside.x_mm);
        }
        return inside.width_mm > 0 && overlaps(inside, obstacle.box, -0.05);
    };
    if (solid_.any(way, meets))
        return true;
    return std::any_of(tags_.begin(), tags_.end(), [&](const Box& tag) { return overlaps(way, tag, 2); });
}

Router::Reach Router::reach(Point from, double half_mm, bool upright) const {
    Reach free{-1e4, 1e4};
    for (const Obstacle& obstacle : obstacles_) {
        if (upright ? obstacle.passes_vertical : obstacle.passes_horizontal)
            continue;
        const Box box = grown(obstacle.box, obstacle.clear_mm + half_mm - 1e-9);
        const bool beside = upright ? from.x_mm <= box.x_mm || from.x_mm >= box.right_mm()
                                    : from.y_mm <= box.y_mm || from.y_mm >= box.bottom_mm();
        if (beside)
            continue;
        const double at = upright ? from.y_mm : from.x_mm;
        const double near = upright ? box.y_mm : box.x_mm;
        const double far = upright ? box.bottom_mm() : box.right_mm();
        if (at <= near)
            free.high = std::min(free.high, near);
        else if (at >= far)
            free.low = std::max(free.low, far);
        else
            return {1, 0};
    }
    return free;
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

/// Whether a run to the sheet's edge would pass zones that the cable never sees.
bool Router::strays(const Job& job, const Terminal& end) const {
    if (all_.share.panels.empty())
        return false;
    const Panel& edge = end.tag_side < 0 ? all_.share.panels.front() : all_.share.panels.back();
    const std::vector<std::size_t>& zones = all_.content->cables[job.cable].zones;
    return std::find(zones.begin(), zones.end(), edge.zone) == zones.end();
}

std::optional<double> Router::price(const Job& job, const Track& track, double best) const {
    double cost = track_length_mm(track) + bend_cost * track_bends(track);
    // A run to the sheet's edge shows which way the cable goes, but only a short one, and not where it leads
    // through zones that the cable never sees: else a tag right at the stud is easier followed.
    for (int end = 0; end < 2; ++end) {
        if (!job.ends[end].tag || job.ends[end].loose)
            continue;
        const bool near = tag_side_of(track, end) % 2 == 0;
        if (strays(job, job.ends[end]))
            cost += near ? 0 : stray_cost;
        else if (near)
            cost += near_tag_cost;
    }
    if (on_wrong_side(all_, all_.content->cables[job.cable], track))
        cost += wrong_side_cost;
    if (cost >= best)
        return std::nullopt;
    const Routed plain = routed(job, {});
    const std::size_t count = track.size() - 1;
    for (std::size_t i = 0; i < count; ++i) {
        const Piece piece = piece_of(plain, track, i + 1);
        const double length = std::abs(piece.a.x_mm - piece.b.x_mm) + std::abs(piece.a.y_mm - piece.b.y_mm);
        const bool first = i == 0;
        const bool last = i + 1 == count;
        const double least = job.radius_mm * (count == 1 ? 0 : first || last ? 1 : 2);
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
        // Close beside where a cable yet to come must turn, it would leave that one no place to cross.
        if (!piece.level())
            for (const Box& column : pending_)
                if (column.height_mm > column.width_mm && overlaps(way, column, turning_room_mm))
                    cost += close_cost;
        if (cost >= best)
            return std::nullopt;
    }
    for (std::size_t i = 1; i + 1 < track.size(); ++i) {
        const Box corner = grown({track[i].x_mm, track[i].y_mm, 0, 0}, job.radius_mm + job.half_mm + 0.6);
        if (solid_.any(corner, [&](std::size_t index) {
                const Obstacle& obstacle = obstacles_[index];
                // A lane may pass over the leg of a unit, but not turn there.
                const bool leg =
                    obstacle.passes_horizontal && obstacle.box.width_mm > 1 && obstacle.box.width_mm < 8;
                return ((!obstacle.passes_horizontal && !obstacle.passes_vertical) || leg) &&
                       meets_bend(obstacle.box, track[i - 1], track[i], track[i + 1], job.radius_mm,
                                  job.half_mm + 0.6);
            }))
            return std::nullopt;
    }
    for (int end = 0; end < 2; ++end)
        if (job.ends[end].tag && !tag_free(job, track, end))
            return std::nullopt;
    return cost;
}

bool Router::tag_free(const Job& job, const Track& track, int end) const {
    const Box tag = tag_box(end == 0 ? track.front() : track.back(), -tag_side_of(track, end), job.tag_mm);
    if (solid_.any(tag, [&](std::size_t i) { return overlaps(tag, obstacles_[i].box, 1.5); }))
        return false;
    for (const Box& other : tags_)
        if (overlaps(tag, other, 2))
            return false;
    for (const Box& column : pending_)
        if (overlaps(tag, column, 2))
            return false;
    for (const Routed& other : done_)
        if (meets_bends(other.track, other.radius_mm, other.half_mm + 1.5, tag))
            return false;
    return std::none_of(pieces_.begin(), pieces_.end(), [&](const Piece& piece) {
        return overlaps(tag, grown(box_around(piece.a, piece.b), piece.half_mm), 2);
    });
}

bool Router::room_free(const Box& box) const {
    if (solid_.any(box, [&](std::size_t i) { return overlaps(box, obstacles_[i].box, 1.5); }))
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
    return std::none_of(done_.begin(), done_.end(), [&](const Routed& other) {
        return other.reserved.width_mm > 0 && overlaps(box, other.reserved, 2);
    });
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

/// The cheapest way among what is laid so far; `thorough`: roundabout ways too, not only where nothing else
/// goes.
Router::Way Router::cheapest(const Job& job, bool thorough) const {
    Way best;
    const auto weigh = [&](Candidates tracks) {
        while (const Track* raw = tracks.next(best.cost)) {
            ++weighed_;
            const Track track = tidy(*raw);
            if (track.size() < 2 || doubles_back(track))
                continue;
            const std::optional<double> cost = price(job, track, best.cost);
            if (!cost)
                continue;
            const Box room = label_room(job, track);
            const double whole =
                *cost + (room.width_mm > 0 ? 0 : (thorough && track.size() > 2 ? 3 : 1) * no_label_cost);
            if (whole < best.cost)
                best = {whole, track, room};
        }
    };
    weigh(candidates(job));
    if (best.track.empty() || (thorough && crossed(job, best.track) > 0))
        weigh(detours(job));
    return best;
}

void Router::tell(Routing& result) const {
    result.routes = done_;
    result.crossings = crossings();
}

int Router::crossed(const Job& job, const Track& track) const {
    int count = 0;
    for (const Piece& piece : pieces_of(routed(job, track)))
        count += std::max(0, meets_cables(piece));
    return count;
}

void Router::put(const Job& job, const Way& way) {
    Routed made = routed(job, way.track);
    made.reserved = way.room;
    const std::vector<Piece> pieces = pieces_of(made);
    pieces_.insert(pieces_.end(), pieces.begin(), pieces.end());
    for (int end = 0; end < 2; ++end)
        if (job.ends[end].tag)
            tags_.push_back(
                tag_box(end == 0 ? way.track.front() : way.track.back(), -made.tag_side, job.tag_mm));
    done_.push_back(std::move(made));
}

bool Router::lay(const Job& job, Routing& result) {
    const Way way = cheapest(job, false);
    if (way.track.empty())
        return false;
    put(job, way);
    result.cost += way.cost;
    return true;
}

std::optional<std::size_t> Router::attempt(Routing& result) {
    done_.clear();
    pieces_.clear();
    tags_.clear();
    result.routes.clear();
    result.crossings = 0;
    result.cost = 0;
    for (std::size_t at = 0; at < jobs_.size(); ++at) {
        note_pending(at + 1);
        if (!lay(jobs_[at], result))
            return at;
    }
    note_pending(jobs_.size());
    tell(result);
    return std::nullopt;
}

/// Gives up the whole way of a cable: each of its ends on this sheet gets a stub with a tag instead.
void Router::cut(std::size_t cable) {
    std::vector<Job> stubs;
    for (auto at = jobs_.begin(); at != jobs_.end();) {
        if (at->cable != cable) {
            ++at;
            continue;
        }
        for (int end = 0; end < 2; ++end) {
            if (at->ends[end].tag)
                continue;
            Job stub = *at;
            stub.ends[1 - end] = {};
            stub.ends[1 - end].tag = stub.ends[1 - end].loose = true;
            stubs.push_back(stub);
        }
        at = jobs_.erase(at);
    }
    // Stubs come last: they find room where a cable that must arrive somewhere cannot.
    jobs_.insert(jobs_.end(), stubs.begin(), stubs.end());
}

Routing Router::route(Cutting cutting) {
    Routing result;
    result.obstacles = obstacles_;
    const std::size_t most_cuts = cutting == Cutting::never ? 0 : jobs_.size();
    for (std::size_t cuts = 0; cuts <= most_cuts; ++cuts) {
        std::map<std::size_t, int> blame;
        const std::size_t rounds = 4;
        for (std::size_t round = 0; round < rounds; ++round) {
            const std::optional<std::size_t> stuck = attempt(result);
            if (!stuck) {
                result.stuck.clear();
                return result;
            }
            result.stuck = all_.content->cables[jobs_[*stuck].cable].id;
            if (jobs_[*stuck].ends[0].loose || jobs_[*stuck].ends[1].loose)
                result.stuck += " (even as a stub)";
            blame[jobs_[*stuck].cable] += *stuck == 0 ? 100 : 1;
            if (*stuck == 0)
                break; // it finds no way even alone
            const auto place = static_cast<std::ptrdiff_t>(*stuck);
            std::rotate(jobs_.begin(), jobs_.begin() + place, jobs_.begin() + place + 1);
        }
        if (cuts == most_cuts)
            break;
        std::size_t worst = nowhere;
        int most = 0;
        for (const auto& [cable, times] : blame) {
            const bool whole = std::any_of(jobs_.begin(), jobs_.end(), [&, c = cable](const Job& job) {
                return job.cable == c && !job.ends[0].loose && !job.ends[1].loose;
            });
            if (whole && times > most) {
                most = times;
                worst = cable;
            }
        }
        if (worst == nowhere)
            break;
        cut(worst);
        ++result.cut;
    }
    result.routes.clear();
    return result;
}

Routing route_sheet(const Arrangement& arrangement, const std::vector<LabelBox>& labels,
                    const TextMeasure& measure, Cutting cutting, TagsFirst tags_first) {
    Router router(arrangement, labels, measure, tags_first);
    Routing made = router.route(cutting);
    made.weighed = router.weighed();
    return made;
}

std::optional<Routing> mended_routes(const Arrangement& arrangement, const std::vector<LabelBox>& labels,
                                     const TextMeasure& measure, Cutting cutting) {
    std::optional<Routing> best;
    for (const TagsFirst tags_first : {TagsFirst::no, TagsFirst::yes}) {
        Router router(arrangement, labels, measure, tags_first);
        Routing made = router.route(cutting);
        if (!made.stuck.empty())
            continue;
        if (!router.improve() && tags_first == TagsFirst::no)
            continue;
        router.tell(made);
        if (!best || made.crossings < best->crossings)
            best = std::move(made);
    }
    return best;
}

} // namespace stoutloom::layout
