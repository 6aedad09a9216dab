// Quantities: what is read, what is refused and in which words, and the roundings that lie on the safe side.
#include "base/quantity.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <regex>

namespace {

using namespace stoutloom::base;
using doctest::Approx;

double value(Quantity quantity, std::string_view text) {
    const auto parsed = parse_quantity(quantity, text);
    REQUIRE_MESSAGE(parsed.has_value(), std::string(text));
    return *parsed;
}
std::string refusal(Quantity quantity, std::string_view text) {
    const auto parsed = parse_quantity(quantity, text);
    return parsed ? "read" : parsed.error().wrong + "; " + parsed.error().mend;
}

} // namespace

TEST_CASE("units become the program's units as GNU units has them") {
    // GNU units 2.22, each asked on its own, ten digits.
    CHECK(value(Quantity::length, "13.5 ft") == Approx(4.1148).epsilon(1e-9));
    CHECK(value(Quantity::length, "7 in") == Approx(0.1778).epsilon(1e-9));
    CHECK(value(Quantity::power, "1 hp") == Approx(745.6998716).epsilon(1e-9));
    CHECK(value(Quantity::torque, "1 lbf*ft") == Approx(1.355817948).epsilon(1e-9));
    CHECK(value(Quantity::torque, "1 lbf*in") == Approx(0.112984829).epsilon(1e-8));
    CHECK(value(Quantity::section, "250 kcmil") == Approx(126.6768698).epsilon(1e-8));
    CHECK(value(Quantity::temperature, "104 degF") == Approx(40).epsilon(1e-9));
    CHECK(value(Quantity::temperature, "-40 degF") == Approx(-40).epsilon(1e-9));
    CHECK(value(Quantity::resistance_per_length, "1 ohm/kft") == Approx(3.280839895e-3).epsilon(1e-9));
}

TEST_CASE("gauges have the diameters of ASTM B258") {
    // ASTM B258 table, diameters in mil: 4/0 460.0, 1/0 324.9, 10 101.9, 30 10.03; rounded there to four
    // figures.
    const auto diameter_mil = [](int gauge) {
        return std::sqrt(awg_section_mm2(gauge) / 0.7853981633974483) / 0.0254;
    };
    CHECK(diameter_mil(-3) == Approx(460.0).epsilon(2e-4));
    CHECK(diameter_mil(0) == Approx(324.9).epsilon(2e-4));
    CHECK(diameter_mil(10) == Approx(101.9).epsilon(5e-4));
    CHECK(diameter_mil(30) == Approx(10.03).epsilon(5e-4));
    CHECK(value(Quantity::section, "1/0 AWG") == awg_section_mm2(0));
    CHECK(value(Quantity::section, "0 AWG") == awg_section_mm2(0));
    CHECK(value(Quantity::section, "4/0AWG") == awg_section_mm2(-3));
    CHECK(awg_name(awg_section_mm2(-1)) == "2/0 AWG");
    CHECK(awg_name(25).empty());
    CHECK(nearest_us_size_name(25) == "3 AWG"); // 26.7 mm2 by the same table; 4 AWG has 21.2 mm2
    CHECK(nearest_us_size_name(120) == "250 kcmil");
    CHECK(us_size_name(value(Quantity::section, "250 kcmil")) == "250 kcmil");
    CHECK(us_size_name(value(Quantity::section, "260 kcmil")).empty()); // not made
}

TEST_CASE("spellings from data sheets are read") {
    CHECK(value(Quantity::section, "50 mm²") == 50);
    CHECK(value(Quantity::temperature, "95 °C") == 95);
    CHECK(value(Quantity::resistance, "5 mΩ") == Approx(0.005));
    CHECK(value(Quantity::resistance, "5 m\u2126") == Approx(0.005));
    CHECK(value(Quantity::resistance, "30 µΩ") == Approx(30e-6));
    CHECK(value(Quantity::resistance, "30 μΩ") == Approx(30e-6));
    CHECK(value(Quantity::torque, "15 N·m") == 15);
    CHECK(value(Quantity::torque, "15 N m") == 15);
    CHECK(value(Quantity::torque, "15Nm") == 15);
    CHECK(value(Quantity::speed, "3000 1/min") == 3000);
    CHECK(value(Quantity::pure_number, "2.5") == 2.5);
    CHECK(value(Quantity::fraction, "75 %") == 0.75);
}

TEST_CASE("refusals say what is wrong and what to write") {
    CHECK(refusal(Quantity::section, "50") ==
          "section \"50\" has no unit; write \"50 mm2\" or a gauge such as \"1/0 AWG\"");
    CHECK(refusal(Quantity::section, "31 AWG") ==
          "\"31 AWG\" is not a gauge; gauges go from \"30 AWG\" to \"4/0 AWG\"");
    CHECK(refusal(Quantity::current, "5 V") ==
          "\"5 V\" is a voltage, but a current belongs here; write \"175 A\" (units: A, mA, kA)");
    CHECK(refusal(Quantity::current, "5,5 A") ==
          "current \"5,5 A\" is not a number with a unit; use a point for decimals, as in \"175 A\"");
    CHECK(refusal(Quantity::current, "1e3 A") ==
          "\"1e3 A\" has an exponent; write the number in full, as in \"175 A\"");
    CHECK(refusal(Quantity::current, "-5 A") ==
          "current \"-5 A\" is negative; write it without the minus sign");
    CHECK(refusal(Quantity::current, "-0 A") ==
          "current \"-0 A\" is negative; write it without the minus sign");
    CHECK(refusal(Quantity::current, "+5 A") ==
          "current \"+5 A\" is not a number with a unit; write \"175 A\" (units: A, mA, kA)");
    CHECK(refusal(Quantity::pure_number, "2.5 m") ==
          "\"2.5 m\" is more than a number; write the number alone, as in \"2.5\"");
    // A power of ten is never cut off: what is left would be another number.
    CHECK(refusal(Quantity::pure_number, "1e3") == "\"1e3\" has an exponent; write the number in full");
    CHECK(refusal(Quantity::pure_number, "1e999") == "\"1e999\" has an exponent; write the number in full");
    CHECK(refusal(Quantity::pure_number, "nan") ==
          "\"nan\" is not a number; write a plain number such as \"2.5\"");
    CHECK(refusal(Quantity::pure_number, "") == "\"\" is not a number; write a plain number such as \"2.5\"");
    CHECK(refusal(Quantity::pure_number, "3,50") ==
          "\"3,50\" is not a number; use a point for decimals, as in \"2.5\"");
    CHECK(refusal(Quantity::pure_number, "999999999999") ==
          "\"999999999999\" is out of any plausible range; write at most 1000000");
    CHECK(refusal(Quantity::length, "4000 m") == "length \"4000 m\" is out of any plausible range; check the "
                                                 "figure and its unit; an example is \"4.2 m\"");
    for (const std::string_view bad : {"", "A", "NaN A", "nan", "inf A", "0x10 A", "5.A", ".5 A", "5..5 A",
                                       " 5 A", "5 A ", "5\tA", "5 a", "1234567890123 A"})
        CHECK_MESSAGE(!parse_quantity(Quantity::current, bad).has_value(), std::string(bad));
    CHECK(parse_quantity(Quantity::length, "4000 m").error().out_of_range);
    CHECK_FALSE(parse_quantity(Quantity::length, "4000").error().out_of_range);
}

TEST_CASE("the pattern reads what the parser reads") {
    // The XSD's own dialect is tested with xmllint; std::regex knows all that these patterns use.
    for (const Quantity quantity : {Quantity::current, Quantity::section, Quantity::temperature,
                                    Quantity::speed, Quantity::torque, Quantity::pure_number}) {
        const std::regex pattern(quantity_pattern(quantity));
        for (const std::string text :
             {"5 A",    "5A",      "5  A",     "-5 A",       "5 kA",      "1/0 AWG",  "31 AWG", "50 mm2",
              "50 mm²", "-5 degC", "3000 rpm", "3000 1/min", "30001/min", "5 N*m",    "5 N m",  "5",
              "5.",     "5.25",    "05",       "-5",         "5 ",        "4000000 A"}) {
            const auto parsed = parse_quantity(quantity, text);
            CHECK_MESSAGE(std::regex_match(text, pattern) == (parsed || parsed.error().out_of_range),
                          quantity_name(quantity), " ", text);
        }
    }
}

TEST_CASE("rounding never lies on the dangerous side") {
    CHECK(shown_up(1.21, 1, "A") == "1.3 A");
    CHECK(shown_down(1.29, 1, "A") == "1.2 A");
    CHECK(shown_up(1.2, 1, "A") == "1.2 A"); // floating dust moves nothing
    CHECK(shown_down(1.2, 1, "A") == "1.2 A");
    CHECK(shown_up(0.1 + 0.2, 1, "V") == "0.3 V");
    CHECK(shown_up(-1.29, 1, "A") == "-1.2 A");
    CHECK(shown_number(-0.01, 1, Rounding::nearest) == "0.0");
    CHECK(shown_number(std::numeric_limits<double>::quiet_NaN(), 1, Rounding::up) == "?");
    CHECK(shown_number(std::numeric_limits<double>::infinity(), 1, Rounding::up) == "no limit");
    for (int i = 1; i < 20'000; ++i) {
        const double exact = i * 0.00137;
        CHECK(std::stod(shown_number(exact, 2, Rounding::up)) >= exact * (1 - 1e-8));
        CHECK(std::stod(shown_number(exact, 2, Rounding::down)) <= exact * (1 + 1e-8));
    }
}

TEST_CASE("sections and resistances in the words of the trade") {
    CHECK(shown_section(50) == "50 mm2");
    CHECK(shown_section(2.5) == "2.5 mm2");
    CHECK(shown_section(awg_section_mm2(0)) == "1/0 AWG");
    CHECK(shown_section(kcmil_section_mm2(300)) == "300 kcmil");
    CHECK(shown_resistance(0.00025) == "0.25 mohm");
    CHECK(shown_resistance(12) == "12 ohm");
    CHECK(shown_resistance(3e-5) == "30 uohm");
}
