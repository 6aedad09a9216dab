// A whole route at once: stretches in their own surroundings, joined by the copper that runs through them.
//
// A short hot stretch gives heat to its cooler neighbours, and a hot stud warms the first part of its cable.
// Both are the fin equation k S T'' + I^2 R(T) - q(T) = 0, stretch by stretch, with one temperature and one
// heat flow where two meet; where the copper is cooler than the air it takes heat up by the same law. Each
// stretch is cut into pieces, short near its ends, and in each piece a tangent that lies below q(T) - I^2
// R(T) takes its place: the answer can only be too hot (by 0.6 K at most in the tests). Tangents are tried in
// turn, each time at the temperatures found before, and of every figure the least is kept.
#pragma once

#include "physics/thermal.h"

#include <optional>
#include <span>
#include <vector>

namespace stoutloom::physics {

struct RouteStretch {
    Stretch stretch;
    double length_m;
};
/// Temperature of the stud at each end, where it is known. An unknown end neither warms nor cools the cable.
struct StudHeat {
    std::optional<double> first_degc, last_degc;
};
struct StretchWarmth {
    double peak_degc; // hottest point of the conductor in this stretch
    double mean_degc; // over its length
};

/// Errors: a stretch that has no steady temperature of its own (its neighbours are not asked to save it), no
/// stretch, or a figure that is not a number.
base::Outcome<std::vector<StretchWarmth>, Runaway> route_warmth(std::span<const RouteStretch> route,
                                                                double current_a, const StudHeat& studs);
/// Current of one conductor at which some point of the route reaches the insulation's class, rounded down by
/// at most a millionth. 0 where a stud or the air of a stretch is at the class already.
double route_ampacity_a(std::span<const RouteStretch> route, const StudHeat& studs);

} // namespace stoutloom::physics
