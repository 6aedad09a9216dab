// NEC table 310.17: single insulated conductors in free air, 30 degC.
#include "base/quantity.h"
#include "physics/thermal.h"
#include "published/tables.h"

#include <doctest/doctest.h>

#include <map>

namespace stoutloom {
namespace {

using physics::Mounting;
using published::Row;

struct Band {
    double low, high;
};
// Bands: 6 to 15 % of the table's own margin and older basis, plus half its 5 A step. See README.md here.
Band free_air_band(double section_mm2, double class_degc) {
    if (section_mm2 < 13)
        return {1.00, 1.26};
    if (class_degc == 60)
        return {1.00, 1.12};
    if (class_degc == 75)
        return {1.06, 1.17};
    return {1.10, 1.21};
}

/// Conductor diameter of chapter 9 table 8 and outside diameter of THHN of chapter 9 table 5, mm, both from
/// memory.
struct Diameters {
    double conductor_mm, outer_mm;
};
const std::map<std::string, Diameters>& building_wire() {
    static const std::map<std::string, Diameters> table = {
        {"14", {1.85, 2.82}},  {"12", {2.34, 3.30}},   {"10", {2.95, 4.17}},   {"8", {3.71, 5.49}},
        {"6", {4.67, 6.45}},   {"4", {5.89, 8.23}},    {"3", {6.60, 8.94}},    {"2", {7.42, 9.75}},
        {"1", {8.43, 11.33}},  {"1/0", {9.45, 12.34}}, {"2/0", {10.6, 13.51}}, {"3/0", {11.9, 14.83}},
        {"4/0", {13.4, 16.31}}};
    return table;
}

double predicted_a(const Row& row, Mounting mounting, bool building_geometry) {
    physics::ConductorOverrides overrides;
    if (building_geometry) {
        const Diameters& wire = building_wire().at(row.text("size"));
        overrides.conductor_diameter_m = wire.conductor_mm / 1000;
        overrides.outer_diameter_m = wire.outer_mm / 1000;
    }
    const auto conductor =
        physics::conductor_for(published::section_mm2(row.text("size"), row.text("unit")), overrides);
    REQUIRE(conductor.has_value());
    return physics::ampacity_a({.conductor = *conductor,
                                .insulation = {.class_degc = row.number("class_degc")},
                                .around = {.ambient_degc = row.number("ambient_degc"),
                                           .mounting = mounting,
                                           .loaded_cables = 1,
                                           .radiant_k = 0}});
}

void compare(const char* name, Mounting mounting, bool building_geometry) {
    published::Ratios ratios(name);
    for (const Row& row : published::rows_of("nec-310-17")) {
        const double amps = row.number("amps");
        const double computed_a = predicted_a(row, mounting, building_geometry);
        const Band band = mounting == Mounting::clear
                              ? free_air_band(published::section_mm2(row.text("size"), row.text("unit")),
                                              row.number("class_degc"))
                              : Band{0.86, 1.10};
        ratios.add(computed_a, amps);
        CAPTURE(row.text("size"));
        CAPTURE(row.text("class_degc"));
        CHECK(computed_a >= band.low * (amps - 2.5));
        CHECK(computed_a <= band.high * (amps + 2.5));
    }
    CHECK(ratios.cells() == 26);
}

} // namespace

TEST_CASE("NEC 310.17 in free air with the geometry of building wire") {
    compare("NEC 310.17, clear, building wire", Mounting::clear, true);
}
TEST_CASE("NEC 310.17 in free air with the default gauge geometry") {
    compare("NEC 310.17, clear, default geometry", Mounting::clear, false);
}
TEST_CASE("NEC 310.17 clipped to a surface with the geometry of building wire") {
    compare("NEC 310.17, clipped, building wire", Mounting::clipped, true);
}

} // namespace stoutloom
