// Areas and resistances against ASTM B258, GNU units, NEC chapter 9 table 8, IEC 60228 and ISO 6722-1.
#include "base/quantity.h"
#include "physics/conductor.h"
#include "published/tables.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <charconv>
#include <cmath>
#include <numbers>

namespace stoutloom {
namespace {

using published::Row;

int gauge_of(const std::string& size) {
    if (size.ends_with("/0"))
        return 1 - (size[0] - '0');
    int gauge = 0;
    std::from_chars(size.data(), size.data() + size.size(), gauge);
    return gauge;
}

physics::Conductor conductor(double section_mm2) {
    const auto made = physics::conductor_for(section_mm2);
    REQUIRE(made.has_value());
    return *made;
}

/// Diameter of a gauge in mm after GNU units. The tests cannot run without it: tests/run installs it.
double units_diameter_mm(int gauge) {
    // In GNU units 1/0 is gauge 0, 2/0 is -1 and so on, as with us.
    const auto ran = testing::run({"units", "-t", "wiregauge(" + std::to_string(gauge) + ")", "mm"});
    REQUIRE_MESSAGE(ran.exit_code == 0, "GNU units failed: ", ran.out, ran.err);
    double value = 0;
    const auto [end, error] = std::from_chars(ran.out.data(), ran.out.data() + ran.out.size(), value);
    REQUIRE(error == std::errc{});
    return value;
}

} // namespace

TEST_CASE("gauge areas against ASTM B258") {
    published::Ratios ratios("ASTM B258 areas");
    for (const Row& row : published::rows_of("conductors")) {
        if (row.text("standard") != "ASTM B258 solid")
            continue;
        const double area = base::awg_section_mm2(gauge_of(row.text("size")));
        ratios.add(area, row.number("area_mm2"));
        CHECK(std::abs(area / row.number("area_mm2") - 1) < 5e-4); // printed with four digits
    }
    CHECK(ratios.cells() == 24);
}

TEST_CASE("gauge areas against GNU units") {
    REQUIRE_MESSAGE(testing::have_program("units"), "install the package units");
    published::Ratios ratios("GNU units wiregauge() areas");
    for (int gauge = -3; gauge <= 30; ++gauge) {
        const double diameter_mm = units_diameter_mm(gauge);
        const double area = std::numbers::pi / 4 * diameter_mm * diameter_mm;
        ratios.add(base::awg_section_mm2(gauge), area);
        CAPTURE(gauge);
        CHECK(std::abs(base::awg_section_mm2(gauge) / area - 1) < 1e-4); // units prints eight digits
    }
    CHECK(ratios.cells() == 34);
}

TEST_CASE("stranded gauge resistance against NEC chapter 9 table 8 at 75 degC") {
    published::Ratios table("NEC chapter 9 table 8 at 75 degC");
    published::Ratios solid("the same over solid copper of ASTM B258 at 20 degC");
    for (const Row& row : published::rows_of("conductors")) {
        if (row.text("standard") != "NEC Ch.9 Table 8")
            continue;
        const physics::Conductor made = conductor(published::section_mm2(row.text("size"), row.text("unit")));
        const double at_75 = physics::resistance_ohm_per_m(made, 75) * 1000;
        table.add(at_75, row.number("resistance_ohm_per_km"));
        // 0.06 %: the table's three or four digits, and 0.00393 against 1 / 254.5.
        CHECK(std::abs(at_75 / row.number("resistance_ohm_per_km") - 1) < 6e-4);
        const double solid_ohm = 17.241e-3 / made.section_mm2; // IEC 60028
        solid.add(made.r20_ohm_per_m, solid_ohm);
        CHECK(made.r20_ohm_per_m > 1.01 * solid_ohm); // lay of the strands, ASTM B8: about 2 %
        CHECK(made.r20_ohm_per_m < 1.03 * solid_ohm);
    }
    CHECK(table.cells() == 15);
}

TEST_CASE("metric resistance against ISO 6722-1 and IEC 60228") {
    published::Ratios iso("ISO 6722-1 greatest resistance (memory)");
    published::Ratios class_5("IEC 60228 class 5 plain");
    published::Ratios outside("ISO 6722-1 thick wall outside diameter (memory)");
    for (const Row& row : published::rows_of("conductors")) {
        const bool is_iso = row.text("standard").starts_with("ISO 6722-1");
        const bool is_class_5 =
            row.text("standard") == "IEC 60228 class 5" && row.text("kind") == "max plain";
        if (!is_iso && !is_class_5)
            continue;
        const physics::Conductor made = conductor(row.number("area_mm2"));
        const double r20 = made.r20_ohm_per_m * 1000;
        const double published_r20 = row.number("resistance_ohm_per_km");
        if (is_iso) {
            iso.add(r20, published_r20);
            CHECK(r20 == doctest::Approx(published_r20).epsilon(1e-9));
            if (const auto outer_mm = row.number_if_any("od_thick_mm")) {
                outside.add(made.outer_diameter_m * 1000, *outer_mm);
                CHECK(made.outer_diameter_m * 1000 == doctest::Approx(*outer_mm).epsilon(1e-9));
            }
        } else {
            class_5.add(r20, published_r20);
            // Road-vehicle cable may be up to 7 % better than class 5; never worse than 2 % (30 mm2 is no row
            // here).
            CHECK(r20 <= 1.02 * published_r20);
            CHECK(r20 >= 0.93 * published_r20);
        }
    }
    CHECK(iso.cells() == 26);
    CHECK(class_5.cells() == 15);
}

TEST_CASE("strand fill against a published table of fine-stranded wire") {
    // Independent of the standards: dc = od - 2 wall of a catalogue. Our 0.72 lies between its fine and its
    // rope lays.
    published::Ratios fill("strand fill 0.72 over the catalogue's fill");
    for (const Row& row : published::rows_of("conductors")) {
        if (!row.text("standard").starts_with("thin-wall"))
            continue;
        const double diameter_mm = row.number("dia_conductor_mm");
        const double published_fill =
            4 * row.number("area_mm2") / (std::numbers::pi * diameter_mm * diameter_mm);
        const physics::Conductor made = conductor(row.number("area_mm2"));
        const double ours = 4 * made.section_mm2 * 1e-6 /
                            (std::numbers::pi * made.conductor_diameter_m * made.conductor_diameter_m);
        fill.add(ours, published_fill);
        CHECK(ours > 0.90 * published_fill);
        CHECK(ours <
              1.32 *
                  published_fill); // rope lay from 10 mm2 up is looser; a thicker wall is the careful error
    }
    CHECK(fill.cells() == 15);
}

} // namespace stoutloom
