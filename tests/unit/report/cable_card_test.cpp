// The quick calculation: keys, verdicts, the printed working redone as a reader with a pocket calculator
// would.
#include "base/quantity.h"
#include "report/cable_card.h"

#include <doctest/doctest.h>

#include <charconv>
#include <cmath>
#include <limits>
#include <regex>

namespace stoutloom {
namespace {

using report::CableQuestion;

CableQuestion question() {
    return {.current_a = 175,
            .length_m = 4.2,
            .section_mm2 = 50,
            .ambient_degc = 60,
            .insulation = *base::parse_insulation("C"),
            .mounting = physics::Mounting::clipped,
            .loaded_cables = 1,
            .margin_fraction = 0.87,
            .drop_limit_v = std::nullopt,
            .nominal_v = 12,
            .overrides = {}};
}

report::CableAnswer answer(const CableQuestion& asked) {
    const auto told = report::work_out_cable(asked);
    INFO((told ? std::string() : told.error().message));
    REQUIRE(told.has_value());
    return *told;
}

/// Every number of the first line that holds `what`, after it.
std::vector<double> numbers_after(std::string text, const std::string& what) {
    text = std::regex_replace(text, std::regex("\n {14}"), " "); // wrapped working on one line
    const std::size_t at = text.find(what);
    REQUIRE_MESSAGE(at != std::string::npos, "no line with ", what);
    const std::string line = text.substr(at + what.size(), text.find('\n', at) - at - what.size());
    std::vector<double> numbers;
    const std::regex number("[0-9]+(\\.[0-9]+)?");
    for (std::sregex_iterator i(line.begin(), line.end(), number), end; i != end; ++i) {
        const std::string word = i->str();
        double value = 0;
        std::from_chars(word.data(), word.data() + word.size(), value);
        numbers.push_back(value);
    }
    return numbers;
}

/// The text with its line breaks taken out.
std::string flat(const std::string& text) {
    return std::regex_replace(text, std::regex("\\s+"), " ");
}

bool near(double a, double b) {
    return std::abs(a - b) <= 2e-3 * std::abs(b);
}

} // namespace

TEST_CASE("the contract of the quick answer") {
    const auto told = answer(question());
    for (const char* key : {"\"section_mm2\": 50.0", "\"resistance_ohm\": 0.00", "\"drop_v\": 0.",
                            "\"temperature_c\": ", "\"ampacity_a\": ", "\"usable_a\": ", "\"carries\": true",
                            "\"inputs\": {", "\"assumptions\": ["})
        CHECK_MESSAGE(told.json.find(key) != std::string::npos, key);
    CHECK(told.drop_v == doctest::Approx(175 * told.resistance_ohm));
    CHECK(told.usable_a == doctest::Approx(0.87 * told.ampacity_a));
    CHECK(told.carries);
    // Independent of our tables: pure copper, 17.241 ohm mm2/km at 20 degC, at the temperature told. The
    // cable's greatest resistance lies 6.7 % over it.
    const double copper = 0.017241 / 50 * 4.2 * (234.5 + told.temperature_degc) / 254.5;
    CHECK(told.resistance_ohm > copper);
    CHECK(told.resistance_ohm < 1.08 * copper);
    CHECK(told.temperature_degc > 60);
    CHECK(told.temperature_degc < 125);
    CHECK(flat(told.text).find("13.8 ft") != std::string::npos);
    CHECK(flat(told.text).find("degF") != std::string::npos);
    CHECK(flat(told.text).find("AWG") != std::string::npos);
    CHECK(answer(question()).json == told.json);
}

TEST_CASE("the printed working closes when it is done again by hand") {
    for (const int cables : {1, 5}) {
        CableQuestion asked = question();
        asked.loaded_cables = cables;
        asked.current_a = 120;
        asked.mounting = cables == 1 ? physics::Mounting::clear : physics::Mounting::conduit;
        const std::string text = answer(asked).text;
        const auto r = numbers_after(text, "(T - 20)) = "); // r20, 1, 0.00393, T, 20, R
        REQUIRE(r.size() == 6);
        CHECK(near(r[0] * (1 + 0.00393 * (r[3] - 20)), r[5]));
        const auto loss = numbers_after(text, "I x I x R = ");
        REQUIRE(loss.size() >= 5);
        CHECK(near(loss[0] * loss[1] * loss[2] / 1000, loss[4]));
        if (cables == 1)
            CHECK(loss[0] == 120);
        const auto t1 = numbers_after(text, "ln(De / dc) = ");
        REQUIRE(t1.size() >= 5);
        CHECK(near(t1[0] / 6.2832 * std::log(t1[2] / t1[3]), t1[4]));
        const auto surface = numbers_after(text, "T - loss x T1 = ");
        REQUIRE(surface.size() >= 5);
        CHECK(near(surface[0] - surface[1] * surface[2], surface[3]));
        const auto h = numbers_after(text, "Z / De^g + E = ");
        REQUIRE(h.size() >= 5);
        CHECK(near(h[0] / std::pow(h[1], h[2]) + h[3], h[4]));
        const auto t4 = numbers_after(text, "dTs^(1/4)) = ");
        REQUIRE(t4.size() >= 7);
        CHECK(near(1 / (3.1416 * t4[2] * t4[3] * std::pow(t4[4], 0.25)), t4[6]));
        const auto t = numbers_after(text, "(T1 + T4) = ");
        REQUIRE(t.size() >= 5);
        CHECK(near(t[0] + t[1] * (t[2] + t[3]), t[4]));
        CHECK(near(t[4], r[3]));
        const auto amps = numbers_after(text, "(R x (T1 + T4))) = ");
        REQUIRE(amps.size() >= 7);
        CHECK(
            near(amps[0] * std::sqrt((amps[1] - amps[2]) / (amps[3] / 1000 * (amps[5] + amps[6]))), amps[7]));
        const auto drop = numbers_after(text, "V = I R L = ");
        REQUIRE(drop.size() >= 5);
        CHECK(near(drop[0] * drop[1] / 1000 * drop[3], drop[4]));
    }
}

TEST_CASE("a section is proposed and the next smaller one would not do") {
    CableQuestion asked = question();
    asked.section_mm2.reset();
    for (const double current_a : {8.0, 60.0, 175.0, 320.0}) {
        asked.current_a = current_a;
        const auto told = answer(asked);
        CHECK(told.carries);
        CHECK(told.usable_a >= current_a);
        std::vector<double> smaller;
        for (const auto stock : {physics::metric_stock_mm2(), physics::awg_stock_mm2()})
            for (const double section_mm2 : stock)
                if (section_mm2 < told.section_mm2)
                    smaller.push_back(section_mm2);
        for (const double section_mm2 : smaller) {
            CableQuestion thinner = asked;
            thinner.section_mm2 = section_mm2;
            CHECK_FALSE(answer(thinner).carries);
        }
        CHECK(flat(told.text).find("metric stock") != std::string::npos);
    }
}

TEST_CASE("a drop limit asks for more copper") {
    CableQuestion asked = question();
    asked.section_mm2.reset();
    const double by_heat = answer(asked).section_mm2;
    asked.drop_limit_v = 0.2;
    const auto told = answer(asked);
    CHECK(told.section_mm2 > by_heat);
    CHECK(told.drop_v <= 0.2);
    CHECK(flat(told.text).find("Within the limit") != std::string::npos);
    asked.section_mm2 = 50;
    const auto thin = answer(asked);
    CHECK_FALSE(thin.carries);
    CHECK(flat(thin.text).find("OVER THE LIMIT") != std::string::npos);
    asked.section_mm2.reset();
    asked.drop_limit_v = 0.001;
    const auto none = report::work_out_cable(asked);
    REQUIRE_FALSE(none.has_value());
    CHECK(none.error().message.find("drop") != std::string::npos);
}

TEST_CASE("a runaway is said plainly and never carries") {
    CableQuestion asked = question();
    asked.current_a = 5000;
    asked.section_mm2 = 10;
    const auto told = answer(asked);
    CHECK_FALSE(told.carries);
    CHECK(std::isnan(told.temperature_degc));
    CHECK(told.json.find("\"temperature_c\": null") != std::string::npos);
    CHECK(told.json.find("\"carries\": false") != std::string::npos);
    CHECK(flat(told.text).find("DOES NOT CARRY") != std::string::npos);
    CHECK(flat(told.text).find("no steady temperature") != std::string::npos);
    CHECK(flat(told.text).find("nan") == std::string::npos);
    CHECK(told.json.find("nan") == std::string::npos);
    // Over the class but under the melting point: a temperature exists and it does not carry either.
    asked.current_a = 150;
    const auto hot = answer(asked);
    CHECK_FALSE(hot.carries);
    CHECK(hot.temperature_degc > 125);
}

TEST_CASE("air at the class temperature leaves nothing to carry") {
    CableQuestion asked = question();
    asked.ambient_degc = 125;
    CHECK(answer(asked).ampacity_a == 0);
    CHECK_FALSE(answer(asked).carries);
    asked.section_mm2.reset();
    const auto told = report::work_out_cable(asked);
    REQUIRE_FALSE(told.has_value());
    CHECK(told.error().message.find("no section helps") != std::string::npos);
    asked.ambient_degc = 60;
    asked.current_a = 3000;
    const auto heavy = report::work_out_cable(asked);
    REQUIRE_FALSE(heavy.has_value());
    CHECK(heavy.error().message.find("no stock section carries 3000 A") != std::string::npos);
}

TEST_CASE("questions without sense are refused") {
    const double bad = std::numeric_limits<double>::quiet_NaN();
    const auto refused = [](const CableQuestion& asked) {
        return !report::work_out_cable(asked).has_value();
    };
    CableQuestion asked = question();
    asked.current_a = bad;
    CHECK(refused(asked));
    asked = question();
    asked.current_a = -3;
    CHECK(refused(asked));
    asked = question();
    asked.ambient_degc = bad;
    CHECK(refused(asked));
    asked = question();
    asked.length_m = bad;
    CHECK(refused(asked));
    asked = question();
    asked.section_mm2 = 900;
    CHECK(refused(asked));
    asked = question();
    asked.section_mm2 = bad;
    CHECK(refused(asked));
    asked = question();
    asked.margin_fraction = 1.2;
    CHECK(refused(asked));
    asked = question();
    asked.loaded_cables = 0;
    CHECK(refused(asked));
    asked = question();
    asked.current_a.reset();
    asked.section_mm2.reset();
    CHECK(refused(asked));
    asked = question();
    asked.section_mm2.reset();
    asked.overrides.r20_ohm_per_m = 0.0004;
    CHECK(refused(asked));
}

TEST_CASE("without current or length the rest is still told") {
    CableQuestion asked = question();
    asked.current_a.reset();
    const auto rating = answer(asked);
    CHECK(rating.ampacity_a > 200);
    CHECK(std::isnan(rating.temperature_degc));
    CHECK(rating.json.find("\"drop_v\": null") != std::string::npos);
    CHECK(flat(rating.text).find("Good for") != std::string::npos);
    asked = question();
    asked.length_m.reset();
    const auto bare = answer(asked);
    CHECK(bare.json.find("\"resistance_ohm\": null") != std::string::npos);
    CHECK(bare.temperature_degc > 60);
    asked.current_a = 0;
    CHECK(answer(asked).temperature_degc == 60);
}

TEST_CASE("printed ratings are never above and loads never below what was worked out") {
    CableQuestion asked = question();
    for (double section_mm2 = 1.5; section_mm2 < 120; section_mm2 *= 1.37) {
        asked.section_mm2 = section_mm2;
        asked.current_a = section_mm2 * 3;
        const auto told = answer(asked);
        const auto usable = numbers_after(told.text, "; usable ");
        CHECK(usable[0] <= told.usable_a);
        CHECK(usable[0] > told.usable_a - 0.11);
        const auto runs = numbers_after(told.text, "runs at ");
        CHECK(runs[0] >= told.temperature_degc - 1e-6);
        const auto drop = numbers_after(told.text, "Drop one way ");
        CHECK(drop[0] >= told.drop_v - 1e-9);
    }
}

} // namespace stoutloom
