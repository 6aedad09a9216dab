// The boat regulation's table as the program holds it, against a second reading of it, and what happens
// between its rows and columns.
#include "physics/regulation.h"
#include "published/tables.h"

#include <doctest/doctest.h>

namespace stoutloom {
namespace {

double allowed_a(double section_mm2, double class_degc, const physics::TablePlace& place = {30, false, 1}) {
    return physics::regulation_allowance(section_mm2, class_degc, place).current_a;
}

} // namespace

TEST_CASE("the boat regulation holds cell by cell") {
    published::Ratios outside("33 CFR 183.425 table 5, as held for the boat profile");
    published::Ratios inside("the same in engine spaces, 105 degC");
    for (const published::Row& row : published::rows_of("marine-regulation")) {
        const bool engine_space = row.text("engine_space") == "yes";
        const double amps = row.number("amps");
        const double held_a =
            allowed_a(published::section_mm2(row.text("size"), row.text("unit")), row.number("class_degc"),
                      {engine_space ? 50.0 : 30.0, engine_space, 1});
        CAPTURE(row.text("size"));
        CAPTURE(row.text("class_degc"));
        (engine_space ? inside : outside).add(held_a, amps);
        if (engine_space)
            CHECK(std::abs(held_a - amps) <= 0.5 + 1e-9);
        else
            CHECK(held_a == amps);
    }
    CHECK(outside.cells() == 105);
    CHECK(inside.cells() == 15);
}

TEST_CASE("between rows and columns the boat regulation gives the lesser neighbour") {
    CHECK(allowed_a(50, 105) == 245);  // between 1 AWG and 1/0 AWG: that of 1 AWG
    CHECK(allowed_a(35, 105) == 210);  // between 2 and 1 AWG
    CHECK(allowed_a(16, 100) == 100);  // 6 AWG, 90 degC
    CHECK(allowed_a(120, 105) == 445); // beyond the last row
    CHECK(allowed_a(35, 85) == 175);   // class A stands in the 80 degC column
    CHECK(allowed_a(35, 150) == 225);  // class D in that of 125 degC
    CHECK(allowed_a(35, 59) == 0);     // no column
    CHECK(allowed_a(0.75, 105) < 20);  // under the table: no more than its density
    CHECK(allowed_a(0.75, 105) == doctest::Approx(20 * 0.75 / 0.823));
    for (double section_mm2 = 0.5; section_mm2 < 130; section_mm2 *= 1.01)
        CHECK(allowed_a(section_mm2, 105) <= allowed_a(section_mm2 * 1.01, 105));
}

TEST_CASE("warmth beyond the table and company only take away from the boat regulation") {
    CHECK(allowed_a(35, 105, {20, false, 1}) == 210); // no gift for cool air
    CHECK(allowed_a(35, 105, {50, true, 1}) == doctest::Approx(210 * 0.85));
    // An engine space of 50 degC by class is sqrt((class - 50) / (class - 30)) to two figures in the note
    // itself.
    CHECK(allowed_a(35, 105, {50, false, 1}) == doctest::Approx(210 * 0.856).epsilon(1e-3));
    CHECK(allowed_a(35, 105, {77.5, true, 1}) == doctest::Approx(210 * 0.85 * 0.7071).epsilon(1e-3));
    CHECK(allowed_a(35, 105, {105, true, 1}) == 0);
    CHECK(allowed_a(35, 105, {30, false, 3}) == doctest::Approx(210 * 0.70));
    CHECK(allowed_a(35, 105, {30, false, 6}) == doctest::Approx(210 * 0.60));
    CHECK(allowed_a(35, 105, {30, false, 24}) == doctest::Approx(210 * 0.50));
    CHECK(allowed_a(35, 105, {30, false, 25}) == doctest::Approx(210 * 0.40));
}

} // namespace stoutloom
