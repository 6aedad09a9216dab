// Model and table side by side; the lesser is what a cable may carry.
#include "solve/ratings.h"

#include "physics/regulation.h"
#include "solve/cable_parts.h"

#include <algorithm>

namespace stoutloom::solve {
namespace {

/// The stretch with the hottest point at the whole route's ampacity.
std::size_t hottest_stretch(const CableParts& parts, double run_a) {
    const auto warmth = physics::route_warmth(parts.route(), run_a, parts.studs);
    if (!warmth)
        return 0;
    const auto hottest =
        std::max_element(warmth->begin(), warmth->end(),
                         [](const auto& one, const auto& other) { return one.peak_degc < other.peak_degc; });
    return static_cast<std::size_t>(hottest - warmth->begin());
}

TableRating table_rating(const model::Harness& harness, const model::Cable& cable, const CableParts& parts) {
    TableRating least;
    for (std::size_t i = 0; i < parts.stretches.size(); ++i) {
        const physics::Stretch& stretch = parts.stretches[i];
        const auto allowed = physics::regulation_allowance(
            cable.section_mm2.value, cable.insulation.class_degc,
            {.ambient_degc = stretch.around.ambient_degc + std::max(stretch.around.radiant_k, 0.0),
             .engine_space = harness.zone(cable.segments[i].zone).engine_space,
             .loaded_cables = stretch.around.loaded_cables});
        const double usable_a = allowed.current_a * cable.parallel;
        if (i == 0 || usable_a < least.usable_a)
            least = {.usable_a = usable_a, .stretch = i, .source = allowed.source};
    }
    if (cable.parallel > 1)
        least.source += " x " + std::to_string(cable.parallel) + " in parallel";
    return least;
}

} // namespace

CableRating cable_rating(const model::Harness& harness, model::CableIndex cable) {
    const model::Cable& about = harness.cable(cable);
    CableRating rating;
    const auto parts = cable_parts(harness, cable, at_worst());
    if (!parts || parts->stretches.empty())
        return rating; // a section nobody can rate carries nothing
    for (const physics::Stretch& stretch : parts->stretches)
        rating.segments.push_back({.stretch = stretch, .ampacity_a = physics::ampacity_a(stretch)});
    const double run_a = physics::route_ampacity_a(parts->route(), parts->studs);
    const auto weakest = std::min_element(rating.segments.begin(), rating.segments.end(),
                                          [](const SegmentRating& left, const SegmentRating& right) {
                                              return left.ampacity_a < right.ampacity_a;
                                          });
    rating.hottest = run_a > 0 ? hottest_stretch(*parts, run_a)
                               : static_cast<std::size_t>(weakest - rating.segments.begin());
    rating.ampacity_a = run_a * about.parallel;
    rating.model_usable_a = rating.ampacity_a * model::limit_in_force(harness, "installed-margin").value;
    rating.usable_a = rating.model_usable_a;
    if (harness.profile == model::Profile::boat) {
        rating.table = table_rating(harness, about, *parts);
        rating.usable_a = std::min(rating.model_usable_a, rating.table->usable_a);
    }
    return rating;
}

} // namespace stoutloom::solve
