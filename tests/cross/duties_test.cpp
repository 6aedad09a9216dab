// What the report says of time: the battery's balance and the short duties of a cable, read back from the
// JSON and held against integrations done here.
#include "check/check.h"
#include "physics/shorttime.h"
#include "read/read.h"
#include "report/report.h"
#include "testing/testing.h"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <regex>

using namespace stoutloom;
using nlohmann::json;

namespace {

struct Answer {
    json told;
    std::string text;
};

Answer answer_of(const std::string& xml) {
    auto read = read::read_text("kit.xml", xml);
    REQUIRE_MESSAGE(read.has_value(),
                    (read ? std::string() : base::shown(read.error().mistakes[0], read.error().source)));
    const check::Facts facts = check::gather(read->harness, check::Depth::healthy);
    const check::CheckRecord record = check::judge_all(facts);
    const report::Checked checked{
        .source = &read->source, .harness = &read->harness, .facts = &facts, .record = &record};
    return {.told = json::parse(report::check_json({checked})),
            .text = std::regex_replace(report::check_text(checked, {}), std::regex("\\s+"), " ")};
}

const json& one_of(const json& list, const std::string& id) {
    for (const json& one : list)
        if (one.contains("id") ? one["id"] == id : one["duty"] == id)
            return one;
    FAIL("no ", id);
    return list;
}

/// 80 Ah at `charge`; what E1 asks; the engine as the duty says.
std::string camper(const std::string& asks, double charge_percent) {
    return fmt::format(R"(<harness xmlns="urn:stoutloom:harness:1" title="Expedition truck, fridge">
  <zone id="box" ambient="30 degC"/>
  <battery id="G2" capacity="80 Ah" cold-cranking="600 A"/>
  <consumer id="E1" label="Fridge" {} runs="always" switchable="no"/>
  <cable id="W1" section="6 mm2" length="2 m"> <from at="G2.+"/> <to at="E1.+"/> </cable>
  <cable id="W2" section="6 mm2" length="2 m"> <from at="G2.-"/> <to at="E1.-"/> </cable>
  <duty id="parked" engine="off" charge="{:.3f} %"/>
</harness>)",
                       asks, charge_percent);
}

} // namespace

TEST_CASE("hours to half charge against coulombs counted in steps") {
    // Each step is solved anew at its own charge. A load of constant power asks for more as the volts fall.
    struct Asked {
        const char* asks;
        double allowance;
    };
    for (const Asked& each : {Asked{"draw=\"5 A\"", 1.002}, Asked{"power=\"60 W\"", 1.03}}) {
        const char* const asks = each.asks;
        const double allowance = each.allowance;
        CAPTURE(asks);
        const auto net_a = [&](double charge_percent) {
            const json told = answer_of(camper(asks, charge_percent)).told;
            return one_of(told["duties"], "parked")["batteries"][0]["net_a"].get<double>();
        };
        const Answer answer = answer_of(camper(asks, 75));
        const json& battery = one_of(answer.told["duties"], "parked")["batteries"][0];
        double hours = 0;
        constexpr int steps = 25;
        for (int step = 0; step < steps; ++step) // from 75 to 50 %, mid-points
            hours += 80 * 0.25 / steps / -net_a(75 - 25 * (step + 0.5) / steps);
        CHECK(battery["hours_to_half"].get<double>() <= hours * allowance);
        CHECK(battery["hours_to_half"].get<double>() >= hours / allowance);
        CHECK(answer.text.find(fmt::format("half empty in {:.1f} h",
                                           std::floor(battery["hours_to_half"].get<double>() * 10) / 10)) !=
              std::string::npos);
    }
}

namespace {

/// A starter on a cable that is too thin, and a unit that puts the charge back.
constexpr const char* tractor = R"(<harness xmlns="urn:stoutloom:harness:1" title="Farm tractor, starter">
  <zone id="bonnet" ambient="60 degC"/>
  <battery id="G2" capacity="90 Ah" cold-cranking="700 A"/>
  <generator id="G1" set-point="14.4 V" return="isolated">
    <output speed="idle" cold="20 A" hot="15 A"/> <output speed="rated" cold="45 A" hot="40 A"/>
    <terminal id="B+" stud="M8"/> <terminal id="B-" stud="M8"/>
  </generator>
  <starter id="M1" draw="500 A" return="wire"/>
  <cable id="W1" section="16 mm2" insulation="C" length="1.2 m"> <from at="G2.+"/> <to at="M1.30"/> </cable>
  <cable id="W2" section="50 mm2" insulation="C" length="1.2 m"> <from at="G2.-"/> <to at="M1.31"/> </cable>
  <cable id="W3" section="16 mm2" insulation="C" length="1.2 m"> <from at="G1.B+"/> <to at="G2.+"/> </cable>
  <cable id="W4" section="16 mm2" insulation="C" length="1.2 m"> <from at="G1.B-"/> <to at="G2.-"/> </cable>
  <duty id="crank" engine="cranking" duration="10 s"/>
  <duty id="idle" engine="idle"/>
  <duty id="rated" engine="rated"/>
</harness>)";

} // namespace

TEST_CASE("what a start takes comes back second by second") {
    const Answer answer = answer_of(tractor);
    const json& start = one_of(answer.told["duties"], "crank")["batteries"][0];
    const auto charging_a = [&](const std::string& duty) {
        return one_of(answer.told["duties"], duty)["batteries"][0]["net_a"].get<double>();
    };
    CHECK(start["net_a"].get<double>() ==
          doctest::Approx(-500).epsilon(0.01));                     // and the solenoid's coil is idle
    CHECK(charging_a("idle") == doctest::Approx(15).epsilon(0.01)); // all it can give
    CHECK(start["taken_ah"].get<double>() == doctest::Approx(-start["net_a"].get<double>() * 10 / 3600));
    // 0.85 of what goes in comes out again (lead-acid, from memory).
    const auto seconds_until_back = [&](const std::string& duty) {
        double missing_ah = start["taken_ah"];
        int seconds = 0;
        for (; missing_ah > 0; ++seconds)
            missing_ah -= 0.85 * charging_a(duty) / 3600;
        return seconds;
    };
    CHECK(std::abs(start["recovery_idle_s"].get<double>() - seconds_until_back("idle")) <= 1);
    CHECK(std::abs(start["recovery_best_s"].get<double>() - seconds_until_back("rated")) <= 1);
    CHECK(start["recovery_best_s"] < start["recovery_idle_s"]);
    CHECK(answer.text.find("of idling") != std::string::npos);
}

TEST_CASE("a short duty's time to class and allowed share against the laws with and without loss") {
    const Answer answer = answer_of(tractor);
    const json& cable = one_of(answer.told["cables"], "W1");
    const json& pulse = one_of(cable["short_duties"], "crank");
    const double current_a = pulse["current_a"], start_degc = pulse["start_c"], class_degc = 125;
    // Without loss the class would be reached after (k S / I)^2; the wall takes heat up, so a little later.
    const double k = physics::adiabatic_k(start_degc, class_degc);
    const double lossless_s = std::pow(k * 16 / current_a, 2);
    CHECK(pulse["time_to_class_s"].get<double>() >= lossless_s);
    CHECK(pulse["time_to_class_s"].get<double>() <= 1.5 * lossless_s);
    CHECK(pulse["duration_s"] == 10);
    CHECK(pulse["peak_c"].get<double>() <
          physics::adiabatic_final_degc(start_degc, 16, current_a * current_a * 10));
    CHECK(pulse["peak_c"].get<double>() > start_degc + 5);
    // Again and again: pulses short against the time constant heat like their mean square, and the peak of
    // each stands somewhat above that mean.
    const double even = std::pow(cable["ampacity_a"].get<double>() / current_a, 2);
    CHECK(pulse["allowed_duty_fraction"].get<double>() <= even);
    CHECK(pulse["allowed_duty_fraction"].get<double>() >=
          0.3 * even); // one pulse alone takes three quarters of the room
    CHECK(answer.text.find(" % of the time") != std::string::npos);
    CHECK(answer.text.find("class after") != std::string::npos);
}
