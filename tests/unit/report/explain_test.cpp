// The worked explanation of a cable, redone as a reader with a pocket calculator would: only the printed
// figures, only the printed formulas.
#include "check/check.h"
#include "report/report.h"
#include "testing/testing.h"

#include "read/read.h"

#include <doctest/doctest.h>

#include <charconv>
#include <cmath>
#include <numbers>
#include <regex>

using namespace stoutloom;

namespace {

// Five loaded cables in one conduit, so that both factors stand in the way of the heat.
constexpr const char* kit_text = R"(<?xml version="1.0" encoding="UTF-8"?>
<harness xmlns="urn:stoutloom:harness:1" title="Workboat, heater" nominal="12 V">
  <zone id="bilge" label="Bilge" ambient="40 degC" radiant="5 K"/>
  <battery id="G2" label="Battery" capacity="200 Ah" emf="12.5 V" resistance="3 mohm"/>
  <consumer id="E1" label="Heater" draw="45 A" runs="always" switchable="no">
    <terminal id="+" stud="M6"/> <terminal id="-" stud="M6"/>
  </consumer>
  <cable id="W1" section="16 mm2" insulation="C" length="2.00 m" mounting="conduit">
    <from at="G2.+"/> <to at="E1.+"/> <route zone="bilge" length="1.20 m" loom="L1"/> <route zone="bilge" length="0.80 m"/>
  </cable>
  <cable id="W2" section="16 mm2" insulation="C" length="2.00 m" parallel="4" mounting="conduit">
    <from at="G2.-"/> <to at="E1.-"/> <route zone="bilge" length="2.00 m" loom="L1"/>
  </cable>
</harness>
)";

std::string explained(const std::string& id) {
    auto read = read::read_text("kit.xml", kit_text);
    REQUIRE_MESSAGE(read.has_value(),
                    (read ? std::string() : base::shown(read.error().mistakes[0], read.error().source)));
    const check::Facts facts = check::gather(read->harness, check::Depth::healthy);
    const check::CheckRecord record = check::judge_all(facts);
    const report::Checked checked{
        .source = &read->source, .harness = &read->harness, .facts = &facts, .record = &record};
    return std::regex_replace(report::explain_cable(checked, *model::find_cable(read->harness, id)),
                              std::regex("\n {6}"), " "); // wrapped working on one line
}

/// Every number of the first line that holds `what`, after it; the line is looked for after `from`.
std::vector<double> numbers_after(const std::string& text, const std::string& what,
                                  const std::string& from = {}) {
    const std::size_t start = text.find(from);
    REQUIRE_MESSAGE(start != std::string::npos, "no line with ", from);
    const std::size_t at = text.find(what, start);
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

/// The arithmetic of one stretch, from its printed figures alone.
void redo_stretch(const std::string& text, const std::string& stretch) {
    CAPTURE(stretch);
    const auto r = numbers_after(text, "(T - 20)) = ", stretch); // R20 1 0.00393 rise R T
    CHECK(r[0] * (1 + 0.00393 * r[3]) == doctest::Approx(r[4]).epsilon(2e-4));
    CHECK(r[3] + 20 == doctest::Approx(r[5]).epsilon(1e-3));
    const auto loss = numbers_after(text, "loss I x I x R = ", stretch); // I I R 1000 W
    CHECK(loss[0] * loss[1] * loss[2] / 1000 == doctest::Approx(loss[4]).epsilon(3e-3));
    const auto wall = numbers_after(text, "ln(De/dc) = ", stretch); // rho 2pi De dc T1
    CHECK(wall[0] / wall[1] * std::log(wall[2] / wall[3]) == doctest::Approx(wall[4]).epsilon(2e-3));
    const auto h = numbers_after(text, "Z/De^g + E = ", stretch); // Z De g E h
    CHECK(h[0] / std::pow(h[1], h[2]) + h[3] == doctest::Approx(h[4]).epsilon(1e-3));
    const auto t4 = numbers_after(text, "dTs^(1/4)) = 1 / ", stretch); // pi De h dTs 0.25 T4
    CHECK(1 / (std::numbers::pi * t4[1] * t4[2] * std::pow(t4[3], 0.25)) ==
          doctest::Approx(t4[5]).epsilon(1e-3));
    const auto factors = numbers_after(text, "company: grouping factor ", stretch);
    const double factor = factors[0] * factors[1];
    CHECK(factor == doctest::Approx(factors[2]).epsilon(1e-4));
    const auto t = numbers_after(text, "T = air + loss (T1 + T4) / ", stretch); // f 2 air loss T1 T4 f 2 T
    CHECK(t[2] + t[3] * (t[4] + t[5]) / (factor * factor) == doctest::Approx(t[8]).epsilon(2e-3));
    CHECK(t[8] == doctest::Approx(r[5]).epsilon(1e-6)); // the temperature that R was taken at
    const auto surface = numbers_after(text, "surface = T - loss T1 / ", stretch); // f 2 T loss T1 f 2 Ts
    CHECK(surface[2] - surface[3] * surface[4] / (factor * factor) ==
          doctest::Approx(surface[7]).epsilon(2e-3));
    CHECK(surface[7] - t[2] == doctest::Approx(t4[3]).epsilon(1e-2)); // dTs is surface less air
    CHECK(t[2] == 45);                                                // the zone's air and its radiant step
}

} // namespace

TEST_CASE("the heat of each stretch can be worked out from the printed figures") {
    const std::string text = explained("W1");
    // Five cables in the loom: 0.60 (4 to 6); conduit 0.77; the second stretch lies alone in its conduit.
    CHECK(numbers_after(text, "company: grouping factor ", "Stretch 1:")[0] == 0.60);
    CHECK(numbers_after(text, "company: grouping factor ", "Stretch 1:")[1] == 0.77);
    CHECK(numbers_after(text, "company: grouping factor ", "Stretch 2:")[0] == 1);
    redo_stretch(text, "Stretch 1:");
    redo_stretch(text, "Stretch 2:");
}

TEST_CASE("resistance and drop can be worked out from the printed figures as built and at worst") {
    const std::string text = explained("W1");
    for (const std::string state : {"As built in duty", "At worst in duty"}) {
        CAPTURE(state);
        const auto copper = numbers_after(text, "R(T) x length = ", state); // R L R L sum
        CHECK(copper[0] * copper[1] + copper[2] * copper[3] == doctest::Approx(copper[4]).epsilon(1e-3));
        const auto first = numbers_after(text, "end at G2.+: crimp ", state); // crimp joint sum
        CHECK(first[0] + first[1] == doctest::Approx(first[2]).epsilon(1e-3));
        const auto last = numbers_after(text, "end at E1.+: crimp ", state);
        CHECK(last[0] + last[1] == doctest::Approx(last[2]).epsilon(1e-3));
        const auto drop = numbers_after(text, "drop = I x R = ", state); // I R 1000 V
        CHECK(drop[1] == doctest::Approx(copper[4] + first[2] + last[2]).epsilon(1e-3));
        CHECK(drop[0] * drop[1] / 1000 == doctest::Approx(drop[3]).epsilon(1e-3));
        CHECK(drop[3] >= drop[0] * drop[1] / 1000 - 1e-6); // shown up
    }
    const double drawn_m = numbers_after(text, "R(T) x length = ", "As built")[1];
    CHECK(numbers_after(text, "R(T) x length = ", "At worst in")[1] == doctest::Approx(1.05 * drawn_m));
    CHECK(numbers_after(text, "end at G2.+: crimp ", "At worst in")[2] >
          2 * numbers_after(text, "end at G2.+: crimp ", "As built")[2]);
}

TEST_CASE("conductors in parallel share the current and the drop is that of all together") {
    const std::string text = explained("W2");
    const auto drop = numbers_after(text, "R of 4 in parallel = ", "As built"); // I R 1000 V
    const auto copper = numbers_after(text, "R(T) x length = ", "As built");    // R L sum
    const auto first = numbers_after(text, "end at G2.-: crimp ", "As built");
    const auto last = numbers_after(text, "end at E1.-: crimp ", "As built");
    CHECK(drop[1] == doctest::Approx((copper[2] + first[2] + last[2]) / 4).epsilon(1e-3));
    CHECK(drop[0] * drop[1] / 1000 == doctest::Approx(drop[3]).epsilon(2e-3));
    const auto loss = numbers_after(text, "loss I x I x R = ");
    CHECK(loss[0] == doctest::Approx(drop[0] / 4).epsilon(5e-3));
}
