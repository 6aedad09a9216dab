// Operating points worked out by hand: Ohm's law on circuits small enough for paper. Plain resistances are
// shunts and incidental paths, which have no temperature.
#include "solve/solve.h"

#include "testing/kit.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace stoutloom;
using testing::Kit;

namespace {

// Leaks of 10 Mohm and a droop of 0.1 mohm are the only difference from paper; where they matter it is said.
constexpr double paper = 1e-5;

solve::OperatingPoint solved(const Kit& kit, const std::string& duty,
                             const solve::Variation& variation = {}) {
    const auto point = solve::operating_point(kit.harness, kit.duty(duty), variation);
    REQUIRE_MESSAGE(point.has_value(), (point ? "" : point.error().message));
    return *point;
}
double volts(const Kit& kit, const solve::OperatingPoint& point, const std::string& address) {
    return point.terminal_v[model::at(kit.terminal(address))];
}
const solve::DeviceState& device(const Kit& kit, const solve::OperatingPoint& point, const std::string& id) {
    return point.devices[model::at(kit.part(id))];
}
bool lists(const std::vector<model::DeviceIndex>& list, model::DeviceIndex device) {
    return std::find(list.begin(), list.end(), device) != list.end();
}

} // namespace

TEST_CASE("two resistors divide a battery's volts") {
    // 12 V behind 1 ohm into 2 ohm + 3 ohm: 2 A, so 10 V at the terminal and 6 V in the middle.
    Kit kit;
    kit.battery("G", {.emf_v = 12, .ohm = 1, .acceptance_a = 5});
    kit.post("X");
    kit.path("a", "G.+", "X", 2);
    const auto lower = kit.path("b", "X", "G.-", 3);
    const auto point = solved(kit, "standby");
    CHECK(volts(kit, point, "G.+") == doctest::Approx(10).epsilon(paper));
    CHECK(volts(kit, point, "X") == doctest::Approx(6).epsilon(paper));
    CHECK(volts(kit, point, "G.-") == 0);
    CHECK(point.incidental_a[model::at(lower)] == doctest::Approx(2).epsilon(paper));
    CHECK(device(kit, point, "G").current_a == doctest::Approx(2).epsilon(paper));
    CHECK(device(kit, point, "G").regime == solve::Regime::free);
}

TEST_CASE("a charging unit holds its set point and then its ceiling") {
    // Regulating: 14.4 V into 0.1 ohm + battery 12.6 V behind 0.08 ohm: 1.8 V / 0.18 ohm = 10 A.
    Kit kit;
    kit.battery("G", {.emf_v = 12.6, .ohm = 0.08, .acceptance_a = 50});
    kit.generator("A", {.set_point_v = 14.4, .ceiling_a = 30});
    kit.path("feed", "A.B+", "G.+", 0.06);
    kit.path("return", "G.-", "A.B-", 0.04);
    auto point = solved(kit, "rated");
    CHECK(device(kit, point, "A").regime == solve::Regime::regulating);
    CHECK(device(kit, point, "A").current_a == doctest::Approx(10).epsilon(1e-3)); // droop: 1 mV of 1.8 V
    CHECK(device(kit, point, "A").volts_v == doctest::Approx(14.4).epsilon(1e-4));
    CHECK(device(kit, point, "G").current_a == doctest::Approx(-10).epsilon(1e-3));

    // A 50 A load at the battery: the unit would have to give more than 30 A, so it gives 30 A and the
    // battery 20 A.
    kit.consumer("E", model::Demand::current, 50);
    kit.path("e1", "G.+", "E.+", 0.001);
    kit.path("e2", "E.-", "G.-", 0.001);
    point = solved(kit, "rated");
    CHECK(device(kit, point, "A").regime == solve::Regime::ceiling);
    CHECK(device(kit, point, "A").current_a == doctest::Approx(30).epsilon(paper));
    CHECK(device(kit, point, "G").current_a == doctest::Approx(20).epsilon(paper));
    CHECK(volts(kit, point, "G.+") == doctest::Approx(12.6 - 20 * 0.08).epsilon(paper));
    // Its own stud: battery, and 30 A through 0.06 ohm above it.
    CHECK(volts(kit, point, "A.B+") == doctest::Approx(12.6 - 1.6 + 1.8).epsilon(paper));
}

TEST_CASE("a charging unit below another's set point idles") {
    Kit kit;
    kit.battery("G", {.emf_v = 12.6, .ohm = 0.01, .acceptance_a = 10});
    kit.generator("A1", {.set_point_v = 14.4, .ceiling_a = 100});
    kit.generator("A2", {.set_point_v = 13.9, .ceiling_a = 100});
    for (const std::string id : {"A1", "A2"}) {
        kit.path(id + "f", id + ".B+", "G.+", 0.001);
        kit.path(id + "r", id + ".B-", "G.-", 0.001);
    }
    const auto point = solved(kit, "cruise");
    CHECK(device(kit, point, "A2").regime == solve::Regime::idle);
    CHECK(device(kit, point, "A2").current_a == doctest::Approx(0).epsilon(paper));
    CHECK(device(kit, point, "A1").current_a ==
          doctest::Approx(10).epsilon(paper)); // the battery's acceptance
    CHECK(device(kit, point, "G").regime == solve::Regime::ceiling);
}

TEST_CASE("a battery takes no more than its acceptance") {
    // 14.4 V straight on 12 V behind 0.01 ohm would be 240 A; it takes 20 A and its stud rises to the set
    // point.
    Kit kit;
    kit.battery("G", {.emf_v = 12, .ohm = 0.01, .acceptance_a = 20});
    kit.generator("A", {.set_point_v = 14.4, .ceiling_a = 100});
    kit.path("feed", "A.B+", "G.+", 0.01);
    kit.path("return", "G.-", "A.B-", 0.005);
    const auto point = solved(kit, "rated");
    CHECK(device(kit, point, "G").current_a == doctest::Approx(-20).epsilon(paper));
    CHECK(device(kit, point, "A").regime == solve::Regime::regulating);
    CHECK(device(kit, point, "G").volts_v ==
          doctest::Approx(14.4 - 20 * (0.01 + 0.005 + 1e-4)).epsilon(paper));
}

TEST_CASE("remote sense lifts the unit's own stud by the drop") {
    // Regulated at the battery's stud against the unit's own negative: 14.4 V there whatever the feed drops.
    Kit kit;
    kit.battery("G", {.emf_v = 12.6, .ohm = 0.05, .acceptance_a = 100});
    const auto unit = kit.generator("A", {.set_point_v = 14.4, .ceiling_a = 100});
    kit.path("feed", "A.B+", "G.+", 0.02);
    kit.path("return", "G.-", "A.B-", 0.0001);
    kit.sense_at(unit, "G.+");
    const auto point = solved(kit, "rated");
    // (14.4 - 12.6) / (0.05 + 0.0001 + droop 0.0001) = 35.86 A.
    CHECK(device(kit, point, "A").current_a == doctest::Approx(1.8 / 0.0502).epsilon(paper));
    CHECK(volts(kit, point, "G.+") - volts(kit, point, "A.B-") == doctest::Approx(14.4).epsilon(1e-3));
    CHECK(device(kit, point, "A").volts_v == doctest::Approx(14.4 + 0.02 * 1.8 / 0.0502).epsilon(1e-3));
}

TEST_CASE("a loose sense stud falls back on the unit's own output") {
    Kit kit;
    kit.battery("G", {.emf_v = 12.6, .ohm = 0.05, .acceptance_a = 100});
    kit.generator("A", {.set_point_v = 14.4, .ceiling_a = 100, .sense = true});
    kit.path("feed", "A.B+", "G.+", 0.02);
    kit.path("return", "G.-", "A.B-", 0.01);
    const auto loose = solved(kit, "rated");
    CHECK(device(kit, loose, "A").volts_v == doctest::Approx(14.4).epsilon(1e-3));
    CHECK(device(kit, loose, "A").current_a == doctest::Approx(1.8 / 0.0801).epsilon(paper));
    kit.path("wire", "G.+", "A.S", 0.05);
    const auto wired = solved(kit, "rated");
    // The wire against the 1 kohm inside shifts the sense point by 5e-5 of the drop.
    CHECK(volts(kit, wired, "G.+") - volts(kit, wired, "A.B-") == doctest::Approx(14.4).epsilon(1e-3));
}

TEST_CASE("parts without a path to the reference float and are named") {
    Kit kit;
    kit.battery("G", {.emf_v = 12, .ohm = 0.01, .acceptance_a = 20});
    kit.a_switch("S", model::Closes::never, 0.001);
    kit.path("feed", "G.+", "S.a", 0.001);
    const auto point = solved(kit, "standby");
    REQUIRE(point.floating.size() == 1);
    CHECK(kit.harness.terminal(point.floating.front()).address == "S.b");
    CHECK(std::isnan(volts(kit, point, "S.b")));
    CHECK(volts(kit, point, "S.a") == doctest::Approx(12).epsilon(paper));
}

TEST_CASE("currents inside a floating island are still told") {
    // A second battery and its lamp have no lead to the first: 6 V over 2 ohm and 1 ohm inside is 2 A.
    Kit kit;
    kit.battery("G1", {.emf_v = 12, .ohm = 0.01, .acceptance_a = 20});
    kit.battery("G2", {.emf_v = 6, .ohm = 1, .acceptance_a = 20});
    const auto load = kit.path("load", "G2.+", "G2.-", 2);
    const auto point = solved(kit, "standby");
    CHECK(point.floating.size() == 2);
    CHECK(point.incidental_a[model::at(load)] == doctest::Approx(2).epsilon(paper));
    CHECK(std::isnan(volts(kit, point, "G2.+")));
    CHECK(device(kit, point, "G2").volts_v == doctest::Approx(4).epsilon(paper));
}

TEST_CASE("constant power settles on the upper solution or is told to collapse") {
    // 12 V behind 0.5 ohm: at most E^2 / 4R = 72 W. 64 W: V = (12 + sqrt(144 - 4 * 0.5 * 64)) / 2 = 8 V, 8 A.
    const auto with_load = [](double power_w) {
        Kit kit;
        kit.battery("G", {.emf_v = 12, .ohm = 0.4, .acceptance_a = 20});
        kit.consumer("E", model::Demand::power, power_w);
        kit.path("f", "G.+", "E.+", 0.06);
        kit.path("r", "E.-", "G.-", 0.04);
        return kit;
    };
    const Kit fits = with_load(64);
    auto point = solved(fits, "standby");
    CHECK(device(fits, point, "E").volts_v == doctest::Approx(8).epsilon(paper));
    CHECK(device(fits, point, "E").current_a == doctest::Approx(8).epsilon(paper));
    CHECK(device(fits, point, "E").regime == solve::Regime::free);
    CHECK(point.collapsed.empty());

    // At 71.9 W, a hair under the limit, the power must still be exact: V I = P.
    const Kit tight = with_load(71.9);
    point = solved(tight, "standby");
    CHECK(point.collapsed.empty());
    CHECK(device(tight, point, "E").volts_v * device(tight, point, "E").current_a ==
          doctest::Approx(71.9).epsilon(1e-8));

    const Kit too_much = with_load(73);
    point = solved(too_much, "standby");
    CHECK(lists(point.collapsed, too_much.part("E")));
    // Folded to the resistance that takes 73 W at 6 V: 36 / 73 ohm on 12 V behind 0.5 ohm.
    CHECK(device(too_much, point, "E").current_a == doctest::Approx(12 / (0.5 + 36.0 / 73)).epsilon(paper));
}

TEST_CASE("a consumer without a feed draws nothing and is not a collapse") {
    Kit kit;
    kit.battery("G", {.emf_v = 12, .ohm = 0.01, .acceptance_a = 20});
    kit.a_switch("S", model::Closes::never, 0.001);
    kit.consumer("E1", model::Demand::current, 10);
    kit.consumer("E2", model::Demand::power, 100);
    kit.path("f", "G.+", "S.a", 0.001);
    for (const std::string id : {"E1", "E2"}) {
        kit.path(id + "f", "S.b", id + ".+", 0.001);
        kit.path(id + "r", id + ".-", "G.-", 0.001);
    }
    const auto point = solved(kit, "standby");
    CHECK(point.collapsed.empty());
    CHECK(point.floating.empty());
    for (const std::string id : {"E1", "E2"}) {
        CHECK(device(kit, point, id).current_a == doctest::Approx(0));
        CHECK(device(kit, point, id).regime == solve::Regime::idle);
        CHECK(device(kit, point, id).running);
    }
}

TEST_CASE("a mass is a star and a case-return unit stands on it") {
    // Mass of 1 ohm between any two studs: 0.5 ohm from each stud to the metal, the seat 0.2 mohm more. 12 V
    // over 1 ohm (battery) + 0.5 ohm (stud) + 0.0002 (seat) + 2 ohm (load) = 3.42837 A.
    Kit kit;
    kit.battery("G", {.emf_v = 12, .ohm = 1, .acceptance_a = 20});
    kit.mass("U", 1.0, {"g"});
    kit.consumer("E", model::Demand::resistance, 2, "U");
    kit.path("strap", "G.-", "U.g", 1e-6);
    kit.path("feed", "G.+", "E.+", 1e-6);
    const auto point = solved(kit, "standby");
    CHECK(device(kit, point, "E").current_a == doctest::Approx(12 / 3.5002).epsilon(paper));
    CHECK(volts(kit, point, "U") == doctest::Approx(0.5 * 12 / 3.5002).epsilon(paper));
}

TEST_CASE("the warning lamp excites at rest and is dark when charging") {
    // Lamp 40 ohm from battery + to L: at rest 12 V over 40 + 8 ohm is 0.25 A; charging, both its ends are
    // at 14.4 V.
    Kit kit;
    kit.battery("G", {.emf_v = 12, .ohm = 0.001, .acceptance_a = 1});
    kit.generator("A", {.set_point_v = 14.4, .ceiling_a = 100, .excite = true});
    kit.path("feed", "A.B+", "G.+", 0.001);
    kit.path("return", "G.-", "A.B-", 0.001);
    const auto lamp = kit.path("lamp", "G.+", "A.L", 40);
    CHECK(solved(kit, "standby").incidental_a[model::at(lamp)] == doctest::Approx(0.25).epsilon(1e-4));
    CHECK(std::abs(solved(kit, "cruise").incidental_a[model::at(lamp)]) < 1e-4);
}

TEST_CASE("a charge lamp is a resistance in series with the exciter and never a collapse") {
    // 3 W at 12 V is 48 ohm; with the exciter's 8 ohm 12 V drive 12 / 56 A, and a tired battery's 9 V 9 / 56
    // A.
    for (const double emf_v : {12.0, 9.0}) {
        Kit kit;
        kit.battery("G", {.emf_v = emf_v, .ohm = 0.001, .acceptance_a = 1});
        kit.generator("A", {.set_point_v = 14.4, .ceiling_a = 100, .excite = true});
        kit.consumer("P", model::Demand::power, 3);
        kit.path("return", "G.-", "A.B-", 1e-6);
        kit.path("feed", "G.+", "P.+", 1e-6);
        kit.cable("W", "P.-", "A.L", {.section_mm2 = 1, .length_m = 0.1});
        const auto point = solved(kit, "standby");
        CHECK(device(kit, point, "P").current_a == doctest::Approx(emf_v / 56).epsilon(1e-3));
        CHECK(point.collapsed.empty());
    }
}

TEST_CASE("a battery connected in reverse drives the rectifier") {
    // 12 V backwards through 1 ohm and the diodes' 1.4 V and 5 mohm.
    Kit kit;
    kit.battery("G", {.emf_v = 12, .ohm = 0.9, .acceptance_a = 20});
    kit.generator("A", {.set_point_v = 14.4, .ceiling_a = 100});
    kit.path("feed", "A.B+", "G.-", 0.05);
    kit.path("return", "G.+", "A.B-", 0.05);
    const auto point = solved(kit, "standby");
    CHECK(device(kit, point, "A").current_a == doctest::Approx((12 - 1.4) / 1.005).epsilon(paper));
}

TEST_CASE("opened parts and exact running lists vary the duty") {
    Kit kit;
    kit.battery("G", {.emf_v = 12, .ohm = 0.01, .acceptance_a = 20});
    kit.consumer("E1", model::Demand::current, 10);
    kit.consumer("E2", model::Demand::current, 20);
    kit.fuse_link_of("F", 50, 0.001);
    kit.path("f", "G.+", "F.a", 0.001);
    for (const std::string id : {"E1", "E2"}) {
        kit.path(id + "f", "F.b", id + ".+", 0.001);
        kit.path(id + "r", id + ".-", "G.-", 0.001);
    }
    CHECK(device(kit, solved(kit, "standby"), "F").current_a == doctest::Approx(30).epsilon(paper));
    solve::Variation only_one;
    only_one.running = std::vector<model::DeviceIndex>{kit.part("E2")};
    CHECK(device(kit, solved(kit, "standby", only_one), "F").current_a == doctest::Approx(20).epsilon(paper));
    solve::Variation blown;
    blown.opened_devices = {kit.part("F")};
    const auto dead = solved(kit, "standby", blown);
    CHECK(std::abs(device(kit, dead, "G").current_a) < 1e-4); // its leak
    CHECK_FALSE(device(kit, dead, "F").running);
    CHECK(device(kit, dead, "F").volts_v == doctest::Approx(12).epsilon(paper));
}
