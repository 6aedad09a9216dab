// Operating-time gates of fuse-links as remembered from ISO 8820, and the rules any band must keep.
#include "physics/fuselink.h"
#include "published/tables.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

namespace stoutloom {
namespace {
constexpr double room_degc = 23;
constexpr double never = std::numeric_limits<double>::infinity();
} // namespace

TEST_CASE("the band holds every quoted gate") {
    std::size_t cells = 0;
    for (const published::Row& row : published::rows_of("fuse-gates")) {
        const physics::FuseType* type = physics::fuse_type_by_name(row.text("type"));
        REQUIRE(type != nullptr);
        const double multiple = row.number("percent_of_rating") / 100;
        const double min_s = row.number("min_s");
        const double max_s = row.number("max_s");
        const auto band = physics::operating_band(*type, 100, 100 * multiple, room_degc);
        CAPTURE(row.text("type"));
        CAPTURE(multiple);
        ++cells;
        CHECK(band.slowest_s >= max_s * (1 - 1e-9));
        if (std::isinf(max_s)) {
            CHECK(band.fastest_s <= min_s * (1 + 1e-9)); // carries at least so long, and we claim no more
            continue;
        }
        CHECK(band.fastest_s <= min_s * (1 + 1e-9));
        if (row.text("type") == "SF30")
            continue; // the hull of two remembered series is wider than either
        CHECK(band.fastest_s == doctest::Approx(min_s).epsilon(1e-9));
        CHECK(band.slowest_s == doctest::Approx(max_s).epsilon(1e-9));
    }
    CHECK(cells == 41);
    MESSAGE("fuse-link gates compared: ", cells);
}

TEST_CASE("the strip link of 30 mm pitch covers its second remembered series too") {
    const physics::FuseType* type = physics::fuse_type_by_name("SF30");
    REQUIRE(type != nullptr);
    struct Gate {
        double multiple, min_s, max_s;
    };
    for (const Gate& gate : {Gate{1.35, 60, 1800}, Gate{2.0, 1, 15}, Gate{3.5, 0.3, 5}}) {
        const auto band = physics::operating_band(*type, 100, 100 * gate.multiple, room_degc);
        CHECK(band.fastest_s <= gate.min_s * (1 + 1e-9));
        CHECK(band.slowest_s >= gate.max_s);
    }
}

TEST_CASE("more current never opens later and heat never opens later") {
    for (const physics::FuseType& type : physics::fuse_types()) {
        CAPTURE(type.name);
        physics::OperatingBand before{never, never};
        for (double multiple = 0.5; multiple < 40; multiple *= 1.01) {
            const auto band = physics::operating_band(type, 100, 100 * multiple, room_degc);
            CHECK(band.fastest_s <= band.slowest_s);
            if (std::isfinite(before.fastest_s))
                CHECK(band.fastest_s <= before.fastest_s * (1 + 1e-9));
            if (std::isfinite(before.slowest_s))
                CHECK(band.slowest_s <= before.slowest_s * (1 + 1e-9));
            const auto hot = physics::operating_band(type, 100, 100 * multiple, 90);
            CHECK(hot.fastest_s <= band.fastest_s);
            CHECK(hot.slowest_s == band.slowest_s); // no credit for heat
            const auto cold = physics::operating_band(type, 100, 100 * multiple, -30);
            CHECK(cold.slowest_s >= band.slowest_s);
            before = band;
        }
        const double least_a = physics::least_fusing_current_a(type, 100, room_degc);
        CHECK(std::isfinite(physics::operating_band(type, 100, least_a * 1.0001, room_degc).slowest_s));
        CHECK(std::isinf(physics::operating_band(type, 100, least_a * 0.999, room_degc).slowest_s));
        CHECK(type.conventional_multiple * 100 >= least_a - 1e-9);
    }
}

TEST_CASE("above the last gate the let-through stays") {
    const physics::FuseType* type = physics::fuse_type_by_name("SF51");
    REQUIRE(type != nullptr);
    const auto at_six = physics::operating_band(*type, 100, 600, room_degc);
    const auto at_twelve = physics::operating_band(*type, 100, 1200, room_degc);
    CHECK(at_twelve.slowest_s == doctest::Approx(at_six.slowest_s / 4));
    CHECK(at_twelve.fastest_s == doctest::Approx(at_six.fastest_s / 4));
}

TEST_CASE("limits of each type as the catalogues preview them") {
    for (const published::Row& row : published::rows_of("fuse-limits")) {
        const physics::FuseType* type = physics::fuse_type_by_name(row.text("type"));
        REQUIRE(type != nullptr);
        CHECK(type->rated_voltage_v == row.number("rated_voltage_v"));
        CHECK(type->breaking_capacity_a == row.number("breaking_capacity_a"));
        if (const auto largest = row.number_if_any("largest_rating_a"))
            CHECK(type->ratings_a.back() <= *largest);
        CHECK(physics::breaking_capacity_at_a(*type, 48) == 0); // none of them is made for 48 V
        CHECK(physics::breaking_capacity_at_a(*type, 24) == type->breaking_capacity_a);
    }
    const physics::FuseType* cube = physics::fuse_type_by_name("stud-cube");
    REQUIRE(cube != nullptr);
    // Common data sheet values, from memory: 10 kA at 14 V, 5 kA at 32 V, 2 kA at 58 V.
    CHECK(physics::breaking_capacity_at_a(*cube, 12) == 10000);
    CHECK(physics::breaking_capacity_at_a(*cube, 24) == 5000);
    CHECK(physics::breaking_capacity_at_a(*cube, 48) == 2000);
    CHECK(physics::breaking_capacity_at_a(*cube, 60) == 0);
}

TEST_CASE("rerating by ambient and the cold and hot resistance") {
    for (const published::Row& row : published::rows_of("fuse-rerating")) {
        const physics::FuseType* type = physics::fuse_type_by_name(row.text("type"));
        REQUIRE(type != nullptr);
        CHECK(physics::ambient_factor(*type, row.number("ambient_degc")) ==
              doctest::Approx(row.number("factor")).epsilon(1e-9));
    }
    published::Ratios hot_over_cold("type C hot over cold resistance (40 to 50 % read at 10 A), over 1.45");
    const physics::FuseType* blade = physics::fuse_type_by_name("C");
    REQUIRE(blade != nullptr);
    for (const published::Row& row : published::rows_of("fuse-resistance")) {
        const double rating_a = row.number("rating_a");
        const auto resistance = physics::fuse_resistance(*blade, rating_a);
        CHECK(resistance.cold_ohm * 1000 == doctest::Approx(row.number("cold_mohm")).epsilon(1e-9));
        CHECK(resistance.hot_ohm * rating_a * 1000 ==
              doctest::Approx(row.number("drop_at_rating_mv")).epsilon(1e-9));
        CHECK_FALSE(resistance.assumed);
        hot_over_cold.add(resistance.hot_ohm / resistance.cold_ohm, 1.45);
    }
    CHECK(physics::fuse_resistance(*blade, 35).assumed);
    CHECK(physics::fuse_resistance(*physics::fuse_type_by_name("SF51"), 200).assumed);
}

} // namespace stoutloom
