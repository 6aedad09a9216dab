// Heat-shrink sizes, the window of diameters a size is for, and the outside of lug barrels against public
// sheets.
#include "physics/heat_shrink.h"
#include "physics/joint.h"
#include "published/tables.h"

#include <doctest/doctest.h>

#include <algorithm>

using namespace stoutloom;

namespace {

constexpr double rounding_mm = 0.11; // the sheets print 0.1 mm

/// The tube of a list that is sold by that bore.
const physics::ShrinkTube* tube_of(std::span<const physics::ShrinkTube> tubes, double expanded_mm,
                                   bool lined) {
    const auto found = std::find_if(tubes.begin(), tubes.end(), [&](const physics::ShrinkTube& tube) {
        return tube.lined == lined && std::abs(tube.expanded_m * 1000 - expanded_mm) < rounding_mm;
    });
    return found == tubes.end() ? nullptr : &*found;
}

} // namespace

TEST_CASE("heat-shrink sizes are those of the public sheets") {
    published::Ratios ratios("heat-shrink, recovered bore");
    for (const published::Row& row : published::rows_of("heat-shrink")) {
        const bool lined = row.text("what") == "lined";
        if (row.text("what") != "plain" && !lined)
            continue;
        const double expanded_mm = row.number("a_mm"), recovered_mm = row.number("b_mm");
        CAPTURE(expanded_mm);
        for (const auto tubes : {physics::metric_shrink_tubes(), physics::us_shrink_tubes()}) {
            const physics::ShrinkTube* tube = tube_of(tubes, expanded_mm, lined);
            if (tube == nullptr && lined) // inches have 1 in, not 24 mm
                continue;
            REQUIRE(tube != nullptr);
            CHECK(tube->expanded_m * 1000 <= expanded_mm + 0.05);
            CHECK(std::abs(tube->recovered_m * 1000 - recovered_mm) < rounding_mm);
            ratios.add(tube->recovered_m * 1000, recovered_mm);
        }
    }
    CHECK(ratios.cells() == 21);
}

TEST_CASE("a tube is for the diameters that its maker's guide gives it") {
    for (const published::Row& row : published::rows_of("heat-shrink")) {
        if (row.text("what") != "window")
            continue;
        const physics::ShrinkTube* tube = tube_of(physics::us_shrink_tubes(), 25.4, false);
        REQUIRE(tube != nullptr);
        const double low_m = row.number("a_mm") / 1000, high_m = row.number("b_mm") / 1000;
        CHECK(physics::fits(*tube, {low_m, low_m}));
        CHECK(physics::fits(*tube, {high_m, high_m}));
        CHECK(physics::fits(*tube, {high_m, low_m}));
        CHECK_FALSE(physics::fits(*tube, {low_m, low_m * 0.995}));
        CHECK_FALSE(physics::fits(*tube, {high_m * 1.005, high_m}));
    }
}

TEST_CASE("no plain tube lug is thicker than the bound that a sleeve has to pass") {
    published::Ratios ratios("outside of a lug's barrel, bound over sheet");
    for (const published::Row& row : published::rows_of("heat-shrink")) {
        if (row.text("what") != "lug")
            continue;
        const double section_mm2 = published::section_mm2(row.text("size"), row.text("unit"));
        CAPTURE(section_mm2);
        const auto barrel = physics::barrel_for(section_mm2);
        REQUIRE(barrel.has_value());
        CHECK(barrel->outer_diameter_m * 1000 >= row.number("a_mm"));
        CHECK(barrel->outer_diameter_m * 1000 <= row.number("a_mm") * 1.25);
        CHECK(barrel->outer_diameter_m > barrel->inner_diameter_m + 0.0015);
        ratios.add(barrel->outer_diameter_m * 1000, row.number("a_mm"));
    }
    CHECK(ratios.cells() == 12);
}
