// The one door for units: text to number and number to text. Nothing else multiplies by 25.4 or 0.3048.
//
// Inside the program every quantity is a double in one unit, named by its suffix:
//   _a _v _ohm _w _s _m _mm2 _degc (a temperature) _k (a difference) _ah _rpm _fraction _ohm_per_m _v_per_k
//   _newton_m
#pragma once

#include "base/outcome.h"
#include "base/source.h"

#include <string>
#include <string_view>
#include <vector>

namespace stoutloom::base {

enum class Quantity {
    current,               // A
    voltage,               // V
    resistance,            // ohm
    length,                // m
    section,               // mm2
    temperature,           // degC
    temperature_step,      // K
    power,                 // W
    charge,                // Ah
    time,                  // s
    speed,                 // rpm
    fraction,              // 1, written in per cent
    resistance_per_length, // ohm/m
    voltage_per_kelvin,    // V/K
    torque,                // N m
    pure_number            // a pure number: parallel count, pulley ratio
};

/// What a value in a file was: its text, its place, its number in our unit, and whether the author gave it.
struct Written {
    double value = 0;
    bool given = false;
    std::string text;
    Span span;
};

struct QuantityRefusal {
    std::string wrong;         // `section "50" has no unit`
    std::string mend;          // `write "50 mm2" or "1/0 AWG"`
    bool out_of_range = false; // well spelled, but no plausible figure
};

/// Reads "50 mm2", "1/0 AWG", "4.2 m", "13.5 ft", "175 A", "95 degC", "0.30 V", "800 A", "50 %" ...
///   grammar: number, optional blanks, unit. Number: 1 to 12 digits, optional point and 1 to 12 digits; a
///   leading minus only where a negative value can be meant (temperature, temperature_step,
///   voltage_per_kelvin). No exponent, comma, NaN, infinity. Errors: no unit, unit of another quantity, not a
///   number, out of the plausible range; each with a mend.
Outcome<double, QuantityRefusal> parse_quantity(Quantity quantity, std::string_view text);

std::string_view quantity_name(Quantity quantity); // "current"
std::vector<std::string_view>
unit_names(Quantity quantity);                        // first is the plain metric one: {"A", "mA", "kA"}
std::string_view quantity_example(Quantity quantity); // "175 A"
/// Regular expression (XML Schema's dialect) of exactly the texts parse_quantity reads, plausible or not.
std::string quantity_pattern(Quantity quantity);

/// Area of a conductor by its gauge number (0 = 1/0, -1 = 2/0, -2 = 3/0, -3 = 4/0).
///   d = 0.127 mm * 92^((36 - n) / 39), ASTM B258
double awg_section_mm2(int gauge);
/// "1/0 AWG" for a section within 0.5 % of a gauge; empty otherwise.
std::string awg_name(double section_mm2);
/// Area of a conductor of so many thousand circular mils.
double kcmil_section_mm2(int kcmil);
/// awg_name, or "250 kcmil" and the like above 4/0; empty where no such size is made.
std::string us_size_name(double section_mm2);
/// The least US size that is not thinner: "1 AWG" for 35 mm2, "250 kcmil" for 120; empty above 1000 kcmil.
std::string us_size_not_thinner(double section_mm2);
/// The US size whose section is nearest by ratio: "3 AWG" for 25 mm2 is not equal, so say "about" beside it.
std::string nearest_us_size_name(double section_mm2);

// Rounding is a safety decision: loads and temperatures are shown rounded up, ratings and margins down.
enum class Rounding { up, down, nearest };
/// "12.3": `decimals` digits after the point. Exact values are not moved by floating-point dust (1e-9
/// relative). NaN gives "?", infinities "no limit" (they must not reach paper; the caller decides what to say
/// instead).
std::string shown_number(double value, int decimals, Rounding rounding);
/// "12.3 A": shown_number, blank, unit.
std::string shown(double value, int decimals, Rounding rounding, std::string_view unit);
std::string shown_up(double value, int decimals, std::string_view unit);
std::string shown_down(double value, int decimals, std::string_view unit);
/// "50 mm2", "1/0 AWG", "250 kcmil": a section in the words a workshop buys it by. Exact US sizes by their
/// name.
std::string shown_section(double section_mm2);
/// Three significant digits with a fitting prefix: "0.250 mohm" -> "0.25 mohm", "1.85 mohm", "12 ohm".
std::string shown_resistance(double resistance_ohm);

constexpr double metre_per_foot = 0.3048;
constexpr double metre_per_inch = 0.0254;
constexpr double kilogram_per_pound = 0.45359237;
constexpr double newton_m_per_pound_foot = 1.3558179483314004; // 0.3048 m * 4.4482216152605 N
double fahrenheit(double degc);

} // namespace stoutloom::base
