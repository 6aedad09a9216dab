#include "physics/heat_shrink.h"

#include "base/quantity.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace stoutloom::physics {
namespace {

// Rounded to 0.1 mm as the data sheet prints them; the bore as sold never up, the shrunk one never down.
constexpr std::array metric = {
    ShrinkTube{0.0032, 0.0016, false}, ShrinkTube{0.0048, 0.0024, false}, ShrinkTube{0.0064, 0.0032, false},
    ShrinkTube{0.0095, 0.0048, false}, ShrinkTube{0.0127, 0.0064, false}, ShrinkTube{0.0190, 0.0095, false},
    ShrinkTube{0.0254, 0.0127, false}, ShrinkTube{0.0381, 0.0191, false}, ShrinkTube{0.0508, 0.0254, false},
    ShrinkTube{0.0762, 0.0381, false}, ShrinkTube{0.003, 0.001, true},    ShrinkTube{0.006, 0.002, true},
    ShrinkTube{0.009, 0.003, true},    ShrinkTube{0.012, 0.004, true},    ShrinkTube{0.019, 0.006, true},
    ShrinkTube{0.024, 0.008, true},    ShrinkTube{0.039, 0.013, true},
};

constexpr ShrinkTube inches(double expanded_in, double ratio, bool lined) {
    return {expanded_in * base::metre_per_inch, expanded_in * base::metre_per_inch / ratio, lined};
}
constexpr std::array us = {
    inches(0.125, 2, false), inches(0.1875, 2, false), inches(0.25, 2, false), inches(0.375, 2, false),
    inches(0.5, 2, false),   inches(0.75, 2, false),   inches(1.0, 2, false),  inches(1.5, 2, false),
    inches(2.0, 2, false),   inches(3.0, 2, false),    inches(0.125, 3, true), inches(0.1875, 3, true),
    inches(0.25, 3, true),   inches(0.375, 3, true),   inches(0.5, 3, true),   inches(0.75, 3, true),
    inches(1.0, 3, true),    inches(1.5, 3, true),
};

constexpr double lengthwise_shrinking = 0.15, overlap_diameters = 1.5, least_overlap_m = 0.020,
                 cut_step_m = 0.005, dust = 1e-9;

} // namespace

std::span<const ShrinkTube> metric_shrink_tubes() {
    return metric;
}

std::span<const ShrinkTube> us_shrink_tubes() {
    return us;
}

bool fits(const ShrinkTube& tube, const Covered& covered) {
    return covered.thickest_m <= tube.expanded_m * (1 - least_shrinking) + dust &&
           covered.thinnest_m >= tube.recovered_m * (1 + least_shrink_left) - dust;
}

ShrinkTube tube_wanted(const Covered& covered) {
    constexpr double step_m = 0.0001;
    return {.expanded_m = std::ceil(covered.thickest_m / (1 - least_shrinking) / step_m - dust) * step_m,
            .recovered_m = std::floor(covered.thinnest_m / (1 + least_shrink_left) / step_m + dust) * step_m,
            .lined = false};
}

double sleeve_cut_m(const SleeveOver& over) {
    const double covered_m =
        over.barrel_length_m + std::max(least_overlap_m, overlap_diameters * over.cable_diameter_m);
    return std::ceil(covered_m / (1 - lengthwise_shrinking) / cut_step_m - dust) * cut_step_m;
}

} // namespace stoutloom::physics
