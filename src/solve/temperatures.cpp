#include "solve/temperatures.h"

#include "physics/shorttime.h"
#include "solve/assumed.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::solve {
namespace {

bool has_stud(const CableParts& parts) {
    return parts.studs.first_degc || parts.studs.last_degc;
}

/// A stud warms more than a point: the mean of its stretch rises, and the resistance with it.
void warm_by_studs(const CableParts& parts, double run_a, CableHeat& heat) {
    const auto warmth = physics::route_warmth(parts.route(), run_a, parts.studs);
    for (std::size_t i = 0; warmth && i < heat.segment_degc.size(); ++i)
        heat.segment_degc[i] = std::max(heat.segment_degc[i], (*warmth)[i].mean_degc);
}

} // namespace

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
    if (short_duty == nullptr && !heat.runaway && has_stud(parts))
        warm_by_studs(parts, run_a, heat);
    return heat;
}

std::vector<double> ambient_of(const CableParts& parts) {
    std::vector<double> ambient;
    for (const physics::Stretch& stretch : parts.stretches)
        ambient.push_back(stretch.around.ambient_degc + std::max(stretch.around.radiant_k, 0.0));
    return ambient;
}

std::vector<double> peaks_of(const CableParts& parts, const CableHeat& heat, double current_a,
                             bool short_duty) {
    std::vector<double> peaks = heat.segment_degc;
    if (!short_duty && !heat.runaway && (parts.stretches.size() > 1 || has_stud(parts)))
        if (const auto warmth = physics::route_warmth(parts.route(), current_a / parts.parallel, parts.studs))
            for (std::size_t i = 0; i < peaks.size(); ++i)
                peaks[i] = (*warmth)[i].peak_degc;
    // Copper at a hot stud is as hot as the stud, whatever the current.
    if (!peaks.empty()) {
        peaks.front() = std::max(peaks.front(), parts.studs.first_degc.value_or(peaks.front()));
        peaks.back() = std::max(peaks.back(), parts.studs.last_degc.value_or(peaks.back()));
    }
    return peaks;
}

} // namespace stoutloom::solve
