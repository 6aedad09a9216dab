#include "layout/way_cost.h"

namespace stoutloom::layout {
namespace {
/// A lead round the fuse it comes from is redrawn by any draughtsman, a crossing is not.
constexpr double loop_cost = 150;
constexpr double given_up_cost = 3000;
constexpr double on_wrong_side_cost = 60;
} // namespace

double way_cost(const Arrangement& arrangement, const Routing& routing) {
    double cost = sheet_crossing_cost * routing.crossings + given_up_cost * routing.cut;
    for (const Routed& route : routing.routes) {
        const RunGlyph& run = arrangement.content->cables[route.cable];
        cost += 0.5 * track_length_mm(route.track) + 12.0 * track_bends(route.track);
        cost += runs_round(arrangement, route) ? loop_cost : 0;
        cost += on_wrong_side(arrangement, run, route.track) ? on_wrong_side_cost : 0;
    }
    for (const Leaving& leaving : arrangement.leaving)
        cost += leaving.away ? away_cost : 0;
    // The volt line is worth some crowding, not a missing label.
    const bool bare = arrangement.content->volt_line && !arrangement.volt_line && !arrangement.share.control;
    return cost + (bare ? 900 : 0);
}

} // namespace stoutloom::layout
