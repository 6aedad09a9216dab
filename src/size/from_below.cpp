#include "size/merging.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace stoutloom::size {

MergingAnswer cheapest_from_below(const MergingQuestion& question, double bound) {
    MergingAnswer all{.complete = true, .choice = {}, .effort = {}};
    MergingQuestion part = question;
    double hopeless_over = question.hopeless_over; // falls as better choices are come by on the way
    if (question.mend)
        part.mend = [&](const Assignment& near) { return hopeless_over = question.mend(near); };
    for (const double over : {0.0005, 0.002, 0.008, 0.03, 0.12, std::numeric_limits<double>::infinity()}) {
        const double asked = std::min(bound + over * (1 + std::abs(bound)), hopeless_over);
        const bool everything = asked >= hopeless_over;
        part.hopeless_over = asked;
        part.node_limit = question.node_limit - all.effort.nodes;
        part.step_limit = question.step_limit - all.effort.steps;
        MergingAnswer one = cheapest_by_merging(part);
        all.effort.nodes += one.effort.nodes;
        all.effort.steps += one.effort.steps;
        all.effort.bounded += one.effort.bounded;
        all.effort.impossible += one.effort.impossible;
        all.complete = one.complete;
        if (!one.complete || everything || one.choice) {
            all.choice = std::move(one.choice);
            return all;
        }
        bound = asked; // nothing costs less
        if (hopeless_over <= bound)
            return all; // what was come by on the way is cheapest
    }
    return all;
}

} // namespace stoutloom::size
