// Both ends of the regulator's tolerance: the upper one for heat and overvoltage, the lower one for what the
// battery gets and for loads that draw more the less volts they have.
#include "check/balance.h"
#include "check/charging.h"
#include "kit.h"

#include <cmath>

using namespace stoutloom;

namespace {

// A unit of 14.3 V that looks at its own stud, a battery that takes 25 A, a converter of 400 W at the unit.
const std::string bench =
    "<battery id=\"G2\" zone=\"shop\" capacity=\"100 Ah\" emf=\"12.5 V\" "
    "resistance=\"5 mohm\" acceptance=\"25 A\"/>\n"
    "<generator id=\"G1\" zone=\"shop\" return=\"isolated\" set-point=\"14.3 V\"><output "
    "speed=\"rated\" cold=\"190 A\" hot=\"180 A\"/>"
    "<terminal id=\"B+\" stud=\"M8\"/><terminal id=\"B-\" stud=\"M10\"/></generator>\n"
    "<consumer id=\"E1\" zone=\"shop\" power=\"400 W\" return=\"wire\"/>\n"
    "<duty id=\"day\" engine=\"cruise\"/>\n" +
    testing::cable("W1", "50 mm2", "G1.B+", "G2.+", "2 m") +
    testing::cable("W2", "50 mm2", "G2.-", "G1.B-", "2 m") +
    testing::cable("W3", "10 mm2", "G1.B+", "E1.+", "3 m") +
    testing::cable("W4", "10 mm2", "E1.-", "G1.B-", "3 m");

} // namespace

TEST_CASE("what the battery gets is told at the lower end of the set point") {
    const model::Harness harness = testing::kit(bench);
    const check::Facts facts = check::gather(harness);
    REQUIRE(facts.at_worst != nullptr);
    REQUIRE(facts.at_least_charge != nullptr);
    const auto built = check::charging(facts), high = check::charging(*facts.at_worst),
               low = check::charging(*facts.at_least_charge);
    REQUIRE(built.size() == 1);
    CHECK(low[0].set_point_v == doctest::Approx(14.0));
    CHECK(high[0].set_point_v == doctest::Approx(14.6));
    // The battery takes its 25 A at either end, so its volts follow the set point volt for volt; the cables
    // are a little warmer at the lower end, where the converter draws more.
    CHECK(high[0].battery_v - low[0].battery_v == doctest::Approx(0.6).epsilon(1e-3));
    CHECK(low[0].battery_v < built[0].battery_v - 0.3);
    for (const check::Facts* one : {&facts, facts.at_worst.get(), facts.at_least_charge.get()})
        CHECK(check::battery_balances(*one)[0].net_a == doctest::Approx(25));
}

TEST_CASE("a load of constant power draws most at the lower end and its cable is judged there") {
    const model::Harness harness = testing::kit(bench);
    const check::Facts facts = check::gather(harness);
    const auto w3 = model::find_cable(harness, "W3");
    const auto e1 = model::find_device(harness, "E1");
    REQUIRE(w3.has_value());
    REQUIRE(e1.has_value());
    const auto& low = facts.at_least_charge->duties[0].point;
    REQUIRE(low.has_value());
    const double power_w = low->devices[model::at(*e1)].volts_v * low->cables[model::at(*w3)].current_a;
    CHECK(power_w == doctest::Approx(400).epsilon(1e-6));
    const check::WorstDuty worst = check::worst_duty(facts, *w3);
    CHECK(worst.current_a == doctest::Approx(std::abs(low->cables[model::at(*w3)].current_a)).epsilon(1e-9));
    CHECK(worst.current_a > 1.02 * facts.worst[model::at(*w3)].current_a);
    REQUIRE(worst.drop_v.has_value());
    CHECK(*worst.drop_v == doctest::Approx(std::abs(low->cables[model::at(*w3)].drop_v)).epsilon(1e-9));
}

TEST_CASE("without a charging unit there is no set point to vary") {
    const model::Harness harness =
        testing::kit(testing::battery + "<consumer id=\"E1\" zone=\"shop\" draw=\"5 A\" return=\"wire\"/>\n" +
                     testing::cable("W1", "2.5 mm2", "G2.+", "E1.+", "2 m") +
                     testing::cable("W2", "2.5 mm2", "E1.-", "G2.-", "2 m"));
    const check::Facts facts = check::gather(harness);
    CHECK(facts.at_worst != nullptr);
    CHECK(facts.at_least_charge == nullptr);
}
