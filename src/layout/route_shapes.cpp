// The shapes a cable may take: straight, step, bridge over a lane, through a gap of the unit row, stub to a
// tag.
#include "layout/hardware.h"
#include "layout/pen.h"
#include "layout/router.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <utility>

namespace stoutloom::layout {

/// A tag right over or under the stud, for a cable that would else have to cross others on its way to the
/// edge.
void Router::near_tags(const Job& job, std::vector<Track>& made) const {
    if (job.ends[0].tag == job.ends[1].tag)
        return;
    const bool first = !job.ends[0].tag;
    const Terminal& here = first ? job.ends[0] : job.ends[1];
    const Reach riser = reach({here.riser_x, here.at.y_mm}, job.half_mm, true);
    const double least = snapped(job.radius_mm + 15); // room for the balloon
    for (double away = least; away < 70; away += 2)
        for (const double way : {-1.0, 1.0}) {
            const double y = snapped(here.at.y_mm + way * away);
            if (!riser.holds(y))
                continue;
            Track track{here.at, {here.riser_x, here.at.y_mm}, {here.riser_x, y}};
            if (!first)
                std::reverse(track.begin(), track.end());
            made.push_back(std::move(track));
        }
}

void Router::bridges(const Job& job, std::vector<Track>& made) const {
    const Terminal& a = job.ends[0];
    const Terminal& b = job.ends[1];
    const auto riser = [&](const Terminal& end) {
        return end.tag ? Reach{-1e4, 1e4} : reach({end.riser_x, end.at.y_mm}, job.half_mm, true);
    };
    const Reach from_a = riser(a);
    const Reach from_b = riser(b);
    for (double y = snapped(all_.sky_mm + job.half_mm + 1); y < all_.bed_mm; y += lane_step_mm) {
        if (!from_a.holds(y) || !from_b.holds(y))
            continue;
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
    const double low = std::min(a.at.x_mm, b.at.x_mm) - 45;
    const double high = std::max(a.at.x_mm, b.at.x_mm) + 45;
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
    const Terminal& up = a.at.y_mm < b.at.y_mm ? a : b;
    const Terminal& down = a.at.y_mm < b.at.y_mm ? b : a;
    const Reach riser_a = reach({a.riser_x, a.at.y_mm}, job.half_mm, true);
    const Reach riser_b = reach({b.riser_x, b.at.y_mm}, job.half_mm, true);
    const Reach& riser_up = &up == &a ? riser_a : riser_b;
    const Reach& riser_down = &up == &a ? riser_b : riser_a;
    const double highest = snapped(all_.sky_mm + job.half_mm + 1);
    for (const double x : gaps()) {
        const Reach column = reach({x, all_.row_mm + all_.row_height_mm / 2}, job.half_mm, true);
        if (column.low > column.high)
            continue;
        for (double y = highest; y < all_.bed_mm; y += 4) {
            // Out of one stud straight to the gap, through it, along a lane to the other; and the other way
            // round.
            if (!column.holds(y))
                continue;
            if (column.holds(a.at.y_mm) && riser_b.holds(y))
                made.push_back({a.at, {x, a.at.y_mm}, {x, y}, {b.riser_x, y}, {b.riser_x, b.at.y_mm}, b.at});
            if (column.holds(b.at.y_mm) && riser_a.holds(y))
                made.push_back({a.at, {a.riser_x, a.at.y_mm}, {a.riser_x, y}, {x, y}, {x, b.at.y_mm}, b.at});
        }
        for (double over = highest; over < all_.row_mm; over += 4)
            for (double under = snapped(all_.row_mm + all_.row_height_mm + 4); under < all_.bed_mm;
                 under += 4) {
                if (!column.holds(over) || !column.holds(under) || !riser_up.holds(over) ||
                    !riser_down.holds(under))
                    continue;
                Track track{up.at,      {up.riser_x, up.at.y_mm}, {up.riser_x, over},           {x, over},
                            {x, under}, {down.riser_x, under},    {down.riser_x, down.at.y_mm}, down.at};
                if (&up == &b)
                    std::reverse(track.begin(), track.end());
                made.push_back(std::move(track));
            }
    }
}

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
/// A stub from the lug to a tag in some free place close by: the cable is told, its way is on no sheet.
void Router::loose_ends(const Job& job, std::vector<Track>& made) const {
    const bool first = !job.ends[0].tag;
    const Terminal& here = first ? job.ends[0] : job.ends[1];
    const auto take = [&](Track track) {
        if (!first)
            std::reverse(track.begin(), track.end());
        made.push_back(std::move(track));
    };
    for (double out = 3; out < 60; out += 3)
        take({here.at, {here.at.x_mm + here.side * out, here.at.y_mm}});
    const Reach riser = reach({here.riser_x, here.at.y_mm}, job.half_mm, true);
    for (double y = snapped(all_.sky_mm + job.half_mm + 1); y < all_.bed_mm; y += 2 * lane_step_mm) {
        if (!riser.holds(y))
            continue;
        const Reach lane = reach({here.riser_x, y}, job.half_mm, false);
        for (const double way : {-1.0, 1.0})
            for (double out = job.radius_mm + 2; out < 120 && lane.holds(here.riser_x + way * out); out += 6)
                take({here.at,
                      {here.riser_x, here.at.y_mm},
                      {here.riser_x, y},
                      {snapped(here.riser_x + way * out), y}});
        if (y < here.at.y_mm)
            take({here.at, {here.riser_x, here.at.y_mm}, {here.riser_x, y}});
    }
}

namespace {
/// Bends that are left when pieces that run on are joined.
int true_bends(const Track& track) {
    int bends = 0;
    int before = 0; // 1 level, 2 upright
    for (std::size_t i = 1; i < track.size(); ++i) {
        const bool level = track[i].x_mm != track[i - 1].x_mm;
        if (!level && track[i].y_mm == track[i - 1].y_mm)
            continue;
        const int now = level ? 1 : 2;
        bends += before != 0 && now != before ? 1 : 0;
        before = now;
    }
    return bends;
}
} // namespace

Candidates::Candidates(std::vector<Track>&& raw) : raw_(std::move(raw)) {
    heap_.reserve(raw_.size());
    for (std::size_t i = 0; i < raw_.size(); ++i)
        heap_.emplace_back(track_length_mm(raw_[i]) + bend_cost * true_bends(raw_[i]), i);
    std::make_heap(heap_.begin(), heap_.end(), std::greater<>());
}

const Track* Candidates::next(double under) {
    if (heap_.empty() || heap_.front().first >= under)
        return nullptr;
    std::pop_heap(heap_.begin(), heap_.end(), std::greater<>());
    const std::size_t index = heap_.back().second;
    heap_.pop_back();
    return &raw_[index];
}

Candidates Router::detours(const Job& job) const {
    std::vector<Track> raw;
    passages(job, raw);
    return Candidates(std::move(raw));
}

Candidates Router::candidates(const Job& job) const {
    std::vector<Track> raw;
    if (job.ends[0].loose || job.ends[1].loose) {
        loose_ends(job, raw);
    } else {
        steps(job, raw);
        bridges(job, raw);
        near_tags(job, raw);
    }
    return Candidates(std::move(raw));
}

} // namespace stoutloom::layout
