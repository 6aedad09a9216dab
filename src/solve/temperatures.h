// Cable temperatures from currents: steady, or at the end of a short duty. Room-internal.
#pragma once

#include "solve/cable_parts.h"
#include "solve/solved.h"

namespace stoutloom::solve {

/// What a cable is warmed by before a short duty begins; empty for a continuous duty.
struct ShortDuty {
    double duration_s = 0;
    std::vector<std::vector<double>> start_degc; // by cable, by segment
};

/// Temperature each segment tends to at a whole-cable current, for its resistance: what it would have alone,
/// or its mean with the studs' heat where that is more. Held at `runaway_degc` where none exists.
CableHeat heat_at(const CableParts& parts, double current_a, const ShortDuty* short_duty, std::size_t cable);
/// Ambient of each segment, radiant heat included.
std::vector<double> ambient_of(const CableParts& parts);
/// Hottest point of each segment: steady with the heat that flows along the copper, neighbours and studs
/// included; in a short duty its own temperature, the studs' at the ends.
std::vector<double> peaks_of(const CableParts& parts, const CableHeat& heat, double current_a,
                             bool short_duty);

} // namespace stoutloom::solve
