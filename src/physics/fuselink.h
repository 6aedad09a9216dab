// Fuse-links: operating-time gates as a band, ratings on sale, breaking capacity, rerating by ambient,
// resistance.
#pragma once

#include "base/outcome.h"

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace stoutloom::physics {

/// One type of fuse-link. `gates` are in rising multiple of rating; max_s infinite = must not operate within
/// min_s.
struct FuseGate {
    double multiple;
    double min_s, max_s;
};
struct FuseType {
    std::string_view name; // "SF51", "SF30", "C", "F", "E", "A", "B", "stud-cube", "flat-strip", "link-wire"
    std::string_view standard;  // "ISO 8820-5:2015"
    double rated_voltage_v;     // the lower where a type is sold in two
    double breaking_capacity_a; // at rated voltage; 0 where nobody states one
    std::span<const FuseGate> gates;
    std::span<const double> ratings_a; // on general sale, rising; empty for link-wire, which has no rating
    double conventional_multiple;      // I2 / In for IEC 60364-4-43: 1.35 blade, 1.5 SF30, 1.35 SF51
    double continuous_fraction;        // all-day load over rating at 23 degC: 0.80, SF51 0.75
    double fixing_pitch_m;             // 0.051 SF51, 0.030 SF30, 0 otherwise
    std::string_view stud;             // "M8" SF51, "M5" SF30
    std::string_view confidence;       // "read" | "from memory": printed wherever a gate is used
};
std::span<const FuseType> fuse_types();
const FuseType* fuse_type_by_name(std::string_view name);

/// Breaking capacity at a system voltage: 0 above the rated voltage; the greater low-voltage figure where one
/// is commonly stated (stud-cube 10 kA to 14 V, 5 kA to 32 V, 2 kA to 58 V; from memory).
double breaking_capacity_at_a(const FuseType& type, double system_v);

/// Band of operating time at `current_a`. Between gates both edges go log-log, above the last gate with
/// constant I^2 t. The slowest time is infinite below the first gate that must operate, the fastest infinite
/// below the first gate of all. Ambient widens the band only: heat speeds up the fastest edge, cold slows the
/// slowest; a hot ambient is no reason to trust that a fuse-link opens sooner. fastest_s <= slowest_s. Not a
/// number: {0, inf}.
struct OperatingBand {
    double fastest_s, slowest_s;
};
OperatingBand operating_band(const FuseType& type, double rating_a, double current_a, double ambient_degc);
/// Least current at which the slowest link of the type is sure to open in the end.
double least_fusing_current_a(const FuseType& type, double rating_a, double ambient_degc);
/// Factor on rating at an ambient, 1 at 23 degC; interpolated, held below the table, and above it falling on
/// at the slope of the last two rows (never under 0).
double ambient_factor(const FuseType& type, double ambient_degc);
/// All-day current: rating * continuous_fraction * ambient_factor.
double continuous_current_a(const FuseType& type, double rating_a, double ambient_degc);

/// Cold for fault currents, hot for drops. Rule of thumb where no table row is known; `assumed` says so.
struct FuseResistance {
    double cold_ohm, hot_ohm;
    bool assumed;
};
FuseResistance fuse_resistance(const FuseType& type, double rating_a);

} // namespace stoutloom::physics
