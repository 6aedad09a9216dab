// IEC 60364-5-52 single-core cables in free air: the table whose lineage the model shares, arrangement by
// arrangement.
#include "physics/thermal.h"
#include "published/tables.h"

#include <doctest/doctest.h>

#include <cmath>
#include <map>
#include <numbers>

namespace stoutloom {
namespace {

using physics::SurfaceLaw;

// IEC 60287-2-1 table 3; G_vert needs the vertical spaced constants, not the single cable's.
const std::map<std::string, SurfaceLaw>& arrangements() {
    static const std::map<std::string, SurfaceLaw> table = {{"G_horiz", {0.21, 3.94, 0.60}},
                                                            {"F_2touch", {0.29, 2.35, 0.50}},
                                                            {"F_3flat", {0.62, 1.95, 0.25}},
                                                            {"F_trefoil", {0.96, 1.25, 0.20}},
                                                            {"G_vert", {1.31, 2.00, 0.20}}};
    return table;
}

struct Size {
    double r20_ohm_per_km, insulation_mm;
};
// IEC 60228 class 2 greatest resistance (read); insulation after IEC 60502-1 and a sheath of 1.45 mm (from
// memory).
const std::map<double, Size>& sizes() {
    static const std::map<double, Size> table = {{25, {0.727, 0.9}}, {35, {0.524, 0.9}}, {50, {0.387, 1.0}},
                                                 {70, {0.268, 1.1}}, {95, {0.193, 1.1}}, {120, {0.153, 1.2}}};
    return table;
}

physics::Conductor cable_of(double section_mm2) {
    const Size& size = sizes().at(section_mm2);
    const double conductor_m = std::sqrt(4 * section_mm2 / (std::numbers::pi * 0.80)) / 1000;
    return {.section_mm2 = section_mm2,
            .r20_ohm_per_m = size.r20_ohm_per_km / 1000,
            .conductor_diameter_m = conductor_m,
            .outer_diameter_m = conductor_m + 2 * (size.insulation_mm + 1.45) / 1000,
            .source = "IEC 60228 class 2"};
}

} // namespace

TEST_CASE("IEC 60364-5-52 single-core cables with the constants of their arrangement") {
    published::Ratios gated("IEC 60364-5-52, G horizontal and F, matching constants");
    published::Ratios vertical("IEC 60364-5-52, G vertical, vertical spaced constants");
    for (const published::Row& row : published::rows_of("iec-60364-5-52")) {
        const std::string& arrangement = row.text("arrangement");
        const double class_degc = row.number("class_degc");
        const double amps = row.number("amps");
        const double computed_a =
            physics::current_in_arrangement_a(cable_of(row.number("section_mm2")),
                                              {.law = arrangements().at(arrangement),
                                               .thermal_resistivity_km_per_w = class_degc == 90 ? 3.5 : 5.0,
                                               .ambient_degc = 30,
                                               .conductor_degc = class_degc});
        CAPTURE(row.text("section_mm2"));
        CAPTURE(arrangement);
        CAPTURE(class_degc);
        (arrangement == "G_vert" ? vertical : gated).add(computed_a, amps);
        CHECK(computed_a >= 0.95 * (amps - 0.5));
        CHECK(computed_a <= 1.05 * (amps + 0.5));
    }
    CHECK(gated.cells() == 32);
    CHECK(vertical.cells() == 8);
}

TEST_CASE("the constants of another arrangement leave the IEC band") {
    // The usual slip: a trefoil worked out as a single cable.
    const double computed_a =
        physics::current_in_arrangement_a(cable_of(120), {.law = arrangements().at("G_horiz"),
                                                          .thermal_resistivity_km_per_w = 3.5,
                                                          .ambient_degc = 30,
                                                          .conductor_degc = 90});
    CHECK(computed_a > 1.05 * 383); // F trefoil, 120 mm2, 90 degC
}

} // namespace stoutloom
