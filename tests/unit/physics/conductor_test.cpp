// Which sections and overrides are taken, and what is refused.
#include "base/quantity.h"
#include "physics/conductor.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

namespace stoutloom {

TEST_CASE("sections beyond the tables are refused by name") {
    const auto thick = physics::conductor_for(900);
    REQUIRE_FALSE(thick.has_value());
    CHECK(thick.error().message == "section 900 mm2 is beyond the tables (0.22 to 240 mm2)");
    for (const double bad :
         {0.0, -4.0, 0.1, std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity()})
        CHECK_FALSE(physics::conductor_for(bad).has_value());
    CHECK(physics::conductor_for(0.22).has_value());
    CHECK(physics::conductor_for(240).has_value());
    for (int gauge = 22; gauge >= -3; --gauge)
        CHECK(physics::conductor_for(base::awg_section_mm2(gauge)).has_value());
}

TEST_CASE(
    "a gauge written in mm2 to three digits takes the metric table and one from the gauge the gauge's") {
    CHECK(physics::conductor_for(base::awg_section_mm2(2))->source.starts_with("NEC"));
    CHECK(physics::conductor_for(35)->source.starts_with("ISO 6722-1"));
    CHECK(physics::conductor_for(185)->source.starts_with("IEC 60228"));
}

TEST_CASE("between rows resistance falls and never leaves its neighbours") {
    double before = 1;
    for (double section_mm2 = 0.23; section_mm2 < 239; section_mm2 *= 1.001) {
        if (!base::awg_name(section_mm2).empty())
            continue;
        const auto made = physics::conductor_for(section_mm2);
        REQUIRE(made.has_value());
        CHECK(made->r20_ohm_per_m < before);
        CHECK(made->r20_ohm_per_m * section_mm2 > 0.017241); // no better than pure copper, IEC 60028
        CHECK(made->r20_ohm_per_m * section_mm2 < 0.0205);
        CHECK(made->outer_diameter_m > made->conductor_diameter_m);
        before = made->r20_ohm_per_m;
    }
}

TEST_CASE("measured figures beat the tables and impossible ones are refused") {
    const auto measured = physics::conductor_for(
        50, {.r20_ohm_per_m = 0.00036, .conductor_diameter_m = 0.0105, .outer_diameter_m = 0.0132});
    REQUIRE(measured.has_value());
    CHECK(measured->r20_ohm_per_m == 0.00036);
    CHECK(measured->conductor_diameter_m == 0.0105);
    CHECK(measured->outer_diameter_m == 0.0132);
    CHECK(measured->source.find("figures of this cable") != std::string::npos);

    physics::ConductorOverrides thicker;
    thicker.conductor_diameter_m = 0.0110; // keeps the wall of the table
    const auto table = physics::conductor_for(50);
    CHECK(physics::conductor_for(50, thicker)->outer_diameter_m ==
          doctest::Approx(0.0110 + table->outer_diameter_m - table->conductor_diameter_m));

    physics::ConductorOverrides slim;
    slim.outer_diameter_m = 0.0090; // under the default strands: the conductor is taken as solid
    CHECK(physics::conductor_for(50, slim)->conductor_diameter_m ==
          doctest::Approx(std::sqrt(200 / 3.14159265) / 1000));

    physics::ConductorOverrides bad;
    bad.r20_ohm_per_m = 0.00001;
    CHECK_FALSE(physics::conductor_for(50, bad).has_value());
    bad = {};
    bad.conductor_diameter_m = 0.005;
    CHECK_FALSE(physics::conductor_for(50, bad).has_value());
    bad = {};
    bad.outer_diameter_m = 0.006;
    CHECK_FALSE(physics::conductor_for(50, bad).has_value());
    bad = {};
    bad.outer_diameter_m = std::numeric_limits<double>::quiet_NaN();
    CHECK_FALSE(physics::conductor_for(50, bad).has_value());

    const auto beyond = physics::conductor_for(
        300, {.r20_ohm_per_m = 6.41e-5, .conductor_diameter_m = 0.024, .outer_diameter_m = 0.030});
    CHECK(beyond.has_value());
}

TEST_CASE("copper mass and stock") {
    CHECK(physics::copper_kg_per_m(50) == doctest::Approx(0.4445)); // 8.89 kg/dm3
    for (const auto stock : {physics::metric_stock_mm2(), physics::awg_stock_mm2()}) {
        double before = 0;
        for (const double section_mm2 : stock) {
            CHECK(section_mm2 > before);
            CHECK(physics::conductor_for(section_mm2).has_value());
            before = section_mm2;
        }
    }
}

} // namespace stoutloom
