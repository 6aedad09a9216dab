// Single failures on a kit small enough to tell by hand what must happen.
#include "solve/failures.h"

#include "testing/kit.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace stoutloom;
using testing::Kit;

namespace {

/// Engine block on rubber, grounded by one strap W3 to the body; a throttle cable X9 lies beside it.
Kit old_van() {
    Kit kit;
    kit.mass("U1", 1e-4, {"front", "rear"});
    kit.mass("U2", 1e-4, {"strap"});
    kit.battery("G2", {.emf_v = 12.6, .ohm = 0.005, .acceptance_a = 200});
    kit.generator("G1", {.set_point_v = 14.3, .ceiling_a = 100, .seat = "U2"});
    kit.fuse_link("F1", 200);
    kit.consumer("E1", model::Demand::current, 30, "U1");
    kit.cable("W1", "G1.B+", "F1.b", {.section_mm2 = 50, .length_m = 5});
    kit.cable("W2", "F1.a", "G2.+", {.section_mm2 = 50, .length_m = 0.5});
    kit.cable("W3", "U2.strap", "U1.rear", {.section_mm2 = 25, .length_m = 0.4});
    kit.cable("W4", "G2.-", "U1.front", {.section_mm2 = 50, .length_m = 0.5});
    kit.cable("W5", "G2.+", "E1.+", {.section_mm2 = 6, .length_m = 2});
    kit.path("X9", "U1", "U2", 0.04);
    return kit;
}

const solve::FailureResult& of_cable(const Kit& kit, const solve::FailureSweep& sweep,
                                     const std::string& id) {
    const auto cable = model::find_cable(kit.harness, id);
    const auto found = std::find_if(sweep.results.begin(), sweep.results.end(),
                                    [&](const auto& result) { return result.failure.cable == cable; });
    REQUIRE(found != sweep.results.end());
    return *found;
}
bool lists(const std::vector<model::DeviceIndex>& list, model::DeviceIndex device) {
    return std::find(list.begin(), list.end(), device) != list.end();
}

} // namespace

TEST_CASE("losing the only strap sends the charge through the throttle cable") {
    const Kit kit = old_van();
    const auto sweep = solve::single_failures(kit.harness, kit.duty("rated"));
    REQUIRE(sweep.has_value());
    // Five cables, the fuse-link, a post of the battery; the seats of unit and load, the nut of its post.
    REQUIRE(sweep->results.size() == 10);
    CHECK(std::abs(sweep->healthy.incidental_a[0]) < 5);
    const auto& lost = of_cable(kit, *sweep, "W3");
    // 14.3 V less 12.6 V over the loop: 40 mohm of throttle cable and about 8 mohm of the rest, 30 A of load
    // on top: all of the unit's current goes that way.
    CHECK(std::abs(lost.incidental_a[0]) > 25);
    CHECK(lost.cable_a[2] == 0);
    CHECK(lost.cable_a[0] == doctest::Approx(std::abs(lost.incidental_a[0])).epsilon(1e-4));
    CHECK(lost.dead.empty());
    CHECK(lists(lost.lost_battery, kit.part("G1")));
}

TEST_CASE("an open charging feed is a load dump and an open load feed a dead consumer") {
    const Kit kit = old_van();
    const auto sweep = solve::single_failures(kit.harness, kit.duty("rated"));
    REQUIRE(sweep.has_value());
    const auto& feed = of_cable(kit, *sweep, "W1");
    CHECK(lists(feed.lost_battery, kit.part("G1")));
    CHECK(feed.dead.empty());
    CHECK(std::abs(feed.cable_a[4]) == doctest::Approx(30).epsilon(1e-4));
    const auto& load = of_cable(kit, *sweep, "W5");
    CHECK(lists(load.dead, kit.part("E1")));
    CHECK(load.lost_battery.empty());
    const auto fuse = std::find_if(sweep->results.begin(), sweep->results.end(), [&](const auto& result) {
        return result.failure.device == kit.part("F1");
    });
    REQUIRE(fuse != sweep->results.end());
    CHECK(lists(fuse->lost_battery, kit.part("G1")));
}

TEST_CASE("a lost battery post leaves its lugs together and the unit feeding the load alone") {
    const Kit kit = old_van();
    const auto sweep = solve::single_failures(kit.harness, kit.duty("rated"));
    REQUIRE(sweep.has_value());
    const auto post = std::find_if(sweep->results.begin(), sweep->results.end(), [&](const auto& result) {
        return result.failure.device == kit.part("G2");
    });
    REQUIRE(post != sweep->results.end());
    CHECK(lists(post->lost_battery, kit.part("G1")));
    CHECK(post->dead.empty());
    // Kirchhoff: what the load draws and nothing else comes from the unit.
    CHECK(std::abs(post->cable_a[0]) == doctest::Approx(30).epsilon(1e-4));
    CHECK(std::abs(post->cable_a[3]) == doctest::Approx(0).epsilon(1e-4));
    CHECK(post->point.devices[model::at(kit.part("G2"))].current_a == doctest::Approx(0).epsilon(1e-6));
    // Engine off, nothing is left that feeds the load.
    const auto standing = solve::single_failures(kit.harness, kit.duty("standby"));
    REQUIRE(standing.has_value());
    const auto without =
        std::find_if(standing->results.begin(), standing->results.end(),
                     [&](const auto& result) { return result.failure.device == kit.part("G2"); });
    REQUIRE(without != standing->results.end());
    CHECK(standing->healthy.devices[model::at(kit.part("E1"))].volts_v > 12);
    CHECK(std::abs(without->point.devices[model::at(kit.part("E1"))].volts_v) < 0.01);
}

// Two straps under one bolt of the body, from engine and gearbox; the throttle cable lies beside. The nut
// gone, all of the unit's 40 A find the throttle cable; the bolt rusted off, its lugs still together, the two
// blocks stay joined and the body is left to the throttle cable.
TEST_CASE("a nut parts the lugs of a stud and a rusted stud keeps them together") {
    Kit kit;
    kit.mass("U1", 1e-4, {"front", "bolt"});
    kit.mass("U2", 1e-4, {"strap"});
    kit.mass("U3", 1e-4, {"strap"});
    kit.battery("G2", {.emf_v = 12.6, .ohm = 0.005, .acceptance_a = 200});
    kit.consumer("E1", model::Demand::current, 40, "U2");
    kit.cable("W1", "G2.+", "E1.+", {.section_mm2 = 16, .length_m = 2});
    kit.cable("W2", "G2.-", "U1.front", {.section_mm2 = 50, .length_m = 0.5});
    kit.cable("W3", "U2.strap", "U1.bolt", {.section_mm2 = 25, .length_m = 0.4});
    kit.cable("W4", "U3.strap", "U1.bolt", {.section_mm2 = 25, .length_m = 0.4});
    kit.path("X9", "U1", "U2", 0.04);
    kit.path("X8", "U1", "U3", 0.04);
    const auto sweep = solve::single_failures(kit.harness, kit.duty("standby"));
    REQUIRE(sweep.has_value());
    const auto of = [&](auto which) -> const solve::FailureResult& {
        const auto found = std::find_if(sweep->results.begin(), sweep->results.end(),
                                        [&](const auto& result) { return which(result.failure); });
        REQUIRE(found != sweep->results.end());
        return *found;
    };
    const auto bolt = *model::find_terminal(kit.harness, "U1.bolt");
    const auto& nut = of([&](const auto& failure) { return failure.nut == bolt; });
    CHECK(std::abs(nut.incidental_a[0]) == doctest::Approx(40).epsilon(1e-5));
    CHECK(std::abs(nut.incidental_a[1]) < 1e-6);
    CHECK(nut.cable_a[2] == 0);
    CHECK(nut.cable_a[3] == 0);
    CHECK(nut.dead.empty());
    // 40 mohm each; the way round by both straps and the other block adds some 1 to 2 mohm: nearly halves.
    const auto& metal = of([&](const auto& failure) { return failure.metal == bolt; });
    CHECK(std::abs(metal.incidental_a[0]) + std::abs(metal.incidental_a[1]) ==
          doctest::Approx(40).epsilon(1e-5));
    CHECK(std::abs(metal.incidental_a[1]) > 18);
    CHECK(std::abs(metal.incidental_a[1]) < 20);
    CHECK(std::abs(metal.cable_a[2]) == doctest::Approx(std::abs(metal.incidental_a[1])).epsilon(1e-6));
    const auto& seat = of([&](const auto& failure) { return failure.seat == kit.part("E1"); });
    CHECK(lists(seat.dead, kit.part("E1")));
    CHECK(std::abs(seat.incidental_a[0]) < 1e-6);
}

// The shares of two unlike ways are as the conductances: four runs of 10 mm2 beside one of 10 mm2 carry four
// fifths; with a run less, three quarters.
TEST_CASE("when one of several parallel runs comes off the others carry its share") {
    Kit kit;
    kit.battery("G2", {.emf_v = 12.6, .ohm = 0.005, .acceptance_a = 50});
    kit.consumer("E1", model::Demand::current, 100);
    const auto many = kit.cable("W1", "G2.+", "E1.+", {.section_mm2 = 10, .length_m = 4});
    const auto one = kit.cable("W2", "G2.+", "E1.+", {.section_mm2 = 10, .length_m = 4});
    kit.cable("W3", "E1.-", "G2.-", {.section_mm2 = 95, .length_m = 2});
    kit.harness.cables[model::at(many)].parallel = 4;
    for (const auto cable : {many, one})
        for (model::CableEnd* end :
             {&kit.harness.cables[model::at(cable)].from, &kit.harness.cables[model::at(cable)].to}) {
            end->joint_ohm = testing::written(1e-6);
            end->crimp_ohm = testing::written(0);
        }
    const auto sweep = solve::single_failures(kit.harness, kit.duty("standby"));
    REQUIRE(sweep.has_value());
    CHECK(sweep->healthy.cables[0].current_a == doctest::Approx(80).epsilon(1e-3));
    const auto run = std::find_if(sweep->results.begin(), sweep->results.end(),
                                  [](const auto& result) { return result.failure.one_run; });
    REQUIRE(run != sweep->results.end());
    CHECK(run->cable_a[0] == doctest::Approx(75).epsilon(1e-2));
    CHECK(run->cable_a[1] == doctest::Approx(25).epsilon(1e-2));
}

TEST_CASE("a wired sense stud that comes off is told") {
    Kit kit;
    kit.battery("G2", {.emf_v = 12.6, .ohm = 0.005, .acceptance_a = 50});
    kit.generator("G1", {.set_point_v = 14.3, .ceiling_a = 100, .sense = true});
    kit.cable("W1", "G1.B+", "G2.+", {.section_mm2 = 50, .length_m = 5});
    kit.cable("W2", "G2.-", "G1.B-", {.section_mm2 = 50, .length_m = 5});
    kit.cable("W3", "G2.+", "G1.S", {.section_mm2 = 1.5, .length_m = 5});
    const auto sweep = solve::single_failures(kit.harness, kit.duty("rated"));
    REQUIRE(sweep.has_value());
    CHECK(lists(of_cable(kit, *sweep, "W3").lost_sense, kit.part("G1")));
    CHECK(of_cable(kit, *sweep, "W3").lost_battery.empty());
    CHECK(of_cable(kit, *sweep, "W2").lost_sense.empty());
    CHECK(lists(of_cable(kit, *sweep, "W2").lost_battery, kit.part("G1")));
}

TEST_CASE("a dirty joint heats by the square of the current and shows on a meter") {
    // 100 A through a joint measured at 0.1 mohm, ten times worse: 1 mohm, 10 W, 0.1 V (and the crimp told as
    // nought).
    Kit kit;
    kit.battery("G2", {.emf_v = 12.6, .ohm = 0.005, .acceptance_a = 50});
    kit.consumer("E1", model::Demand::current, 100);
    const auto feed = kit.cable("W1", "G2.+", "E1.+", {.section_mm2 = 50, .length_m = 2});
    kit.cable("W2", "E1.-", "G2.-", {.section_mm2 = 50, .length_m = 2});
    for (model::CableEnd* end :
         {&kit.harness.cables[model::at(feed)].from, &kit.harness.cables[model::at(feed)].to}) {
        end->joint_ohm = testing::written(1e-4);
        end->crimp_ohm = testing::written(0);
    }
    const auto joints = solve::dirty_joints(kit.harness, kit.duty("standby"));
    REQUIRE(joints.has_value());
    REQUIRE(joints->size() == 4);
    const auto& first = joints->front();
    CHECK(first.end == 0);
    CHECK(first.joint_ohm == doctest::Approx(1e-3));
    CHECK(first.current_a == doctest::Approx(100).epsilon(1e-5));
    CHECK(first.heat_w == doctest::Approx(10).epsilon(1e-4));
    CHECK(first.meter_v == doctest::Approx(0.1).epsilon(1e-4));
    CHECK(first.healthy_meter_v == doctest::Approx(0.01).epsilon(1e-4));
}
