// Fuse-link types: gates, limits, ratings. The time tables are from memory: no bought copy of the standards
// was at hand.
#include "physics/fuse_table.h"

#include <array>
#include <limits>

namespace stoutloom::physics {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();
constexpr double hours_100 = 360000;

// ISO 8820-3 types C and F.
constexpr std::array blade_gates = {FuseGate{1.10, hours_100, never}, FuseGate{1.35, 0.75, 600},
                                    FuseGate{1.60, 0.25, 50},         FuseGate{2.00, 0.15, 5},
                                    FuseGate{3.50, 0.04, 0.5},        FuseGate{6.00, 0.02, 0.1}};
// ISO 8820-3 type E.
constexpr std::array large_blade_gates = {FuseGate{1.10, hours_100, never}, FuseGate{1.35, 60, 1800},
                                          FuseGate{2.00, 2, 60}, FuseGate{3.50, 0.2, 7},
                                          FuseGate{6.00, 0.04, 1}};
// ISO 8820-4 types A and B.
constexpr std::array cartridge_gates = {FuseGate{1.10, hours_100, never}, FuseGate{1.35, 60, 1800},
                                        FuseGate{2.00, 4, 100}, FuseGate{3.50, 0.2, 7},
                                        FuseGate{6.00, 0.04, 1}};
// ISO 8820-5 type SF51.
constexpr std::array strip_51_gates = {FuseGate{0.75, hours_100, never}, FuseGate{1.00, 14400, never},
                                       FuseGate{1.35, 120, 1800},        FuseGate{2.00, 1, 15},
                                       FuseGate{3.50, 0.3, 5},           FuseGate{6.00, 0.1, 1}};
// ISO 8820-5 type SF30: two remembered series disagree (150 % 90..3600, 200 % 3..100, 300 % 0.3..3, 500 %
// 0.1..1 against 135 % 60..1800, 200 % 1..15, 350 % 0.3..5); this is the hull of both, the wider band at
// every current.
constexpr std::array strip_30_gates = {FuseGate{0.75, hours_100, never}, FuseGate{1.10, 14400, never},
                                       FuseGate{1.35, 60, never},        FuseGate{1.50, 20, 3600},
                                       FuseGate{2.00, 1, 100},           FuseGate{3.00, 0.3, 7},
                                       FuseGate{3.50, 0.2, 5},           FuseGate{5.00, 0.1, 2}};
// Boat cube fuses have no public time table: the single-bolt figures of ISO 8820-6 stand in.
constexpr std::array cube_gates = {FuseGate{1.00, 14400, never}, FuseGate{1.35, 60, 1800},
                                   FuseGate{2.00, 1, 60}, FuseGate{3.50, 0.1, 5}, FuseGate{6.00, 0.02, 1}};
// Bolted flat-strip limiters of boats: wider still around the one remembered figure at 200 %.
constexpr std::array limiter_gates = {FuseGate{1.00, 14400, never}, FuseGate{1.35, 10, 3600},
                                      FuseGate{2.00, 0.5, 100}, FuseGate{3.50, 0.05, 5},
                                      FuseGate{6.00, 0.01, 1}};
// Fusible link wire is not rated in amperes; this wide band only keeps it from being trusted.
constexpr std::array wire_gates = {FuseGate{1.00, 14400, never}, FuseGate{2.00, 2, never},
                                   FuseGate{3.50, 0.5, 60}, FuseGate{6.00, 0.1, 10}};

constexpr std::array c_ratings = {1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0};
constexpr std::array f_ratings = {2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0};
constexpr std::array e_ratings = {20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0};
constexpr std::array sf30_ratings = {30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0, 125.0, 150.0};
constexpr std::array sf51_ratings = {60.0,  80.0,  100.0, 125.0, 150.0, 175.0, 200.0,
                                     225.0, 250.0, 300.0, 350.0, 400.0, 500.0};
constexpr std::array cartridge_ratings = {20.0, 25.0, 30.0,  40.0,  50.0, 60.0,
                                          70.0, 80.0, 100.0, 120.0, 140.0};
constexpr std::array cube_ratings = {30.0,  40.0,  50.0,  60.0,  75.0,  80.0,  90.0, 100.0,
                                     125.0, 150.0, 175.0, 200.0, 225.0, 250.0, 300.0};
constexpr std::array limiter_ratings = {35.0,  40.0,  50.0,  60.0,  80.0,  100.0, 125.0, 150.0, 175.0, 200.0,
                                        225.0, 250.0, 275.0, 300.0, 325.0, 350.0, 400.0, 500.0, 600.0, 750.0};

constexpr std::string_view remembered = "from memory";
constexpr std::string_view doubtful = "from memory, doubtful: ask for the data sheet";

constexpr std::array types = {
    FuseType{.name = "SF51",
             .standard = "ISO 8820-5:2015",
             .rated_voltage_v = 32,
             .breaking_capacity_a = 2000,
             .gates = strip_51_gates,
             .ratings_a = sf51_ratings,
             .conventional_multiple = 1.35,
             .continuous_fraction = 0.75,
             .fixing_pitch_m = 0.051,
             .stud = "M8",
             .confidence = remembered},
    FuseType{.name = "SF30",
             .standard = "ISO 8820-5:2015",
             .rated_voltage_v = 32,
             .breaking_capacity_a = 2000,
             .gates = strip_30_gates,
             .ratings_a = sf30_ratings,
             .conventional_multiple = 1.5,
             .continuous_fraction = 0.80,
             .fixing_pitch_m = 0.030,
             .stud = "M5",
             .confidence = doubtful},
    FuseType{.name = "C",
             .standard = "ISO 8820-3:2015",
             .rated_voltage_v = 32,
             .breaking_capacity_a = 1000,
             .gates = blade_gates,
             .ratings_a = c_ratings,
             .conventional_multiple = 1.35,
             .continuous_fraction = 0.80,
             .fixing_pitch_m = 0,
             .stud = "blade 6.3",
             .confidence = remembered},
    FuseType{.name = "F",
             .standard = "ISO 8820-3:2015",
             .rated_voltage_v = 32,
             .breaking_capacity_a = 1000,
             .gates = blade_gates,
             .ratings_a = f_ratings,
             .conventional_multiple = 1.35,
             .continuous_fraction = 0.80,
             .fixing_pitch_m = 0,
             .stud = "blade 2.8",
             .confidence = remembered},
    FuseType{.name = "E",
             .standard = "ISO 8820-3:2015",
             .rated_voltage_v = 32,
             .breaking_capacity_a = 1000,
             .gates = large_blade_gates,
             .ratings_a = e_ratings,
             .conventional_multiple = 1.35,
             .continuous_fraction = 0.80,
             .fixing_pitch_m = 0,
             .stud = "blade 9.5",
             .confidence = remembered},
    FuseType{.name = "A",
             .standard = "ISO 8820-4:2016",
             .rated_voltage_v = 32,
             .breaking_capacity_a = 1000,
             .gates = cartridge_gates,
             .ratings_a = cartridge_ratings,
             .conventional_multiple = 1.35,
             .continuous_fraction = 0.80,
             .fixing_pitch_m = 0,
             .stud = "blade 9.5",
             .confidence = doubtful},
    FuseType{.name = "B",
             .standard = "ISO 8820-4:2016",
             .rated_voltage_v = 32,
             .breaking_capacity_a = 1000,
             .gates = cartridge_gates,
             .ratings_a = cartridge_ratings,
             .conventional_multiple = 1.35,
             .continuous_fraction = 0.80,
             .fixing_pitch_m = 0,
             .stud = "M5",
             .confidence = doubtful},
    FuseType{.name = "stud-cube",
             .standard = "no public time table; ISO 8820-6 figures stand in",
             .rated_voltage_v = 58,
             .breaking_capacity_a = 2000,
             .gates = cube_gates,
             .ratings_a = cube_ratings,
             .conventional_multiple = 1.35,
             .continuous_fraction = 0.80,
             .fixing_pitch_m = 0,
             .stud = "M8",
             .confidence = doubtful},
    FuseType{.name = "flat-strip",
             .standard = "no public time table",
             .rated_voltage_v = 32,
             .breaking_capacity_a = 2700,
             .gates = limiter_gates,
             .ratings_a = limiter_ratings,
             .conventional_multiple = 1.35,
             .continuous_fraction = 0.80,
             .fixing_pitch_m = 0,
             .stud = "M8",
             .confidence = doubtful},
    FuseType{.name = "link-wire",
             .standard = "not rated in amperes; four gauges under the wire it protects",
             .rated_voltage_v = 32,
             .breaking_capacity_a = 0,
             .gates = wire_gates,
             .ratings_a = {},
             .conventional_multiple = 3.5,
             .continuous_fraction = 0.75,
             .fixing_pitch_m = 0,
             .stud = "splice",
             .confidence = doubtful},
};

// One maker's family of type C; 1, 2, 4 and 10 A read, the others from memory.
constexpr std::array blade_rows = {
    FuseResistanceRow{1, 0.123, 0.176},   FuseResistanceRow{2, 0.0535, 0.141},
    FuseResistanceRow{3, 0.0311, 0.137},  FuseResistanceRow{4, 0.0228, 0.136},
    FuseResistanceRow{5, 0.0179, 0.128},  FuseResistanceRow{7.5, 0.0109, 0.116},
    FuseResistanceRow{10, 0.0077, 0.109}, FuseResistanceRow{15, 0.0048, 0.102},
    FuseResistanceRow{20, 0.0034, 0.098}, FuseResistanceRow{25, 0.0025, 0.092},
    FuseResistanceRow{30, 0.0020, 0.084}, FuseResistanceRow{40, 0.0014, 0.096},
};

// Typical rerating curves: about -0.2 %/K for blades, -0.3 %/K for time-lag strips with a tin spot. From
// memory.
constexpr std::array blade_ambient = {AmbientRow{-40, 1.10}, AmbientRow{0, 1.04},  AmbientRow{23, 1.00},
                                      AmbientRow{60, 0.93},  AmbientRow{85, 0.88}, AmbientRow{105, 0.83},
                                      AmbientRow{125, 0.78}};
constexpr std::array strip_ambient = {AmbientRow{-40, 1.15}, AmbientRow{0, 1.06},  AmbientRow{23, 1.00},
                                      AmbientRow{60, 0.89},  AmbientRow{85, 0.80}, AmbientRow{105, 0.73},
                                      AmbientRow{125, 0.65}};

} // namespace

std::span<const FuseType> fuse_types() {
    return types;
}
std::span<const FuseResistanceRow> blade_resistance_rows() {
    return blade_rows;
}

std::span<const AmbientRow> ambient_rows(const FuseType& type) {
    if (type.name == "C" || type.name == "F" || type.name == "E")
        return blade_ambient;
    return strip_ambient;
}

} // namespace stoutloom::physics
