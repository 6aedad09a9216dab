#include "base/quantity.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>
#include <optional>
#include <span>

namespace stoutloom::base {
namespace {

struct UnitRow {
    Quantity quantity;
    std::string_view name;
    double scale;
    double offset; // value = (number + offset) * scale
};

// Exact by definition: inch, foot, pound-force; 1 circular mil = pi/4 * (0.0254 mm)^2; 1 hp =
// 745.6998715822702 W.
constexpr double mm2_per_cmil = 5.067074790974977e-4;
constexpr std::array unit_rows = {
    UnitRow{Quantity::current, "A", 1, 0},
    UnitRow{Quantity::current, "mA", 1e-3, 0},
    UnitRow{Quantity::current, "kA", 1e3, 0},
    UnitRow{Quantity::voltage, "V", 1, 0},
    UnitRow{Quantity::voltage, "mV", 1e-3, 0},
    UnitRow{Quantity::resistance, "ohm", 1, 0},
    UnitRow{Quantity::resistance, "mohm", 1e-3, 0},
    UnitRow{Quantity::resistance, "uohm", 1e-6, 0},
    UnitRow{Quantity::resistance, "kohm", 1e3, 0},
    UnitRow{Quantity::length, "m", 1, 0},
    UnitRow{Quantity::length, "mm", 1e-3, 0},
    UnitRow{Quantity::length, "cm", 1e-2, 0},
    UnitRow{Quantity::length, "ft", metre_per_foot, 0},
    UnitRow{Quantity::length, "in", metre_per_inch, 0},
    UnitRow{Quantity::section, "mm2", 1, 0},
    UnitRow{Quantity::section, "AWG", 1, 0},
    UnitRow{Quantity::section, "kcmil", 1e3 * mm2_per_cmil, 0},
    UnitRow{Quantity::section, "cmil", mm2_per_cmil, 0},
    UnitRow{Quantity::temperature, "degC", 1, 0},
    UnitRow{Quantity::temperature, "degF", 5.0 / 9.0, -32},
    UnitRow{Quantity::temperature_step, "K", 1, 0},
    UnitRow{Quantity::power, "W", 1, 0},
    UnitRow{Quantity::power, "kW", 1e3, 0},
    UnitRow{Quantity::power, "hp", 745.6998715822702, 0},
    UnitRow{Quantity::charge, "Ah", 1, 0},
    UnitRow{Quantity::time, "s", 1, 0},
    UnitRow{Quantity::time, "ms", 1e-3, 0},
    UnitRow{Quantity::time, "min", 60, 0},
    UnitRow{Quantity::time, "h", 3600, 0},
    UnitRow{Quantity::speed, "rpm", 1, 0},
    UnitRow{Quantity::fraction, "%", 1e-2, 0},
    UnitRow{Quantity::resistance_per_length, "ohm/km", 1e-3, 0},
    UnitRow{Quantity::resistance_per_length, "mohm/m", 1e-3, 0},
    UnitRow{Quantity::resistance_per_length, "ohm/m", 1, 0},
    UnitRow{Quantity::resistance_per_length, "ohm/kft", 1e-3 / metre_per_foot, 0},
    UnitRow{Quantity::voltage_per_kelvin, "mV/K", 1e-3, 0},
    UnitRow{Quantity::voltage_per_kelvin, "V/K", 1, 0},
    UnitRow{Quantity::torque, "N*m", 1, 0},
    UnitRow{Quantity::torque, "lbf*in", 0.1129848290276167, 0},
    UnitRow{Quantity::torque, "lbf*ft", 1.3558179483314004, 0},
};

struct QuantityRow {
    Quantity quantity;
    std::string_view name;
    std::string_view example;
    double least, greatest; // plausible range in our unit; beyond it the figure is a slip of the pen
};
constexpr std::array quantity_rows = {
    QuantityRow{Quantity::current, "current", "175 A", 0, 1e5},
    QuantityRow{Quantity::voltage, "voltage", "0.30 V", 0, 1e3},
    QuantityRow{Quantity::resistance, "resistance", "0.5 mohm", 0, 1e9},
    QuantityRow{Quantity::length, "length", "4.2 m", 0, 1e3},
    QuantityRow{Quantity::section, "section", "50 mm2", 0.01, 2000},
    QuantityRow{Quantity::temperature, "temperature", "95 degC", -90, 500},
    QuantityRow{Quantity::temperature_step, "temperature step", "15 K", -200, 500},
    QuantityRow{Quantity::power, "power", "55 W", 0, 1e6},
    QuantityRow{Quantity::charge, "charge", "95 Ah", 0, 1e5},
    QuantityRow{Quantity::time, "time", "10 s", 0, 1e7},
    QuantityRow{Quantity::speed, "speed", "2500 rpm", 0, 1e5},
    QuantityRow{Quantity::fraction, "share", "50 %", 0, 10},
    QuantityRow{Quantity::resistance_per_length, "resistance per length", "0.39 mohm/m", 0, 1e4},
    QuantityRow{Quantity::voltage_per_kelvin, "voltage per kelvin", "-10 mV/K", -1, 1},
    QuantityRow{Quantity::torque, "torque", "12 N*m", 0, 1e3},
    QuantityRow{Quantity::pure_number, "number", "2.5", 0, 1e6},
};

const QuantityRow& row_of(Quantity quantity) {
    return *std::find_if(quantity_rows.begin(), quantity_rows.end(),
                         [&](const QuantityRow& row) { return row.quantity == quantity; });
}

// Typographic spellings a person may paste from a data sheet. Omega and micro each have two code points.
struct Spelling {
    std::string_view fancy, plain;
};
constexpr std::array spellings = {
    Spelling{"mm²", "mm2"},    Spelling{"°C", "degC"}, Spelling{"°F", "degF"},      Spelling{"Ω", "ohm"},
    Spelling{"\u2126", "ohm"}, Spelling{"mΩ", "mohm"}, Spelling{"m\u2126", "mohm"}, Spelling{"µΩ", "uohm"},
    Spelling{"μΩ", "uohm"},    Spelling{"kΩ", "kohm"}, Spelling{"k\u2126", "kohm"}, Spelling{"N·m", "N*m"},
    Spelling{"N m", "N*m"},    Spelling{"Nm", "N*m"},  Spelling{"1/min", "rpm"},
};
std::string plain_unit(std::string_view unit) {
    for (const auto& [fancy, plain] : spellings)
        if (unit == fancy)
            return std::string(plain);
    return std::string(unit);
}

bool may_be_negative(Quantity quantity) {
    return quantity == Quantity::temperature || quantity == Quantity::temperature_step ||
           quantity == Quantity::voltage_per_kelvin;
}

std::string suggestion(Quantity quantity, std::string_view number) {
    std::string list;
    for (const std::string_view unit : unit_names(quantity)) {
        if (!list.empty())
            list += ", ";
        list += unit;
    }
    if (list.empty())
        return fmt::format("write a plain number such as \"{}\"", row_of(quantity).example);
    const std::string shown_number_text = number.empty() ? "" : std::string(number);
    if (quantity == Quantity::section && !number.empty())
        return fmt::format("write \"{} mm2\" or a gauge such as \"1/0 AWG\"", shown_number_text);
    const std::string example = number.empty()
                                    ? std::string(row_of(quantity).example)
                                    : fmt::format("{} {}", shown_number_text, unit_names(quantity).front());
    return fmt::format("write \"{}\" (units: {})", example, list);
}

struct NumberAndUnit {
    std::string_view number, unit;
};

NumberAndUnit split(std::string_view text) {
    std::size_t i = 0;
    if (i < text.size() && (text[i] == '-' || text[i] == '+'))
        ++i;
    while (i < text.size() && ((text[i] >= '0' && text[i] <= '9') || text[i] == '.'))
        ++i;
    std::string_view unit = text.substr(i);
    while (!unit.empty() && unit.front() == ' ')
        unit.remove_prefix(1);
    return {.number = text.substr(0, i), .unit = unit};
}

/// "e3", "E-5 A": what follows the digits is a power of ten.
bool has_exponent(std::string_view unit) {
    return unit.size() > 1 && (unit[0] == 'e' || unit[0] == 'E') &&
           std::string_view("+-0123456789").find(unit[1]) != std::string_view::npos;
}

std::optional<double> plain_number(std::string_view text) {
    // digits [. digits], optional minus: no exponent, no leading or trailing point, no plus.
    constexpr std::size_t most_digits = 12;
    std::string_view digits = text;
    if (!digits.empty() && digits.front() == '-')
        digits.remove_prefix(1);
    const std::size_t point = digits.find('.');
    const auto sound = [](std::string_view part) {
        return !part.empty() && part.size() <= most_digits &&
               std::all_of(part.begin(), part.end(), [](char c) { return c >= '0' && c <= '9'; });
    };
    if (!sound(digits.substr(0, point)))
        return std::nullopt;
    if (point != std::string_view::npos && !sound(digits.substr(point + 1)))
        return std::nullopt;
    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(value))
        return std::nullopt;
    return value;
}

// "1/0 AWG" ... "4/0 AWG", "0 AWG" (the same as 1/0), "2 AWG".
std::optional<double> gauge_section(std::string_view text) {
    if (!text.ends_with("AWG"))
        return std::nullopt;
    std::string_view number = text.substr(0, text.size() - 3);
    while (!number.empty() && number.back() == ' ')
        number.remove_suffix(1);
    if (number.size() == 3 && number.ends_with("/0") && number[0] >= '1' && number[0] <= '4')
        return awg_section_mm2(1 - (number[0] - '0'));
    int gauge = 0;
    const auto [end, error] = std::from_chars(number.data(), number.data() + number.size(), gauge);
    if (error != std::errc() || end != number.data() + number.size() || number.size() > 2)
        return std::nullopt;
    if (gauge < 0 || gauge > 30 || number.front() == '-' || (number.size() > 1 && number.front() == '0'))
        return std::nullopt;
    return awg_section_mm2(gauge);
}

} // namespace

std::string_view quantity_name(Quantity quantity) {
    return row_of(quantity).name;
}

std::string_view quantity_example(Quantity quantity) {
    return row_of(quantity).example;
}

std::vector<std::string_view> unit_names(Quantity quantity) {
    std::vector<std::string_view> names;
    for (const UnitRow& row : unit_rows)
        if (row.quantity == quantity)
            names.push_back(row.name);
    return names;
}

std::string quantity_pattern(Quantity quantity) {
    const std::string digits = "[0-9]{1,12}(\\.[0-9]{1,12})?";
    std::string number = may_be_negative(quantity) ? "-?" + digits : digits;
    if (quantity == Quantity::pure_number)
        return number;
    std::string tight, apart; // a unit that begins with a digit needs the blank
    const auto add = [&](std::string_view unit) {
        std::string& list = unit.front() >= '0' && unit.front() <= '9' ? apart : tight;
        if (!list.empty())
            list += '|';
        for (const char c : unit) {
            if (c == '*' || c == '.')
                list += '\\';
            list += c;
        }
    };
    for (const std::string_view unit : unit_names(quantity)) {
        if (unit == "AWG")
            continue;
        add(unit);
        for (const Spelling& spelling : spellings)
            if (spelling.plain == unit)
                add(spelling.fancy);
    }
    std::string pattern = apart.empty() ? fmt::format("{} *({})", number, tight)
                                        : fmt::format("{}( *({})| +({}))", number, tight, apart);
    if (quantity == Quantity::section)
        pattern += "|([1-4]/0|[0-9]|[12][0-9]|30) *AWG";
    return pattern;
}

Outcome<double, QuantityRefusal> parse_quantity(Quantity quantity, std::string_view text) {
    const QuantityRow& about = row_of(quantity);
    const auto refuse = [&](std::string wrong, std::string mend) {
        return failure(QuantityRefusal{.wrong = std::move(wrong), .mend = std::move(mend)});
    };
    const auto out_of_range = [](std::string wrong, std::string mend) {
        return failure(
            QuantityRefusal{.wrong = std::move(wrong), .mend = std::move(mend), .out_of_range = true});
    };
    if (quantity == Quantity::section)
        if (const auto gauge = gauge_section(text))
            return *gauge;

    const auto [number_text, unit_text] = split(text);
    const std::optional<double> number = plain_number(number_text);
    const bool comma = unit_text.starts_with(',');
    if (!number || comma)
        return refuse(quantity == Quantity::pure_number
                          ? fmt::format("\"{}\" is not a number", text)
                          : fmt::format("{} \"{}\" is not a number with a unit", about.name, text),
                      comma ? fmt::format("use a point for decimals, as in \"{}\"", about.example)
                            : suggestion(quantity, ""));
    if (quantity == Quantity::pure_number) {
        if (number_text.front() == '-')
            return refuse(fmt::format("\"{}\" is negative", text), "write it without the minus sign");
        if (has_exponent(unit_text)) // its digits alone would be another number
            return refuse(fmt::format("\"{}\" has an exponent", text), "write the number in full");
        if (number_text != text)
            return refuse(fmt::format("\"{}\" is more than a number", text),
                          fmt::format("write the number alone, as in \"{}\"", about.example));
        if (*number < about.least || *number > about.greatest)
            return out_of_range(fmt::format("\"{}\" is out of any plausible range", text),
                                fmt::format("write at most {:.0f}", about.greatest));
        return *number;
    }
    if (unit_text.empty())
        return refuse(fmt::format("{} \"{}\" has no unit", about.name, text),
                      suggestion(quantity, number_text));

    const std::string unit = plain_unit(unit_text);
    const auto fits = std::find_if(unit_rows.begin(), unit_rows.end(), [&](const UnitRow& row) {
        return row.quantity == quantity && row.name == unit && row.name != "AWG";
    });
    if (fits == unit_rows.end()) {
        const auto other = std::find_if(unit_rows.begin(), unit_rows.end(),
                                        [&](const UnitRow& row) { return row.name == unit; });
        if (unit == "AWG" && quantity == Quantity::section)
            return refuse(fmt::format("\"{}\" is not a gauge", text),
                          "gauges go from \"30 AWG\" to \"4/0 AWG\"");
        if (other != unit_rows.end())
            return refuse(fmt::format("\"{}\" is a {}, but a {} belongs here", text,
                                      row_of(other->quantity).name, about.name),
                          suggestion(quantity, ""));
        if (has_exponent(unit_text))
            return refuse(fmt::format("\"{}\" has an exponent", text),
                          fmt::format("write the number in full, as in \"{}\"", about.example));
        return refuse(fmt::format("\"{}\" has the unknown unit \"{}\"", text, unit_text),
                      suggestion(quantity, number_text));
    }
    const double value = (*number + fits->offset) * fits->scale;
    if (number_text.front() == '-' && !may_be_negative(quantity))
        return refuse(fmt::format("{} \"{}\" is negative", about.name, text),
                      "write it without the minus sign");
    if (value < about.least || value > about.greatest)
        return out_of_range(
            fmt::format("{} \"{}\" is out of any plausible range", about.name, text),
            fmt::format("check the figure and its unit; an example is \"{}\"", about.example));
    return value;
}

double awg_section_mm2(int gauge) {
    const double diameter_mm = 0.127 * std::pow(92.0, (36.0 - gauge) / 39.0);
    return diameter_mm * diameter_mm * 0.7853981633974483;
}

namespace {
std::string gauge_name(int gauge) {
    return gauge > 0 ? fmt::format("{} AWG", gauge) : fmt::format("{}/0 AWG", 1 - gauge);
}
} // namespace

std::string awg_name(double section_mm2) {
    if (!(section_mm2 > 0) || !std::isfinite(section_mm2))
        return {};
    // The rule of awg_section_mm2 turned round, to the nearest whole gauge.
    const double diameter_mm = std::sqrt(section_mm2 / 0.7853981633974483);
    const double place = std::round(36 - 39 * std::log(diameter_mm / 0.127) / std::log(92.0));
    if (place < -3 || place > 30)
        return {};
    const int gauge = static_cast<int>(place);
    return std::abs(section_mm2 / awg_section_mm2(gauge) - 1) < 0.0005 ? gauge_name(gauge) : std::string();
}

namespace {
// Conductors above 4/0 are made and named by their area in thousands of circular mils: NEC chapter 9 table 8
// up to 1000 (from memory). Odd sizes that a file may give are not in it.
constexpr std::array kcmil_made = {250, 300, 350, 400, 500, 600, 700, 750, 800, 900, 1000};

std::string kcmil_name(int kcmil) {
    return fmt::format("{} kcmil", kcmil);
}
} // namespace

double kcmil_section_mm2(int kcmil) {
    return kcmil * 1e3 * mm2_per_cmil;
}

std::string us_size_name(double section_mm2) {
    if (std::string gauge = awg_name(section_mm2); !gauge.empty())
        return gauge;
    for (const int kcmil : kcmil_made)
        if (std::abs(section_mm2 / kcmil_section_mm2(kcmil) - 1) < 0.0005)
            return kcmil_name(kcmil);
    return {};
}

std::string us_size_not_thinner(double section_mm2) {
    constexpr double dust = 1e-6; // a gauge is not thinner than itself
    for (int gauge = 30; gauge >= -3; --gauge)
        if (awg_section_mm2(gauge) >= section_mm2 * (1 - dust))
            return gauge_name(gauge);
    for (const int kcmil : kcmil_made)
        if (kcmil_section_mm2(kcmil) >= section_mm2 * (1 - dust))
            return kcmil_name(kcmil);
    return {};
}

std::string nearest_us_size_name(double section_mm2) {
    std::string best;
    double best_distance = std::numeric_limits<double>::infinity();
    const auto ask = [&](double made_mm2, std::string name) {
        const double distance = std::abs(std::log(section_mm2 / made_mm2));
        if (distance < best_distance) {
            best_distance = distance;
            best = std::move(name);
        }
    };
    for (int gauge = -3; gauge <= 30; ++gauge)
        ask(awg_section_mm2(gauge), gauge_name(gauge));
    for (const int kcmil : kcmil_made)
        ask(kcmil_section_mm2(kcmil), kcmil_name(kcmil));
    return best;
}

std::string shown_number(double value, int decimals, Rounding rounding) {
    if (std::isnan(value))
        return "?";
    if (std::isinf(value))
        return "no limit";
    const double scale = std::pow(10.0, decimals);
    const double scaled = value * scale;
    const double dust = std::abs(scaled) * 1e-9 + 1e-12;
    double rounded = std::round(scaled);
    if (rounding == Rounding::up && std::abs(rounded - scaled) > dust)
        rounded = std::ceil(scaled);
    if (rounding == Rounding::down && std::abs(rounded - scaled) > dust)
        rounded = std::floor(scaled);
    if (rounded == 0)
        rounded = 0; // no "-0"
    return fmt::format("{:.{}f}", rounded / scale, decimals);
}

std::string shown(double value, int decimals, Rounding rounding, std::string_view unit) {
    return fmt::format("{} {}", shown_number(value, decimals, rounding), unit);
}

std::string shown_up(double value, int decimals, std::string_view unit) {
    return shown(value, decimals, Rounding::up, unit);
}

std::string shown_down(double value, int decimals, std::string_view unit) {
    return shown(value, decimals, Rounding::down, unit);
}

std::string shown_section(double section_mm2) {
    std::string made = us_size_name(section_mm2);
    if (!made.empty())
        return made;
    std::string number = fmt::format("{:.2f}", section_mm2);
    while (number.ends_with('0'))
        number.pop_back();
    if (number.ends_with('.'))
        number.pop_back();
    return number + " mm2";
}

std::string shown_resistance(double resistance_ohm) {
    if (resistance_ohm == 0)
        return "0 ohm";
    if (!std::isfinite(resistance_ohm))
        return "open";
    const double size = std::abs(resistance_ohm);
    const bool micro = size < 1e-4;
    const bool milli = !micro && size < 1;
    const double number = resistance_ohm * (micro ? 1e6 : milli ? 1e3 : 1);
    return fmt::format("{:.3g} {}", number, micro ? "uohm" : milli ? "mohm" : "ohm");
}

double fahrenheit(double degc) {
    return degc * 9.0 / 5.0 + 32.0;
}

} // namespace stoutloom::base
