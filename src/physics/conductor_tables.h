// The published rows behind conductor_for(); internal to the room.
#pragma once

#include <span>

namespace stoutloom::physics {

struct MetricRow {
    double section_mm2;
    double r20_mohm_per_m;    // greatest, at 20 degC
    double outer_diameter_mm; // greatest, thick wall
};
struct GaugeRow {
    int gauge;              // 0 = 1/0, -3 = 4/0
    double r75_ohm_per_kft; // stranded, uncoated, at 75 degC
    double wall_mm;
};
std::span<const MetricRow> metric_rows(); // rising section
std::span<const GaugeRow> gauge_rows();   // rising section (falling gauge)

} // namespace stoutloom::physics
