// Temperatures and tolerances in the operating point: the fixed point, short duties, runaway, worst case,
// ratings.
#include "solve/ratings.h"
#include "solve/solve.h"

#include "physics/thermal.h"
#include "testing/kit.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace stoutloom;
using testing::Kit;

namespace {

/// One feed and one return of 10 mm2 to a constant current.
Kit feed_kit(double current_a, double section_mm2 = 10) {
    Kit kit(12, 60);
    kit.battery("G", {.emf_v = 12.6, .ohm = 0.003, .acceptance_a = 20});
    kit.consumer("E", model::Demand::current, current_a);
    kit.cable("W1", "G.+", "E.+", {.section_mm2 = section_mm2, .length_m = 2});
    kit.cable("W2", "E.-", "G.-", {.section_mm2 = 70, .length_m = 2});
    return kit;
}

solve::OperatingPoint solved(const Kit& kit, const model::Duty& duty,
                             const solve::Variation& variation = {}) {
    const auto point = solve::operating_point(kit.harness, duty, variation);
    REQUIRE_MESSAGE(point.has_value(), (point ? "" : point.error().message));
    return *point;
}

} // namespace

TEST_CASE("a cable settles where its own resistance makes the heat that its surface sheds") {
    const Kit kit = feed_kit(60);
    const auto point = solved(kit, kit.duty("standby"));
    const auto& cable = point.cables[0];
    const auto rating = solve::cable_rating(kit.harness, model::CableIndex{0});
    REQUIRE(rating.segments.size() == 1);
    const auto steady = physics::steady_temperature_degc(rating.segments[0].stretch, 60);
    REQUIRE(steady.has_value());
    CHECK(cable.conductor_degc == doctest::Approx(*steady).epsilon(1e-6));
    CHECK(cable.conductor_degc > 70);
    // IEC 60028: 0.393 % per kelvin from 20 degC, on the conductor's own resistance alone.
    const double cold_ohm = rating.segments[0].stretch.conductor.r20_ohm_per_m * 2;
    CHECK(cable.copper_drop_v / cable.current_a ==
          doctest::Approx(cold_ohm * (1 + 0.00393 * (*steady - 20))).epsilon(1e-6));
    CHECK(cable.drop_v ==
          doctest::Approx(cable.copper_drop_v + cable.end_drop_v[0] + cable.end_drop_v[1]).epsilon(1e-9));
    CHECK(cable.drop_v == doctest::Approx(cable.current_a * cable.resistance_ohm).epsilon(1e-9));
}

TEST_CASE("ten seconds heat less than all day and a running engine starts warm") {
    const Kit kit = feed_kit(100);
    const double all_day = solved(kit, kit.duty("standby")).cables[0].conductor_degc;
    model::Duty pulse = kit.duty("standby");
    pulse.duration_s = testing::written(10);
    const double ten_seconds = solved(kit, pulse).cables[0].conductor_degc;
    CHECK(ten_seconds < all_day);
    CHECK(ten_seconds > 60);
    // With the engine turning the cable has been loaded before: the pulse begins where all day ends.
    model::Duty running = kit.duty("idle");
    running.duration_s = testing::written(10);
    CHECK(solved(kit, running).cables[0].conductor_degc == doctest::Approx(all_day).epsilon(1e-3));
}

TEST_CASE("a cable without a steady temperature is named and the rest is still told") {
    const Kit kit = feed_kit(200, 1.5);
    const auto point = solved(kit, kit.duty("standby"));
    CHECK(point.cables[0].runaway);
    CHECK(point.cables[0].conductor_degc >= 300);
    CHECK_FALSE(point.cables[1].runaway);
}

TEST_CASE("the worst case has worse joints and longer cable and never a cooler conductor") {
    const Kit kit = feed_kit(60);
    const auto nominal = solved(kit, kit.duty("standby"));
    solve::Variation worst;
    worst.worst = true;
    const auto aged = solved(kit, kit.duty("standby"), worst);
    for (const int end : {0, 1})
        CHECK(std::abs(aged.cables[0].end_drop_v[end]) > std::abs(nominal.cables[0].end_drop_v[end]));
    // 5 % of length on the same current and so the same temperature.
    CHECK(aged.cables[0].copper_drop_v ==
          doctest::Approx(1.05 * nominal.cables[0].copper_drop_v).epsilon(1e-4));
    CHECK(aged.cables[0].conductor_degc >= nominal.cables[0].conductor_degc - 1e-3);
    CHECK(aged.devices[0].volts_v < nominal.devices[0].volts_v);
}

TEST_CASE("a measured joint stands and ten times dirty is ten times the joint") {
    Kit kit = feed_kit(60);
    auto& end = kit.harness.cables[0].to;
    end.joint_ohm = testing::written(2e-4);
    end.crimp_ohm = testing::written(1e-5);
    CHECK(solved(kit, kit.duty("standby")).cables[0].end_drop_v[1] ==
          doctest::Approx(60 * 2.1e-4).epsilon(1e-5));
    solve::Variation dirty;
    dirty.dirty_joints = {{.cable = model::CableIndex{0}, .end = 1, .factor = 10}};
    CHECK(solved(kit, kit.duty("standby"), dirty).cables[0].end_drop_v[1] ==
          doctest::Approx(60 * 2.01e-3).epsilon(1e-5));
}

TEST_CASE("a rating is that of the hottest stretch times the runs less the margin") {
    Kit kit = feed_kit(60);
    const auto hot = kit.zone("hot", 85);
    auto& cable = kit.harness.cables[0];
    cable.segments.push_back(
        {.zone = hot, .length_m = testing::written(0.5), .loom = {}, .mounting = std::nullopt, .span = {}});
    auto rating = solve::cable_rating(kit.harness, model::CableIndex{0});
    REQUIRE(rating.segments.size() == 2);
    CHECK(rating.hottest == 1);
    // Half a metre gives a little of its heat to the cooler stretch beside it: a little more than alone, and
    // far less than the cool stretch could carry.
    CHECK(rating.ampacity_a >= rating.segments[1].ampacity_a * (1 - 2e-6));
    CHECK(rating.ampacity_a < 1.1 * rating.segments[1].ampacity_a);
    CHECK(rating.ampacity_a < 0.8 * rating.segments[0].ampacity_a);
    CHECK(rating.usable_a ==
          doctest::Approx(0.87 * rating.ampacity_a)); // default margin, told in the limits table
    const double one = rating.ampacity_a;
    cable.parallel = 2;
    CHECK(solve::cable_rating(kit.harness, model::CableIndex{0}).ampacity_a == doctest::Approx(2 * one));
    cable.section_mm2 = testing::written(9000); // beyond any table: nothing is safe
    CHECK(solve::cable_rating(kit.harness, model::CableIndex{0}).ampacity_a == 0);
}

TEST_CASE("cables of one loom warm each other but a sense wire does not count") {
    const auto ampacity_with = [](const char* second_loom, model::Role role) {
        Kit kit = feed_kit(60);
        kit.harness.cables[0].segments[0].loom = "L";
        kit.harness.cables[1].segments[0].loom = second_loom;
        kit.harness.terminals[model::at(kit.harness.cables[1].from.at)].role = role;
        return solve::cable_rating(kit.harness, model::CableIndex{0}).ampacity_a;
    };
    const double alone = ampacity_with("", model::Role::negative);
    CHECK(ampacity_with("L", model::Role::negative) < alone);
    CHECK(ampacity_with("L", model::Role::sense) == alone);
}

TEST_CASE("a section beyond the tables is no operating point") {
    Kit kit = feed_kit(60);
    kit.harness.cables[0].section_mm2 = testing::written(9000);
    const auto point = solve::operating_point(kit.harness, kit.duty("standby"));
    REQUIRE_FALSE(point.has_value());
    CHECK(point.error().subjects == std::vector<std::string>{"W1"});
}
