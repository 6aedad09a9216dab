#include "size/sleeves.h"

#include "physics/heat_shrink.h"

#include <algorithm>
#include <tuple>

namespace stoutloom::size {

std::vector<model::StockSleeve> sleeves_of(const model::Harness& harness) {
    if (!harness.stock.sleeves.empty())
        return harness.stock.sleeves;
    std::vector<model::StockSleeve> sleeves;
    for (const physics::ShrinkTube& tube :
         harness.units == model::UnitSystem::us ? physics::us_shrink_tubes() : physics::metric_shrink_tubes())
        sleeves.push_back({.expanded_m = tube.expanded_m,
                           .recovered_m = tube.recovered_m,
                           .lined = tube.lined,
                           .ordering = {}});
    return sleeves;
}

std::optional<model::StockSleeve> sleeve_for(const std::vector<model::StockSleeve>& stock,
                                             const SleeveWanted& wanted) {
    std::vector<model::StockSleeve> fitting;
    for (const model::StockSleeve& sleeve : stock)
        if ((sleeve.lined || !wanted.wet) &&
            physics::fits({sleeve.expanded_m, sleeve.recovered_m, sleeve.lined},
                          {wanted.thickest_m, wanted.thinnest_m}))
            fitting.push_back(sleeve);
    if (fitting.empty())
        return std::nullopt;
    const bool priced = std::all_of(fitting.begin(), fitting.end(), [](const model::StockSleeve& sleeve) {
        return sleeve.ordering.price.has_value();
    });
    const auto rank = [&](const model::StockSleeve& sleeve) {
        return std::tuple(priced ? *sleeve.ordering.price : 0.0, sleeve.lined, sleeve.expanded_m);
    };
    // The first of equals: what the file itself lists comes before the stock it includes.
    return *std::min_element(fitting.begin(), fitting.end(),
                             [&](const auto& a, const auto& b) { return rank(a) < rank(b); });
}

} // namespace stoutloom::size
