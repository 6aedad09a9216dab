// Prospective currents by Ohm's law on paper: one feed, two feeds in parallel, a charging unit, two
// batteries.
#include "solve/shorts.h"

#include "testing/kit.h"

#include <doctest/doctest.h>

#include <algorithm>

using namespace stoutloom;
using testing::exact_cable;
using testing::Kit;

namespace {

const solve::ShortCurrent& at(const solve::ShortCurrents& shorts, model::CableIndex cable,
                              solve::ShortPlace place, model::DeviceIndex source) {
    const auto found = std::find_if(shorts.cables.begin(), shorts.cables.end(), [&](const auto& told) {
        return told.cable == cable && told.place == place && told.source == source;
    });
    REQUIRE(found != shorts.cables.end());
    return *found;
}

} // namespace

TEST_CASE("one feed: the current falls with the copper on the way") {
    // 12 V behind 4 mohm, fuse-link of nothing, cables of 1 and 3 mohm.
    Kit kit;
    const auto battery = kit.battery("G", {.emf_v = 12, .ohm = 0.004, .acceptance_a = 20});
    kit.fuse_link("F", 100);
    kit.consumer("E", model::Demand::current, 10);
    const auto first = exact_cable(kit, "W1", "G.+", "F.a", 0.001);
    const auto second = exact_cable(kit, "W2", "F.b", "E.+", 0.003);
    exact_cable(kit, "W3", "E.-", "G.-", 0.5);
    const auto shorts = solve::short_currents(kit.harness);
    REQUIRE(shorts.has_value());
    const auto here = [&](model::CableIndex cable, solve::ShortPlace place) {
        return at(*shorts, cable, place, battery);
    };
    CHECK(here(first, solve::ShortPlace::from).greatest_a == doctest::Approx(12 / 0.004).epsilon(1e-3));
    CHECK(here(first, solve::ShortPlace::middle).greatest_a == doctest::Approx(12 / 0.0045).epsilon(1e-3));
    CHECK(here(first, solve::ShortPlace::to).greatest_a == doctest::Approx(12 / 0.005).epsilon(1e-3));
    CHECK(here(second, solve::ShortPlace::middle).greatest_a == doctest::Approx(12 / 0.0065).epsilon(1e-3));
    CHECK(here(second, solve::ShortPlace::to).greatest_a == doctest::Approx(12 / 0.008).epsilon(1e-3));
    // All of it comes through the cable's own battery side.
    CHECK(here(second, solve::ShortPlace::to).through_from_a == doctest::Approx(12 / 0.008).epsilon(1e-3));
    CHECK(here(second, solve::ShortPlace::middle).through_to_a == doctest::Approx(0));
    CHECK(here(second, solve::ShortPlace::from).through_to_a == doctest::Approx(0));
    // The least is less: aged battery (twice 4 mohm), hot copper (100 degC: 1.3144), longer by 5 %, aged
    // joints, hot fuse.
    const double copper = 0.004 * (1 + 0.00393 * 80) * 1.05;
    CHECK(here(second, solve::ShortPlace::to).least_a < 12 / (0.008 + copper));
    CHECK(here(second, solve::ShortPlace::to).least_a > 0.5 * 12 / (0.008 + copper));
    // The way back is no live cable.
    for (const auto& told : shorts->cables)
        CHECK(told.cable != model::CableIndex{2});
}

TEST_CASE("two feeds in parallel share a short in the middle of one") {
    // Battery and its lead 4 mohm to post X1; X1 to X2 by two cables of 2 mohm each. Short in the middle of
    // one: 1 mohm one way, 2 + 1 mohm the other way, 0.75 mohm together; 3 : 1 by the nearer way.
    Kit kit;
    const auto battery = kit.battery("G", {.emf_v = 12, .ohm = 0.003, .acceptance_a = 20});
    kit.post("X1");
    kit.post("X2");
    exact_cable(kit, "W1", "G.+", "X1", 0.001);
    const auto one = exact_cable(kit, "W2", "X1", "X2", 0.002);
    exact_cable(kit, "W3", "X1", "X2", 0.002);
    const auto shorts = solve::short_currents(kit.harness);
    REQUIRE(shorts.has_value());
    const auto& middle = at(*shorts, one, solve::ShortPlace::middle, battery);
    CHECK(middle.greatest_a == doctest::Approx(12 / 0.00475).epsilon(1e-3));
    CHECK(middle.through_from_a == doctest::Approx(0.75 * 12 / 0.00475).epsilon(1e-3));
    CHECK(middle.through_to_a == doctest::Approx(0.25 * 12 / 0.00475).epsilon(1e-3));
    const auto& far = at(*shorts, one, solve::ShortPlace::to, battery);
    CHECK(far.greatest_a == doctest::Approx(12 / 0.005).epsilon(1e-3));
    CHECK(far.through_from_a == doctest::Approx(0.5 * 12 / 0.005).epsilon(1e-3));
}

TEST_CASE("a charging unit gives its ceiling and a bit wherever the short is") {
    Kit kit;
    kit.battery("G", {.emf_v = 12, .ohm = 0.004, .acceptance_a = 20});
    kit.mass("U", 1e-4, {"g"});
    const auto unit = kit.generator("A", {.set_point_v = 14.4, .ceiling_a = 100, .seat = "U"});
    const auto feed = exact_cable(kit, "W1", "A.B+", "G.+", 0.005);
    exact_cable(kit, "W2", "G.-", "U.g", 0.001);
    const auto shorts = solve::short_currents(kit.harness);
    REQUIRE(shorts.has_value());
    for (const auto place : {solve::ShortPlace::from, solve::ShortPlace::middle, solve::ShortPlace::to}) {
        CHECK(at(*shorts, feed, place, unit).greatest_a == doctest::Approx(130));
        CHECK(at(*shorts, feed, place, unit).least_a == doctest::Approx(100));
    }
    CHECK(at(*shorts, feed, solve::ShortPlace::to, unit).through_from_a ==
          doctest::Approx(130).epsilon(1e-3));
    CHECK(at(*shorts, feed, solve::ShortPlace::from, unit).through_to_a == doctest::Approx(0));
}

TEST_CASE("each battery is taken alone and reaches through the other's stud") {
    Kit kit;
    const auto near = kit.battery("G1", {.emf_v = 12, .ohm = 0.004, .acceptance_a = 20});
    const auto far = kit.battery("G2", {.emf_v = 12.5, .ohm = 0.005, .acceptance_a = 20});
    const auto link = exact_cable(kit, "W1", "G1.+", "G2.+", 0.002);
    exact_cable(kit, "W2", "G1.-", "G2.-", 0.002);
    const auto shorts = solve::short_currents(kit.harness);
    REQUIRE(shorts.has_value());
    CHECK(at(*shorts, link, solve::ShortPlace::from, near).greatest_a ==
          doctest::Approx(12 / 0.004).epsilon(1e-3));
    CHECK(at(*shorts, link, solve::ShortPlace::from, far).greatest_a ==
          doctest::Approx(12.5 / 0.007).epsilon(1e-3));
    CHECK(at(*shorts, link, solve::ShortPlace::from, far).through_to_a ==
          doctest::Approx(12.5 / 0.007).epsilon(1e-3));
}

TEST_CASE("a battery's short circuit lies in the band the trade tells for its cold-cranking rating") {
    // From memory: at 25 degC four to five times the cold-cranking current at its terminals; 540 A (EN).
    Kit kit;
    const auto battery = kit.battery("G", {});
    auto& about = std::get<model::Battery>(kit.harness.devices[model::at(battery)].data);
    about.resistance_ohm.reset();
    about.emf_v.reset();
    about.cold_cranking_a = testing::written(540);
    kit.consumer("E", model::Demand::current, 1);
    kit.cable("W1", "G.+", "E.+", {});
    const auto shorts = solve::short_currents(kit.harness);
    REQUIRE(shorts.has_value());
    const double stud_a = at(*shorts, model::CableIndex{0}, solve::ShortPlace::from, battery).greatest_a;
    CHECK(stud_a > 4 * 540);
    CHECK(stud_a < 5.1 * 540);
}

// A spanner across the studs of a unit: battery 4 mohm, feed 1 mohm, the way back counted as nothing.
TEST_CASE("between a stud and what is in its reach flows what the loop lets through") {
    Kit kit;
    const auto battery = kit.battery("G", {.emf_v = 12, .ohm = 0.004, .acceptance_a = 20});
    kit.generator("A", {.set_point_v = 14.4, .ceiling_a = 100});
    exact_cable(kit, "W1", "A.B+", "G.+", 0.001);
    exact_cable(kit, "W2", "G.-", "A.B-", 0.001);
    const auto shorts = solve::short_currents(kit.harness);
    REQUIRE(shorts.has_value());
    const auto stud = model::find_terminal(kit.harness, "A.B+"),
               part = model::find_terminal(kit.harness, "A.B-");
    int told = 0;
    for (const solve::ReachShort& one : shorts->in_reach)
        if (one.between.stud == stud && one.between.part == part) {
            ++told;
            CHECK(one.greatest_a == doctest::Approx(one.source == battery ? 12 / 0.005 : 130).epsilon(1e-3));
        }
    CHECK(told == 2); // the battery and the unit itself, each alone
}

// Neither battery alone drives anything across the open switch; both in series do: 24 V over 8 mohm of
// batteries and 3 mohm of cable.
TEST_CASE("a spanner that joins two batteries in series meets both their volts") {
    Kit kit;
    kit.battery("G1", {.emf_v = 12, .ohm = 0.004, .acceptance_a = 20});
    kit.battery("G2", {.emf_v = 12, .ohm = 0.004, .acceptance_a = 20});
    kit.a_switch("S", model::Closes::never, 1e-4);
    exact_cable(kit, "W1", "G1.+", "S.a", 0.001);
    exact_cable(kit, "W2", "S.b", "G2.-", 0.001);
    exact_cable(kit, "W3", "G2.+", "G1.-", 0.001);
    const auto shorts = solve::short_currents(kit.harness);
    REQUIRE(shorts.has_value());
    const auto stud = model::find_terminal(kit.harness, "S.a"),
               part = model::find_terminal(kit.harness, "S.b");
    double greatest_a = 0;
    for (const solve::ReachShort& one : shorts->in_reach)
        if (one.between.stud == stud && one.between.part == part)
            greatest_a = std::max(greatest_a, one.greatest_a);
    // The cable between the two is on the ground side, which may count as nothing.
    CHECK(greatest_a >= 24 / 0.0111);
    CHECK(greatest_a <= 24 / 0.0099);
}

// Metal in the same zone is in reach, metal elsewhere is not; a stud marked near ground reaches all of it.
TEST_CASE("what is in reach goes by landing and zone") {
    Kit kit;
    kit.battery("G", {.emf_v = 12, .ohm = 0.004, .acceptance_a = 20});
    const auto other = kit.zone("far", 20);
    const auto near = kit.mass("U1", 1e-4, {"g"}), far = kit.mass("U2", 1e-4, {"g"});
    kit.harness.devices[model::at(far)].zone = other;
    kit.harness.devices[model::at(near)].zone = kit.harness.devices[0].zone;
    kit.post("X");
    exact_cable(kit, "W1", "G.+", "X", 0.001);
    exact_cable(kit, "W2", "G.-", "U1.g", 0.001);
    exact_cable(kit, "W3", "U1.g", "U2.g", 0.001);
    const auto reaches = [&](const std::string& stud, const std::string& part) {
        const auto a = model::find_terminal(kit.harness, stud), b = model::find_terminal(kit.harness, part);
        const auto all = solve::parts_in_reach(kit.harness);
        return std::any_of(all.begin(), all.end(), [&](const solve::InReach& one) {
            return (one.stud == a && one.part == b) || (one.stud == b && one.part == a);
        });
    };
    CHECK(reaches("G.+", "G.-"));
    CHECK(reaches("G.+", "U1"));
    CHECK_FALSE(reaches("G.+", "U2"));
    kit.harness.terminals[model::at(*model::find_terminal(kit.harness, "G.+"))].near_ground = true;
    CHECK(reaches("G.+", "U2"));
}
