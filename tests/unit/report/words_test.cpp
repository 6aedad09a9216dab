// Figures are shown on the safe side, whatever they are; lines and tables keep their width.
#include "report/words.h"

#include "testing/testing.h"

#include <doctest/doctest.h>

#include <charconv>
#include <cmath>

using namespace stoutloom;

namespace {
double figure(const std::string& shown) {
    double value = NAN;
    std::from_chars(shown.data(), shown.data() + shown.size(), value);
    return value;
}
} // namespace

TEST_CASE("a figure and its limit are never rounded towards danger") {
    auto random = testing::random_source("shown pairs");
    std::uniform_real_distribution<double> log_size(-4, 4), near(-0.02, 0.02);
    for (int i = 0; i < 20000; ++i) {
        const double limit = std::pow(10.0, log_size(random));
        const double computed = limit * (1 + near(random));
        const bool load = i % 2 == 0; // otherwise a yield with a floor
        const bool passes = load ? computed <= limit : computed >= limit;
        const report::ShownPair pair = report::shown_pair(computed, limit, "A", passes);
        const double c = figure(pair.computed), l = figure(pair.limit);
        CAPTURE(computed);
        CAPTURE(limit);
        const double dust = 2e-9 * limit;
        if (load) {
            CHECK(c >= computed - dust);
            CHECK(l <= limit + dust);
            if (!passes)
                CHECK(c > l - dust);
        } else {
            CHECK(c <= computed + dust);
            CHECK(l >= limit - dust);
            if (!passes)
                CHECK(c < l + dust);
        }
        // A pass must not look like a fail either, down to a ten-thousandth of the limit.
        if (passes && std::abs(computed - limit) > 1e-4 * limit && limit > 0.02)
            CHECK((load ? c <= l : c >= l));
    }
}

TEST_CASE("figures that a hand can check") {
    CHECK(report::shown_pair(96.04, 72.06, "A", false).computed == "96.1 A");
    CHECK(report::shown_pair(96.04, 72.06, "A", false).limit == "72.0 A");
    CHECK(report::shown_pair(13.4567, 13.5, "V", false).computed == "13.45 V");
    CHECK(report::shown_pair(5, 4, "", false).computed == "5");
    CHECK(report::shown_pair(5, 4, "", false).limit == "4");
}

TEST_CASE("a US size named for a fresh cable is never thinner than its section") {
    // ASTM B258: 2 AWG is 33.6 mm2, 1 AWG 42.4, 1/0 53.5, 4/0 107.2.
    CHECK(base::us_size_not_thinner(35) == "1 AWG");
    CHECK(base::us_size_not_thinner(50) == "1/0 AWG");
    CHECK(base::us_size_not_thinner(33.6) == "2 AWG");
    CHECK(base::us_size_not_thinner(95) == "4/0 AWG");
    // NEC chapter 9 table 8: above 4/0 by area, 250 kcmil = 127 mm2, 300 = 152, 400 = 203, 500 = 253.
    CHECK(base::us_size_not_thinner(120) == "250 kcmil");
    CHECK(base::us_size_not_thinner(126.7) == "300 kcmil"); // 250 kcmil has 126.68 mm2
    CHECK(base::us_size_not_thinner(150) == "300 kcmil");
    CHECK(base::us_size_not_thinner(185) == "400 kcmil"); // 350 kcmil has 177 mm2
    CHECK(base::us_size_not_thinner(240) == "500 kcmil");
    CHECK(base::us_size_not_thinner(510).empty());
    for (double section_mm2 = 0.3; section_mm2 < 506; section_mm2 *= 1.013) {
        const auto back =
            base::parse_quantity(base::Quantity::section, base::us_size_not_thinner(section_mm2));
        REQUIRE(back.has_value());
        CHECK(*back >= section_mm2 * (1 - 1e-5));
    }
}

TEST_CASE("the other system of a cable: never thinner for a fresh one and about for one that is there") {
    model::Cable cable;
    cable.section_mm2.value = 150;
    cable.origin = model::Origin::fresh;
    CHECK(report::other_section_words(cable) == "300 kcmil");
    cable.origin = model::Origin::original;
    CHECK(report::other_section_words(cable) == "about 300 kcmil");
    cable.section_mm2.value = base::kcmil_section_mm2(250);
    CHECK(report::section_words(cable) == "250 kcmil");
    CHECK(report::other_section_words(cable) == "126.6 mm2");
}

TEST_CASE("wrapped lines keep the width and lose no word") {
    const std::string text = "one two three four five six seven eight nine ten eleven twelve";
    const std::string lines = report::wrapped(text, 20, "- ", "  ");
    CHECK(lines == "- one two three four\n  five six seven\n  eight nine ten\n  eleven twelve\n");
    CHECK(report::wrapped("a", 3, "", "") == "a\n");
    CHECK(report::wrapped("", 3, "", "") == "\n");
    CHECK(report::wrapped("unbreakablelongword x", 5, "", "") == "unbreakablelongword\nx\n");
}

TEST_CASE("the author's control characters do not reach a terminal") {
    CHECK(report::one_line("a\nb\x1b[31mc\xc2\x9b"
                           "d") == "a b [31mc d");
    CHECK(report::one_line("caf\xc3\xa9 \xc2\xb5") == "caf\xc3\xa9 \xc2\xb5");
}

TEST_CASE("columns are as wide as their widest cell in characters") {
    report::Table table({{"id"}, {"load", true}});
    table.row({"é1", "5 A"});
    table.row({"W12", "175 A"});
    table.remark("a remark");
    CHECK(table.text("  ") == "  id    load\n  é1     5 A\n  W12  175 A\n      a remark\n");
}
