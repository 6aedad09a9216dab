// What batteries and charging units offer in a duty, and the deck that tells it to others.
#include "solve/assumed.h"
#include "solve/solve.h"
#include "solve/sources.h"

#include "testing/kit.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace stoutloom;
using testing::Kit;

namespace {

model::Output output(std::optional<model::Speed> speed, std::optional<double> shaft_rpm, double cold_a,
                     double hot_a) {
    model::Output made{.speed = speed,
                       .shaft_rpm = std::nullopt,
                       .cold_a = testing::written(cold_a),
                       .hot_a = testing::written(hot_a),
                       .span = {}};
    if (shaft_rpm)
        made.shaft_rpm = testing::written(*shaft_rpm);
    return made;
}

} // namespace

TEST_CASE("the ceiling follows speed and heat") {
    Kit kit;
    const auto unit = kit.generator("A", {});
    auto& about = std::get<model::Generator>(kit.harness.devices[model::at(unit)].data);
    about.outputs = {output(model::Speed::idle, std::nullopt, 95, 75),
                     output(model::Speed::rated, std::nullopt, 180, 160)};
    const auto ceiling = [&](const char* id) {
        return solve::generator_law(kit.harness, kit.duty(id), unit, solve::Supply::nominal).ceiling_a;
    };
    CHECK(ceiling("idle") == 75);
    CHECK(ceiling("rated") == 160);
    CHECK(ceiling("cruise") == 160); // no row: the greatest, the careful side for the cables
    CHECK(ceiling("standby") == 0);
    CHECK(ceiling("cranking") == 0);
    CHECK_FALSE(
        solve::generator_law(kit.harness, kit.duty("cranking"), unit, solve::Supply::nominal).turning);
    model::Duty cold = kit.duty("rated");
    cold.hot = false;
    CHECK(solve::generator_law(kit.harness, cold, unit, solve::Supply::nominal).ceiling_a == 180);
    CHECK(solve::greatest_output_a(about) == 180);
    about.outputs = {output(model::Speed::rated, std::nullopt, 100, 80)};
    CHECK(ceiling("idle") == doctest::Approx(0.40 * 80)); // common practice: 35 to 40 A of a 90 A unit
}

TEST_CASE("an engine speed in the duty reads the curve at shaft speed") {
    // A boat unit's manual page: cold 24 A at 1300 rpm and 50 A at 2500 rpm of the shaft; ratio 1.78 to 1.
    Kit kit;
    const auto unit = kit.generator("A", {});
    auto& about = std::get<model::Generator>(kit.harness.devices[model::at(unit)].data);
    about.outputs = {output(std::nullopt, 1300, 24, 16), output(std::nullopt, 2500, 50, 41)};
    about.pulley_ratio = testing::written(1.78);
    model::Duty duty = kit.duty("cruise");
    duty.hot = false;
    duty.engine_rpm = testing::written(2500 / 1.78);
    CHECK(solve::generator_law(kit.harness, duty, unit, solve::Supply::nominal).ceiling_a ==
          doctest::Approx(50));
    duty.engine_rpm = testing::written(1300 / 1.78);
    CHECK(solve::generator_law(kit.harness, duty, unit, solve::Supply::nominal).ceiling_a ==
          doctest::Approx(24));
}

TEST_CASE("the set point falls with heat where the file says so and has two ends in the worst case") {
    Kit kit(12, 75);
    const auto unit = kit.generator("A", {.set_point_v = 14.5});
    std::get<model::Generator>(kit.harness.devices[model::at(unit)].data).temperature_coefficient_v_per_k =
        testing::written(-0.010);
    CHECK(solve::generator_law(kit.harness, kit.duty("rated"), unit, solve::Supply::nominal).set_point_v ==
          doctest::Approx(14.0));
    CHECK(solve::generator_law(kit.harness, kit.duty("rated"), unit, solve::Supply::strongest).set_point_v ==
          doctest::Approx(14.3));
    CHECK(solve::generator_law(kit.harness, kit.duty("rated"), unit, solve::Supply::weakest).set_point_v ==
          doctest::Approx(13.7));
}

TEST_CASE("a battery's default figures and the directions of the worst case") {
    Kit kit;
    const auto battery = kit.battery("G", {});
    auto& about = std::get<model::Battery>(kit.harness.devices[model::at(battery)].data);
    about.resistance_ohm.reset();
    about.emf_v.reset();
    about.acceptance_a.reset();
    about.cold_cranking_a = testing::written(700);
    const auto law = [&](const char* id, bool worst) {
        return solve::battery_law(kit.harness, kit.duty(id), battery,
                                  worst ? solve::Supply::strongest : solve::Supply::nominal);
    };
    // Trade figures from memory: 2.6 to 3.0 V over the cold-cranking current near 25 degC; 12.5 V at 75 %
    // charge.
    CHECK(law("standby", false).resistance_ohm == doctest::Approx(2.8 / 700).epsilon(0.08));
    CHECK(law("standby", false).emf_v == doctest::Approx(12.5).epsilon(0.005));
    // Cranking on an aged one, charging a strong one.
    CHECK(law("cranking", true).resistance_ohm > 1.4 * law("cranking", false).resistance_ohm);
    CHECK(law("cruise", true).resistance_ohm < law("cruise", false).resistance_ohm);
    CHECK(
        solve::battery_law(kit.harness, kit.duty("cruise"), battery, solve::Supply::weakest).resistance_ohm >
        1.4 * law("cruise", false).resistance_ohm);
    // 100 Ah flooded takes up to a quarter of that when half empty; at rated output nothing is bounded by
    // default.
    CHECK(law("idle", false).acceptance_a <= 25.0);
    CHECK(std::isinf(law("rated", false).acceptance_a));
    about.acceptance_a = testing::written(40);
    CHECK(law("rated", false).acceptance_a == 40);
    CHECK(solve::battery_least_ohm(kit.harness, battery) <= 2.6 / 700 * 1.001);
}

TEST_CASE("a swapped battery pair is solved and shows reversed volts") {
    Kit kit;
    kit.battery("G", {.emf_v = 12, .ohm = 0.01, .acceptance_a = 20});
    const auto load = kit.consumer("E", model::Demand::current, 5);
    const auto feed = kit.cable("W1", "G.+", "E.+", {});
    const auto back = kit.cable("W2", "G.-", "E.-", {});
    solve::Variation swapped;
    swapped.rewired = {{.cable = feed, .end = 0, .now_at = kit.terminal("G.-")},
                       {.cable = back, .end = 0, .now_at = kit.terminal("G.+")}};
    const auto point = solve::operating_point(kit.harness, kit.duty("standby"), swapped);
    REQUIRE(point.has_value());
    CHECK(point->devices[model::at(load)].volts_v < -11.9);
    CHECK(point->devices[model::at(load)].current_a == doctest::Approx(-5));
}

TEST_CASE("the deck names its nodes and ends as ngspice needs it") {
    Kit kit;
    kit.harness.title = "two\nlines";
    kit.battery("G", {});
    kit.consumer("E", model::Demand::power, 50);
    kit.cable("W1", "G.+", "E.+", {});
    kit.cable("W2", "E.-", "G.-", {});
    const auto deck = solve::spice_deck(kit.harness, kit.duty("standby"));
    REQUIRE(deck.has_value());
    CHECK(deck->rfind("two lines (duty standby)\n", 0) == 0);
    CHECK(deck->find("\nquit 0\n.endc\n.end\n") != std::string::npos);
    CHECK(deck->find("* cable W1, 1 x 50 mm2") != std::string::npos);
    CHECK(solve::deck_node_name(kit.harness, kit.duty("standby"), kit.terminal("G.-")) == "0");
    const std::string name = solve::deck_node_name(kit.harness, kit.duty("standby"), kit.terminal("E.+"));
    CHECK(deck->find("* " + name + " = E.+\n") != std::string::npos);
    CHECK(deck->find("print v(" + name + ")") != std::string::npos);
}

TEST_CASE("the solver tells what it took for granted about this harness") {
    Kit kit;
    kit.mass("U", 1e-4, {"g"});
    kit.generator("A", {.seat = "U"});
    kit.starter("M", 200, "U");
    const auto told = solve::solver_assumptions(kit.harness);
    const auto about = [&](const char* subject, const char* word) {
        return std::any_of(told.begin(), told.end(), [&](const auto& one) {
            return one.subject == subject && one.what.find(word) != std::string::npos && !one.reason.empty();
        });
    };
    CHECK(about("A", "droop"));
    CHECK(about("A", "case to U"));
    CHECK(about("M", "coil"));
}
