#include "solve/temperatures.h"

#include "physics/shorttime.h"
#include "solve/assumed.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::solve {

CableHeat heat_at(const CableParts& parts, double current_a, const ShortDuty* short_duty, std::size_t cable) {
    CableHeat heat;
    const double run_a = std::abs(current_a) / parts.parallel;
    for (std::size_t i = 0; i < parts.stretches.size(); ++i) {
        const physics::Stretch& stretch = parts.stretches[i];
        double degc = runaway_degc;
        if (short_duty != nullptr) {
            degc = physics::temperature_after_degc(stretch, {.start_degc = short_duty->start_degc[cable][i],
                                                             .current_a = run_a,
                                                             .duration_s = short_duty->duration_s});
        } else if (const auto steady = physics::steady_temperature_degc(stretch, run_a)) {
            degc = *steady;
        }
        heat.runaway = heat.runaway || !(degc < runaway_degc);
        heat.segment_degc.push_back(degc < runaway_degc ? degc : runaway_degc);
    }
    return heat;
}

std::vector<double> ambient_of(const CableParts& parts) {
    std::vector<double> ambient;
    for (const physics::Stretch& stretch : parts.stretches)
        ambient.push_back(stretch.around.ambient_degc + std::max(stretch.around.radiant_k, 0.0));
    return ambient;
}

double hottest_degc(const model::Cable& cable, const CableHeat& heat) {
    double hottest = *std::max_element(heat.segment_degc.begin(), heat.segment_degc.end());
    // Copper at a hot stud is as hot as the stud, whatever the current.
    for (const model::CableEnd* end : {&cable.from, &cable.to})
        if (end->joint_degc)
            hottest = std::max(hottest, end->joint_degc->value);
    return hottest;
}

} // namespace stoutloom::solve
