// Parts that only resistances join to the rest: a warning lamp and the exciter behind it. Their currents are
// next to nothing, but an interval that does not know it blurs all others.
#include "size/duty_bounds.h"

#include <limits>
#include <map>
#include <numeric>

namespace stoutloom::size {

void DutyBounds::find_hanging() {
    if (!reference_)
        return;
    const auto component = [&](int node) { return graph_.component[static_cast<std::size_t>(node)]; };
    const int plus = component(graph_.appliances[*reference_].plus),
              minus = component(graph_.appliances[*reference_].minus);
    // Components that appliances join, those of the reference source aside.
    std::vector<int> group(graph_.balance.size());
    std::iota(group.begin(), group.end(), 0);
    const auto driven = [&](int node) { return component(node) == plus || component(node) == minus; };
    const auto group_of = [&](int node) { return group[static_cast<std::size_t>(component(node))]; };
    for (const Appliance& one : graph_.appliances)
        if (!driven(one.plus) && !driven(one.minus))
            std::replace(group.begin(), group.end(), group_of(one.plus), group_of(one.minus));
    std::map<int, Hanging> found;
    std::vector<bool> passive(graph_.balance.size(), true);
    for (std::size_t k = 0; k < graph_.appliances.size(); ++k) {
        const Appliance& one = graph_.appliances[k];
        if (driven(one.plus) && driven(one.minus))
            continue;
        const int which = group_of(driven(one.plus) ? one.minus : one.plus);
        if (one.port) {
            passive[static_cast<std::size_t>(which)] = false;
            continue;
        }
        Hanging& hanging = found[which];
        hanging.appliances.push_back(k);
        for (const int node : {one.plus, one.minus}) {
            if (!driven(node))
                continue;
            const bool live = component(node) == plus;
            const auto way = live ? graph_.way(graph_.appliances[*reference_].plus, node)
                                  : graph_.way(node, graph_.appliances[*reference_].minus);
            note_pairs(*way);
            hanging.anchors.emplace_back(*way, live);
        }
    }
    for (auto& [which, hanging] : found)
        if (passive[static_cast<std::size_t>(which)] && plus != minus)
            hanging_.push_back(std::move(hanging));
}

bool DutyBounds::narrow_hanging(std::string& why) {
    for (const Hanging& hanging : hanging_) {
        // Potentials of the anchors over the reference source's minus.
        Interval among{std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};
        for (const auto& [way, live] : hanging.anchors)
            among = hull(among, live ? known_.volts_v[*reference_] - way_v(way) : way_v(way));
        const double most_v = hanging.anchors.empty() ? 0 : width(among);
        for (const std::size_t k : hanging.appliances) {
            if (narrow(known_.volts_v[k], {-most_v, most_v}))
                continue;
            why = "the volts of a part without a source";
            return false;
        }
    }
    return true;
}

} // namespace stoutloom::size
