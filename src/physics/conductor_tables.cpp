// Published conductor tables, typed once. tests/published/conductors holds the same figures with their
// passports.
#include "physics/conductor_tables.h"

#include <array>

namespace stoutloom::physics {
namespace {

// ISO 6722-1:2011 (the figures of ISO 19642-3): greatest resistance of uncoated copper at 20 degC, greatest
// outside diameter of the thick wall; 0.22 and 0.35 mm2 exist only with the thin wall. From memory. 150 to
// 240 mm2: IEC 60228 class 5 greatest resistance, from memory; outside diameter with the wall of 120 mm2
// kept.
constexpr std::array metric_table = {
    MetricRow{0.22, 84.8, 1.2},  MetricRow{0.35, 54.4, 1.4},  MetricRow{0.5, 37.1, 2.3},
    MetricRow{0.75, 24.7, 2.5},  MetricRow{1, 18.5, 2.7},     MetricRow{1.25, 14.9, 2.95},
    MetricRow{1.5, 12.7, 3.0},   MetricRow{2, 9.42, 3.3},     MetricRow{2.5, 7.60, 3.6},
    MetricRow{3, 6.15, 4.1},     MetricRow{4, 4.71, 4.4},     MetricRow{5, 3.94, 4.9},
    MetricRow{6, 3.14, 5.0},     MetricRow{8, 2.38, 5.9},     MetricRow{10, 1.82, 6.5},
    MetricRow{12, 1.52, 7.4},    MetricRow{16, 1.16, 8.3},    MetricRow{20, 0.955, 9.1},
    MetricRow{25, 0.743, 10.4},  MetricRow{30, 0.647, 10.9},  MetricRow{35, 0.527, 11.6},
    MetricRow{40, 0.473, 12.4},  MetricRow{50, 0.368, 13.5},  MetricRow{60, 0.315, 14.6},
    MetricRow{70, 0.259, 15.5},  MetricRow{95, 0.196, 18.0},  MetricRow{120, 0.153, 19.7},
    MetricRow{150, 0.129, 21.4}, MetricRow{185, 0.106, 23.2}, MetricRow{240, 0.0801, 25.7},
};

// NEC chapter 9 table 8, uncoated stranded copper, direct current at 75 degC (18 AWG from memory, the rest
// read). Walls: marine primary and battery cable practice.
constexpr std::array gauge_table = {
    GaugeRow{18, 7.95, 0.76},   GaugeRow{16, 4.99, 0.76},   GaugeRow{14, 3.14, 0.76},
    GaugeRow{12, 1.98, 0.76},   GaugeRow{10, 1.24, 0.76},   GaugeRow{8, 0.778, 1.14},
    GaugeRow{6, 0.491, 1.52},   GaugeRow{4, 0.308, 1.52},   GaugeRow{3, 0.245, 1.52},
    GaugeRow{2, 0.194, 1.52},   GaugeRow{1, 0.154, 2.03},   GaugeRow{0, 0.122, 2.03},
    GaugeRow{-1, 0.0967, 2.03}, GaugeRow{-2, 0.0766, 2.03}, GaugeRow{-3, 0.0608, 2.03},
};

} // namespace

std::span<const MetricRow> metric_rows() {
    return metric_table;
}
std::span<const GaugeRow> gauge_rows() {
    return gauge_table;
}

} // namespace stoutloom::physics
