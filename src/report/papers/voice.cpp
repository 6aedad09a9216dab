#include "report/papers/voice.h"

#include "layout/direction.h"
#include "report/diagram_parts.h"
#include "report/words.h"

#include <fmt/format.h>

#include <cmath>

namespace stoutloom::report {
namespace {

constexpr std::string_view minus = "−";
constexpr std::string_view thin_blank = " "; // no-break

/// As the file asks for: metric, US, or metric with the other in brackets.
std::string in_units(model::UnitSystem units, const std::string& metric, const std::string& us) {
    if (units == model::UnitSystem::both)
        return fmt::format("{} ({})", metric, us);
    return units == model::UnitSystem::us ? us : metric;
}

} // namespace

std::string true_minus(std::string text) {
    if (text.ends_with("-"))
        text.replace(text.size() - 1, 1, minus);
    if (text.starts_with("-"))
        text.replace(0, 1, minus);
    return text;
}

std::string figure(double value, int decimals, base::Rounding rounding, std::string_view unit) {
    return true_minus(base::shown(value, decimals, rounding, unit));
}

std::string volts(double value_v, base::Rounding rounding) {
    return figure(value_v, 2, rounding, "V");
}

std::string note_words(const model::Note& note, std::string_view prefix) {
    std::string text = with_signs(one_line(note.text));
    return note.subject.empty() ? text : layout::named_text(std::string(prefix) + note.subject, text);
}

std::string Voice::of_this_sheet(Phrase phrase, std::string words) const {
    const std::string_view fixed =
        phrase_rows()[static_cast<std::size_t>(phrase)].words.at(static_cast<std::size_t>(language_));
    return layout::direction_of(fixed) > 0 && layout::direction_of(words) < 0 ? "\u200E" + words
                                                                              : std::move(words);
}

std::string unbroken(std::string words) {
    for (std::size_t at = words.find(' '); at != std::string::npos; at = words.find(' ', at))
        words.replace(at, 1, "\u00A0");
    return words;
}

std::string grouped(long number) {
    std::string digits = std::to_string(number);
    for (auto at = static_cast<long>(digits.size()) - 3; at > 0; at -= 3)
        digits.insert(static_cast<std::size_t>(at), thin_blank);
    return digits;
}

std::string plain(double value, int decimals) {
    return std::isfinite(value) ? base::shown_number(value, decimals, base::Rounding::nearest)
                                : std::string();
}

Voice::Voice(const Checked& checked, Language language)
    : checked_(&checked), language_(language),
      texts_(std::make_shared<RuleTexts>(*checked.harness, language)) {}

std::string Voice::told(const std::string& english) const {
    return texts_->told(english).value_or(english);
}

std::string Voice::terminal(model::TerminalIndex index) const {
    const model::Terminal& terminal = harness().terminal(index);
    if (terminal.implicit && harness().device(terminal.device).kind() != model::DeviceKind::mass)
        return say(Phrase::case_of, {device(terminal.device)});
    if (terminal.implicit)
        return device(terminal.device);
    return std::string(minus) + true_minus(one_line(terminal.address));
}

std::string Voice::fastener(const std::string& name) const {
    constexpr std::string_view blade = "blade ";
    if (name.starts_with(blade))
        return say(Phrase::fastener_blade, {name.substr(blade.size())});
    if (name == "post")
        return say(Phrase::fastener_post);
    if (name == "plug")
        return say(Phrase::fastener_plug);
    return name == "splice" ? say(Phrase::fastener_splice) : name;
}

std::string Voice::device(model::DeviceIndex index) const {
    return std::string(minus) + harness().device(index).id;
}

std::string Voice::device_with_label(model::DeviceIndex index) const {
    const std::string label = one_line(harness().device(index).label);
    return label.empty() ? device(index) : device(index) + "  " + label;
}

std::string Voice::length(double length_m) const {
    return in_units(harness().units, base::shown_up(length_m, 2, "m"), feet(length_m));
}

std::string Voice::bought_length(double length_m) const {
    return in_units(harness().units, base::shown_up(length_m, 0, "m"),
                    base::shown_up(length_m / base::metre_per_foot, 0, "ft"));
}

std::string Voice::left_length(double length_m) const {
    return in_units(harness().units, base::shown_down(length_m, 2, "m"),
                    base::shown_down(length_m / base::metre_per_foot, 1, "ft"));
}

std::string Voice::weight(double kilograms) const {
    return in_units(harness().units, base::shown_up(kilograms, 1, "kg"),
                    base::shown_up(kilograms / base::kilogram_per_pound, 1, "lb"));
}

std::string Voice::temperature(double degc, base::Rounding rounding) const {
    return in_units(harness().units, figure(degc, 0, rounding, "°C"),
                    figure(base::fahrenheit(degc), 0, rounding, "°F"));
}

std::string Voice::temperature_of(double degc, double limit_degc) const {
    const auto pair = [](double reached, double limit, std::string_view unit) {
        return fmt::format("{} / {}", true_minus(base::shown_number(reached, 0, base::Rounding::up)),
                           figure(limit, 0, base::Rounding::down, unit));
    };
    return in_units(harness().units, pair(degc, limit_degc, "°C"),
                    pair(base::fahrenheit(degc), base::fahrenheit(limit_degc), "°F"));
}

std::string Voice::limit_length(double length_m) const {
    return in_units(harness().units, base::shown(length_m, 3, base::Rounding::nearest, "m"),
                    base::shown_down(length_m / base::metre_per_inch, 1, "in"));
}

std::string Voice::found(const std::string& english) const {
    std::string words = told(english);
    return harness().units == model::UnitSystem::metric ? words : with_us_figures(words);
}

namespace {
/// "3/8" and the like, lowest terms, after a blank; nothing for a whole number.
std::string fraction_words(long top, long bottom) {
    if (top == 0)
        return {};
    while (top % 2 == 0) {
        top /= 2;
        bottom /= 2;
    }
    return fmt::format("{}/{}", top, bottom);
}

/// Sixteenths of an inch, the steps of a tape.
std::string tape_words(long sixteenths) {
    const long inches = sixteenths / 16, rest = sixteenths % 16;
    if (inches == 0 && rest > 0)
        return fraction_words(rest, 16) + " in";
    std::string text =
        inches >= 24 ? fmt::format("{} ft {}", inches / 12, inches % 12) : std::to_string(inches);
    if (rest > 0)
        text += " " + fraction_words(rest, 16);
    return text + " in";
}

std::string nearest_tape(double length_m) {
    return tape_words(std::lround(length_m / base::metre_per_inch * 16));
}
std::string whole_mm(double length_m) {
    return grouped(std::lround(length_m * 1000)) + " mm";
}

long sixteenths_up(double length_m) {
    return static_cast<long>(std::ceil(length_m / base::metre_per_inch * 16 - 1e-6));
}

/// A bore by its name in the trade, "3/4", where it is one; otherwise "0.24".
std::string bore_in(double bore_m) {
    const double inches = bore_m / base::metre_per_inch;
    const long parts = std::lround(inches * 32);
    constexpr double name_slack_in = 0.0025; // 9.5 mm is 3/8 in
    if (parts == 0 || std::abs(inches - static_cast<double>(parts) / 32) > name_slack_in)
        return base::shown_number(inches, 2, base::Rounding::nearest);
    std::string rest = fraction_words(parts % 32, 32);
    if (parts < 32)
        return rest;
    return std::to_string(parts / 32) + (rest.empty() ? "" : " " + rest);
}

std::string bore_mm(double bore_m) {
    const double mm = bore_m * 1000;
    return base::shown_number(mm, std::abs(mm - std::round(mm)) < 0.05 ? 0 : 1, base::Rounding::nearest);
}
} // namespace

std::string Voice::short_length(double length_m) const {
    return in_units(harness().units, base::shown_up(length_m * 1000, 0, "mm"),
                    tape_words(sixteenths_up(length_m)));
}

std::string Voice::bores(double expanded_m, double recovered_m) const {
    return in_units(harness().units, fmt::format("{} → {} mm", bore_mm(expanded_m), bore_mm(recovered_m)),
                    fmt::format("{} → {} in", bore_in(expanded_m), bore_in(recovered_m)));
}

std::string Voice::length_mm(double length_m) const {
    return harness().units == model::UnitSystem::us ? nearest_tape(length_m) : whole_mm(length_m);
}

std::string Voice::length_other(double length_m) const {
    if (harness().units == model::UnitSystem::metric)
        return {};
    return harness().units == model::UnitSystem::us ? whole_mm(length_m) : nearest_tape(length_m);
}

Voice::CutWords Voice::cut_length(double length_m) const {
    // Up: a cable that is cut short cannot be mended.
    const std::string metric = base::shown_up(length_m, 2, "m");
    const std::string tape = tape_words(sixteenths_up(length_m));
    switch (harness().units) {
    case model::UnitSystem::metric:
        return {.large = metric, .other = {}};
    case model::UnitSystem::us:
        return {.large = tape, .other = "(" + metric + ")"};
    case model::UnitSystem::both:
        break;
    }
    return {.large = metric, .other = "(" + tape + ")"};
}

std::string Voice::section(const model::Cable& cable) const {
    if (cable.automatic)
        return say(Phrase::section_open);
    return with_signs(base::shown_section(cable.section_mm2.value));
}

std::string Voice::size(const base::Fastener& fastener) const {
    return base::is_to_choose(fastener) ? say(Phrase::size_open) : this->fastener(fastener.name);
}

std::string Voice::size_in_csv(const base::Fastener& fastener) const {
    return base::is_to_choose(fastener) ? say(Phrase::size_open) : fastener.name;
}

std::string Voice::section_other(const model::Cable& cable) const {
    if (cable.automatic)
        return {};
    std::string words = with_signs(other_section_words(cable));
    constexpr std::string_view about = "about ";
    return words.starts_with(about) ? say(Phrase::about, {words.substr(about.size())}) : words;
}

std::string Voice::insulation(const model::Cable& cable) const {
    std::string degrees = figure(cable.insulation.class_degc, 0, base::Rounding::down, "°C");
    if (cable.insulation.text.size() == 1)
        return say(Phrase::insulation_class, {cable.insulation.text, degrees});
    return degrees;
}

namespace {

std::string newton_metres(double value) {
    return base::shown_number(value, value < 10 ? 1 : 0, base::Rounding::nearest);
}
std::string pound_feet(double newton_m) {
    return base::shown_number(newton_m / base::newton_m_per_pound_foot, 1, base::Rounding::nearest);
}
std::string torque_in_units(model::UnitSystem units, const std::string& metric, const std::string& us) {
    if (units == model::UnitSystem::both)
        return fmt::format("{}\u00A0N·m ({}\u00A0lb·ft)", metric, us);
    return units == model::UnitSystem::us ? us + " lb·ft" : metric + " N·m";
}

} // namespace

std::string Voice::torque(double torque_newton_m) const {
    return torque_in_units(harness().units, newton_metres(torque_newton_m), pound_feet(torque_newton_m));
}

std::string Voice::torque_range(double low_newton_m, double high_newton_m) const {
    return torque_in_units(harness().units,
                           say(Phrase::range, {newton_metres(low_newton_m), newton_metres(high_newton_m)}),
                           say(Phrase::range, {pound_feet(low_newton_m), pound_feet(high_newton_m)}));
}

std::string Voice::cable_words(const model::Cable& cable) const {
    std::string words = section(cable);
    if (cable.parallel > 1)
        words = fmt::format("{} × {}", cable.parallel, words);
    if (cable.build == model::CableBuild::braid)
        words += " " + say(Phrase::build_braid);
    if (cable.build == model::CableBuild::link_wire)
        words += " " + say(Phrase::build_link_wire);
    return cable.colour.empty() ? words : words + " " + cable.colour;
}

std::string Voice::duty(const model::Duty& duty) const {
    // The built-in duties have labels of the program, which the tables know.
    return one_line(told(duty.label.empty() ? duty.id : duty.label));
}

} // namespace stoutloom::report
