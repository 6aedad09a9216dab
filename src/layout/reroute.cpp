// The first ways are laid without knowing those that follow. Where two cross, or a label has no room, they
// are taken up and laid anew among all the others, and the new way is kept where it is the better.
#include "layout/pen.h"
#include "layout/router.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout {

bool cross(const Routed& a, const Routed& b) {
    for (std::size_t i = 1; i < a.track.size(); ++i)
        for (std::size_t k = 1; k < b.track.size(); ++k)
            if ((a.track[i].y_mm == a.track[i - 1].y_mm) != (b.track[k].y_mm == b.track[k - 1].y_mm) &&
                overlaps(box_around(a.track[i - 1], a.track[i]), box_around(b.track[k - 1], b.track[k]),
                         1e-6))
                return true;
    return false;
}

int Router::crossings() const {
    int count = 0;
    for (std::size_t i = 0; i < done_.size(); ++i)
        for (std::size_t k = i + 1; k < done_.size(); ++k)
            for (const Piece& mine : pieces_of(done_[i]))
                for (const Piece& its : pieces_of(done_[k]))
                    count += mine.level() != its.level() &&
                                     overlaps(box_around(mine.a, mine.b), box_around(its.a, its.b), 1e-6)
                                 ? 1
                                 : 0;
    return count;
}

void Router::keep_only(const std::vector<Routed>& routes) {
    done_.clear();
    pieces_.clear();
    tags_.clear();
    for (std::size_t i = 0; i < jobs_.size(); ++i)
        if (!routes[i].track.empty())
            put(jobs_[i], {0, routes[i].track, routes[i].reserved});
}

double Router::cost_of(const Job& job, const Routed& route) const {
    const std::optional<double> cost = price(job, route.track, 1e9);
    return (cost ? *cost : 1e9) +
           (route.reserved.width_mm > 0 ? 0 : (route.track.size() > 2 ? 3 : 1) * no_label_cost);
}

/// Takes the ways of these jobs up and lays them in this order; false, and nothing changed, when that is no
/// better. All ways are in `done_`, in the order of the jobs.
bool Router::lay_again(const std::vector<std::size_t>& order) {
    const std::vector<Routed> before = done_;
    std::vector<Routed> now = before;
    for (const std::size_t i : order)
        now[i].track.clear();
    keep_only(now);
    double old_cost = 0;
    for (const std::size_t i : order) {
        old_cost += cost_of(jobs_[i], before[i]);
        put(jobs_[i], {0, before[i].track, before[i].reserved});
    }
    keep_only(now);
    double new_cost = 0;
    for (const std::size_t i : order) {
        const Way way = cheapest(jobs_[i], true);
        new_cost += way.cost;
        if (way.track.empty() || new_cost > old_cost - 1) {
            keep_only(before);
            return false;
        }
        put(jobs_[i], way);
        now[i] = done_.back();
    }
    keep_only(now);
    return true;
}

/// Whether anything could be mended.
bool Router::improve() {
    constexpr int most_rounds = 3;
    bool any = false;
    for (int round = 0; round < most_rounds; ++round) {
        bool better = false;
        for (std::size_t i = 0; i < jobs_.size(); ++i) {
            const bool crosses = std::any_of(done_.begin(), done_.end(), [&](const Routed& other) {
                return other.cable != done_[i].cable && cross(done_[i], other);
            });
            if (crosses || done_[i].reserved.width_mm == 0)
                better = lay_again({i}) || better;
        }
        for (std::size_t i = 0; i < jobs_.size(); ++i)
            for (std::size_t k = i + 1; k < jobs_.size(); ++k)
                if (cross(done_[i], done_[k]))
                    better = lay_again({k, i}) || lay_again({i, k}) || better;
        any = any || better;
        if (!better)
            break;
    }
    return any;
}

} // namespace stoutloom::layout
