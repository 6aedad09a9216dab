// Batteries the wrong way round, on paper: one unit, two feeds side by side, a donor against the kit's own.
#include "solve/reversal.h"

#include "testing/kit.h"

#include <doctest/doctest.h>

using namespace stoutloom;
using testing::exact_cable;
using testing::Kit;

namespace {

solve::HungBattery hung(const Kit& kit, const std::string& plus, const std::string& minus, double ohm) {
    return {.plus = *model::find_terminal(kit.harness, plus),
            .minus = *model::find_terminal(kit.harness, minus),
            .emf_v = 12,
            .ohm = ohm};
}

Kit with_two_feeds() {
    Kit kit;
    kit.battery("G", {});
    kit.generator("A", {.set_point_v = 14.4, .ceiling_a = 100});
    kit.fuse_link("F1", 100);
    kit.fuse_link("F2", 100);
    exact_cable(kit, "W1", "G.+", "F1.a", 0.001);
    exact_cable(kit, "W2", "F1.b", "A.B+", 0.001);
    exact_cable(kit, "W3", "G.+", "F2.a", 0.003);
    exact_cable(kit, "W4", "F2.b", "A.B+", 0.003);
    exact_cable(kit, "W5", "G.-", "A.B-", 0.0005);
    return kit;
}

} // namespace

// 12 V behind 4 mohm; two ways of 2 and 6 mohm (1.5 together, shared 3 to 1), 0.5 mohm back: 6 mohm, 2000 A.
TEST_CASE("two feeds side by side share the current that runs backwards through the diodes") {
    const Kit kit = with_two_feeds();
    const auto told = solve::reversed_currents(kit.harness, {hung(kit, "G.-", "G.+", 0.004)}, {},
                                               solve::Reckoning::greatest);
    REQUIRE(told.has_value());
    CHECK(told->unit_a[model::at(kit.part("A"))] == doctest::Approx(2000).epsilon(2e-3));
    CHECK(told->link_a[model::at(kit.part("F1"))] == doctest::Approx(1500).epsilon(2e-3));
    CHECK(told->link_a[model::at(kit.part("F2"))] == doctest::Approx(500).epsilon(2e-3));
    // One gone: 4 + 6 + 0.5 mohm for all of it.
    const auto after = solve::reversed_currents(kit.harness, {hung(kit, "G.-", "G.+", 0.004)},
                                                {kit.part("F1")}, solve::Reckoning::greatest);
    REQUIRE(after.has_value());
    CHECK(after->link_a[model::at(kit.part("F2"))] == doctest::Approx(12 / 0.0105).epsilon(2e-3));
    // Two diodes of a volt at the least, and warmer copper: less than 10 V would drive through cold copper.
    const auto least =
        solve::reversed_currents(kit.harness, {hung(kit, "G.-", "G.+", 0.004)}, {}, solve::Reckoning::least);
    REQUIRE(least.has_value());
    CHECK(least->unit_a[model::at(kit.part("A"))] < 10 / 0.006);
    CHECK(least->unit_a[model::at(kit.part("A"))] > 0.5 * 10 / 0.006);
}

TEST_CASE("a battery the right way round leaves the diodes alone") {
    const Kit kit = with_two_feeds();
    const auto told = solve::reversed_currents(kit.harness, {hung(kit, "G.+", "G.-", 0.004)}, {},
                                               solve::Reckoning::greatest);
    REQUIRE(told.has_value());
    CHECK(told->unit_a[model::at(kit.part("A"))] == 0);
    CHECK(told->hung_a.front() == doctest::Approx(0).epsilon(1e-6));
}

// A good battery of 4 mohm and a donor in reverse of 8 mohm: 24 V over 12 mohm, and the studs stand at 4 V.
TEST_CASE("a donor in reverse fights a good battery and the diodes stay out of it") {
    const Kit kit = with_two_feeds();
    const auto told = solve::reversed_currents(
        kit.harness, {hung(kit, "G.-", "G.+", 0.008), hung(kit, "G.+", "G.-", 0.004)}, {},
        solve::Reckoning::greatest);
    REQUIRE(told.has_value());
    CHECK(told->hung_a.front() == doctest::Approx(2000).epsilon(1e-3));
    CHECK(told->unit_a[model::at(kit.part("A"))] == 0);
}

// 12 V behind 8 mohm in reverse, 2 mohm to the unit and back: 1200 A. A load of 12 A at 12 V counts as a
// third of its ohm, 0.333 ohm across the battery's posts.
TEST_CASE("a load takes a little away from the diodes") {
    Kit kit = with_two_feeds();
    kit.consumer("E", model::Demand::current, 12);
    exact_cable(kit, "W6", "G.+", "E.+", 0.0005);
    exact_cable(kit, "W7", "E.-", "G.-", 0.0005);
    const auto told = solve::reversed_currents(kit.harness, {hung(kit, "G.-", "G.+", 0.008)}, {},
                                               solve::Reckoning::greatest, solve::few_volts_factor);
    REQUIRE_MESSAGE(told.has_value(), (told ? "" : told.error().message));
    const double load_ohm = 1.0 / 3 + 0.001;
    // Source by itself 12 V x 0.3333 / 0.3413 = 11.72 V behind 7.81 mohm; 2 mohm to unit and back.
    CHECK(
        told->unit_a[model::at(kit.part("A"))] ==
        doctest::Approx(12 * load_ohm / (load_ohm + 0.008) / (0.008 * load_ohm / (load_ohm + 0.008) + 0.002))
            .epsilon(2e-3));
}
