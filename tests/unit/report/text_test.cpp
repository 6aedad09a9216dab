// The text report: every figure on the safe side, findings word for word, nothing wider than a terminal.
#include "report/report.h"

#include "synthetic.h"

#include <charconv>
#include <cmath>
#include <regex>
#include <sstream>

using namespace stoutloom;
using check::Severity;
using check::Verdict;

namespace {

std::string line_with(const std::string& text, const std::string& begin) {
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);)
        if (line.rfind(begin, 0) == 0)
            return line;
    return {};
}

// The figures of a line in order; words and units are passed over.
std::vector<double> figures(const std::string& line) {
    std::vector<double> all;
    std::istringstream words(line);
    for (std::string word; words >> word;) {
        double value = NAN;
        const auto end =
            std::from_chars(word.data() + (word[0] == '+' ? 1 : 0), word.data() + word.size(), value);
        if (end.ec == std::errc() && end.ptr == word.data() + word.size())
            all.push_back(value);
    }
    return all;
}

// As one line, so that a sentence can be looked for wherever it was broken.
std::string unwrapped(const std::string& text) {
    return std::regex_replace(text, std::regex("\n +"), " ");
}

bool spans_hold(const std::string& text) {
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);)
        if (line.size() > 100) {
            MESSAGE("too wide: ", line);
            return false;
        }
    return true;
}

} // namespace

TEST_CASE("no figure of the cable table is rounded towards danger") {
    const auto made = testing::synthetic(testing::small_kit());
    auto random = testing::random_source("cable table");
    std::uniform_real_distribution<double> current(0.01, 400), degrees(20, 240), volts(0, 2);
    for (int i = 0; i < 500; ++i) {
        check::WorstDuty& worst = made->facts.worst[0];
        worst.duty = model::find_duty(made->harness, "rated");
        worst.current_a = current(random);
        worst.temperature_degc = degrees(random);
        made->facts.ratings[0].usable_a = current(random);
        const double drop_v = volts(random);
        made->facts.duties[model::at(*worst.duty)].point->cables[0].drop_v = i % 2 == 0 ? drop_v : -drop_v;
        const std::string line = line_with(report::check_text(made->checked, {}), "  W1");
        const std::vector<double> shown =
            figures(line); // section, length, class, load, usable, used, hottest, drop
        REQUIRE_MESSAGE(shown.size() == 8, line);
        CHECK(shown[3] >= worst.current_a - 1e-6);
        CHECK(shown[4] <= made->facts.ratings[0].usable_a + 1e-6);
        CHECK(shown[5] >= 100 * worst.current_a / made->facts.ratings[0].usable_a - 1e-6);
        CHECK(shown[6] >= worst.temperature_degc - 1e-6);
        CHECK(shown[7] >= drop_v - 1e-6);
        CHECK(shown[3] - worst.current_a < 0.11); // and not by more than a digit
    }
}

TEST_CASE("a battery's volts and charge are rounded to the poorer side") {
    const auto made = testing::synthetic(testing::small_kit());
    const auto rated = model::find_duty(made->harness, "rated");
    REQUIRE(rated.has_value());
    solve::DeviceState& battery = made->facts.duties[model::at(*rated)].point->devices[0];
    battery.volts_v = 13.459;
    battery.current_a = -47.29;                        // out of the positive terminal: this is charging
    const auto tells = [&](const std::string& words) { // columns one space apart
        const std::string text =
            std::regex_replace(report::check_text(made->checked, {}), std::regex(" +"), " ");
        return text.find(words) != std::string::npos;
    };
    CHECK(tells(" 13.45 V - +47.2 A - charging"));
    battery.current_a = 10.21;
    CHECK(tells(" 13.45 V - -10.3 A - discharging"));
}

TEST_CASE("a finding is told with its place and its two figures and its cure") {
    const auto made = testing::synthetic(testing::small_kit());
    check::Judgement& judgement = made->judge("W1", Verdict::fails, Severity::error);
    judgement.message = "W1 carries 96.1 A but stands 72.0 A";
    judgement.computed = 96.04;
    judgement.limit = 72.06;
    judgement.has_figures = true;
    judgement.unit = "A";
    judgement.limit_source = "heat model, margin 87 %";
    judgement.duty = "rated";
    judgement.span = made->harness.cables[0].span;
    CHECK(report::check_text(made->checked, {.every_judgement = false, .brief = true}) ==
          "kit.xml:6:3: error: made-up: W1 carries 96.1 A but stands 72.0 A\n"
          "    computed 96.1 A, limit 72.0 A (heat model, margin 87 %)\n"
          "    in duty: rated\n"
          "    cure: make it real\n"
          "kit.xml: NOT FIT TO BUILD: 1 error\n");
}

TEST_CASE("an accepted finding is told with the author's reason and does not fail the kit") {
    const auto made = testing::synthetic(testing::small_kit());
    check::Judgement& judgement = made->judge("W1", Verdict::fails, Severity::note);
    judgement.accepted = true;
    judgement.accepted_reason = "measured cold";
    const std::string text = report::check_text(made->checked, {.every_judgement = false, .brief = true});
    CHECK(text.find("    accepted in the file: measured cold\n") != std::string::npos);
    CHECK(text.find("kit.xml: no errors: 1 note\n") != std::string::npos);
}

TEST_CASE("a duty without an operating point is an error even when no rule speaks of it") {
    const auto made = testing::synthetic(testing::small_kit());
    made->judge("W1", Verdict::passes, Severity::note);
    CHECK(report::tally(made->checked).clean());
    made->facts.duties[2].point.reset();
    made->facts.duties[2].unsolved =
        solve::Unsolved{.message = "G1 and G3 disagree", .subjects = {"G1", "G3"}};
    CHECK_FALSE(report::tally(made->checked).clean());
    const std::string text = unwrapped(report::check_text(made->checked, {}));
    CHECK(text.find(
              "error: duty-unsolved: cannot tell: duty rated has no operating point: G1 and G3 disagree") !=
          std::string::npos);
    CHECK(text.find("kit.xml: NOT FIT TO BUILD: 1 error\n") != std::string::npos);
}

TEST_CASE("no answer at all is not a pass") {
    const auto made = testing::synthetic(testing::small_kit());
    CHECK_FALSE(report::tally(made->checked).clean());
    CHECK(report::check_text(made->checked, {}).find("NOT FIT TO BUILD") == std::string::npos);
    CHECK(report::check_text(made->checked, {}).find("NOT CHECKED") != std::string::npos);
}

TEST_CASE("a cable that burns is not given a temperature") {
    const auto made = testing::synthetic(testing::small_kit());
    check::WorstDuty& worst = made->facts.worst[0];
    worst.duty = model::find_duty(made->harness, "rated");
    worst.current_a = 300;
    worst.temperature_degc = 99;
    worst.runaway = true;
    const std::string line = line_with(report::check_text(made->checked, {}), "  W1");
    CHECK(line.find("burns") != std::string::npos);
    CHECK(line.find("99") == std::string::npos);
    CHECK(report::check_json({made->checked}).find("\"temperature_c\": null") != std::string::npos);
}

TEST_CASE("a US file is answered in US units and one of both in both") {
    // 1.60 m is 5.25 ft; 100 degC is 212 degF; 35 mm2 lies between 2 and 1 AWG (ASTM B258).
    for (const std::string units : {"us", "both", "metric"}) {
        const auto made = testing::synthetic(testing::small_kit(units));
        made->facts.worst[0].duty = model::find_duty(made->harness, "rated");
        made->facts.worst[0].current_a = 10;
        made->facts.worst[0].temperature_degc = 100;
        const std::string text = report::check_text(made->checked, {});
        CAPTURE(units);
        CHECK((text.find("212 degF") != std::string::npos) == (units != "metric"));
        CHECK((text.find("5.3 ft") != std::string::npos) == (units != "metric"));
        CHECK((text.find("1 AWG") != std::string::npos) == (units != "metric"));
        CHECK((line_with(text, "  W1").find("35 mm2") != std::string::npos) == (units != "us"));
        CHECK(spans_hold(text));
    }
}

TEST_CASE("defaults of many parts are one line and cautions and silences are printed") {
    const auto made = testing::synthetic(testing::small_kit());
    made->harness.assumptions = {{.subject = "F1", .what = "type SF51", .reason = "the usual one"},
                                 {.subject = "F2", .what = "type SF51", .reason = "the usual one"}};
    const std::string text = report::check_text(made->checked, {});
    CHECK(text.find("  F1, F2: type SF51 (the usual one)\n") != std::string::npos);
    CHECK(text.find(report::cautions()[0].substr(0, 60)) != std::string::npos);
    CHECK(text.find(report::not_checked()[0].substr(0, 60)) != std::string::npos);
    CHECK(text.find("87 %") != std::string::npos);
    CHECK(spans_hold(text));
}

TEST_CASE("every answer is printed on request and only then") {
    const auto made = testing::synthetic(testing::small_kit());
    made->judge("W1", Verdict::passes, Severity::note).message = "W1 is at ease";
    CHECK(report::check_text(made->checked, {}).find("W1 is at ease") == std::string::npos);
    CHECK(report::check_text(made->checked, {.every_judgement = true, .brief = false})
              .find("W1 passes: W1 is at ease") != std::string::npos);
}
