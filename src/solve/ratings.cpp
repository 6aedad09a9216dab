#include "solve/ratings.h"

#include "solve/cable_parts.h"

#include <algorithm>

namespace stoutloom::solve {

CableRating cable_rating(const model::Harness& harness, model::CableIndex cable) {
    const model::Cable& about = harness.cable(cable);
    CableRating rating;
    const auto stretches = stretches_of(harness, about);
    if (!stretches)
        return rating; // a section nobody can rate carries nothing
    for (const physics::Stretch& stretch : *stretches)
        rating.segments.push_back({.stretch = stretch, .ampacity_a = physics::ampacity_a(stretch)});
    const auto weakest = std::min_element(rating.segments.begin(), rating.segments.end(),
                                          [](const SegmentRating& left, const SegmentRating& right) {
                                              return left.ampacity_a < right.ampacity_a;
                                          });
    if (weakest == rating.segments.end())
        return rating;
    rating.hottest = static_cast<std::size_t>(weakest - rating.segments.begin());
    rating.ampacity_a = weakest->ampacity_a * about.parallel;
    rating.usable_a = rating.ampacity_a * model::limit_in_force(harness, "installed-margin").value;
    return rating;
}

} // namespace stoutloom::solve
