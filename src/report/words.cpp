#include "report/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <optional>

namespace stoutloom::report {

using base::Rounding;

std::size_t characters(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(
        text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

std::string one_line(std::string_view text) {
    std::string line;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto byte = static_cast<unsigned char>(text[i]);
        const bool c1 = byte == 0xC2U && i + 1 < text.size() &&
                        (static_cast<unsigned char>(text[i + 1]) & 0xE0U) == 0x80U;
        if (byte < 0x20U || byte == 0x7FU || c1)
            line += ' ';
        else
            line += text[i];
        if (c1)
            ++i;
    }
    return line;
}

std::string joined(const std::vector<std::string>& words, std::string_view between) {
    std::string all;
    for (const std::string& word : words) {
        if (!all.empty())
            all += between;
        all += word;
    }
    return all;
}

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): first line, then the others
std::string wrapped(std::string_view text, std::size_t width, std::string_view first_indent,
                    std::string_view indent) {
    const std::string clean = one_line(text);
    std::string all, line(first_indent);
    bool bare = true; // nothing but the indent stands on the line yet
    std::size_t begin = 0;
    while (begin < clean.size()) {
        const std::size_t end = std::min(clean.find(' ', begin), clean.size());
        const std::string_view word = std::string_view(clean).substr(begin, end - begin);
        begin = end + 1;
        if (word.empty())
            continue;
        if (!bare && characters(line) + 1 + characters(word) > width) {
            all += line + '\n';
            line = indent;
            bare = true;
        }
        if (!bare)
            line += ' ';
        line += word;
        bare = false;
    }
    return all + line + '\n';
}

std::string Table::text(std::string_view indent) const {
    std::vector<std::size_t> widths;
    for (std::size_t c = 0; c < columns_.size(); ++c) {
        std::size_t width = characters(columns_[c].title);
        for (const Row& row : rows_)
            if (c < row.cells.size())
                width = std::max(width, characters(one_line(row.cells[c])));
        widths.push_back(width);
    }
    std::string all;
    const auto put = [&](const std::vector<std::string>& cells) {
        std::string line(indent);
        for (std::size_t c = 0; c < columns_.size(); ++c) {
            const std::string cell = c < cells.size() ? one_line(cells[c]) : std::string();
            const std::string fill(widths[c] - characters(cell), ' ');
            if (c > 0)
                line += "  ";
            line += columns_[c].right ? fill + cell : cell + fill;
        }
        while (!line.empty() && line.back() == ' ')
            line.pop_back();
        all += line + '\n';
    };
    std::vector<std::string> titles;
    for (const Column& column : columns_)
        titles.push_back(column.title);
    put(titles);
    for (const Row& row : rows_)
        if (row.cells.empty())
            all += wrapped(row.remark, 100, std::string(indent) + "    ", std::string(indent) + "      ");
        else
            put(row.cells);
    return all;
}

ShownPair shown_pair(double computed, double limit, std::string_view unit, bool passes) {
    const bool load = (computed < limit) == passes && computed != limit; // a tie counts as a load
    const Rounding of_computed = load || computed == limit ? Rounding::up : Rounding::down;
    const Rounding of_limit = of_computed == Rounding::up ? Rounding::down : Rounding::up;
    // Three figures of the smaller one, so that neither loses what the message says.
    const double larger = std::max(std::abs(computed), std::abs(limit));
    const double smaller = std::min(std::abs(computed), std::abs(limit));
    const double size = smaller > 1e-3 * larger ? smaller : larger;
    const bool whole = std::floor(computed) == computed && std::floor(limit) == limit;
    int decimals = 1;
    if (std::isfinite(size) && size > 0)
        decimals = std::clamp(2 - static_cast<int>(std::floor(std::log10(size))), 0, 6);
    if (whole && larger < 1e6)
        decimals = 0;
    if (unit == "V")
        decimals = std::clamp(decimals + 1, 2, 6);
    const std::string blank = unit.empty() ? "" : " ";
    ShownPair pair;
    for (;; ++decimals) {
        pair = {.computed = base::shown_number(computed, decimals, of_computed) + blank + std::string(unit),
                .limit = base::shown_number(limit, decimals, of_limit) + blank + std::string(unit)};
        if (decimals >= 6 || !passes || computed == limit || !std::isfinite(larger))
            break;
        const double margin = std::abs(limit - computed) * std::pow(10.0, decimals);
        if (margin >= 2)
            break; // both figures moved by less than one digit each: they cannot have met
    }
    return pair;
}

std::string insulation_words(const base::Insulation& insulation) {
    const bool letter = insulation.text.size() == 1;
    return letter ? fmt::format("{} {:.0f} degC", insulation.text, insulation.class_degc) : insulation.text;
}

std::string section_words(const model::Cable& cable) {
    if (cable.automatic)
        return "to choose";
    const std::string one = base::shown_section(cable.section_mm2.value);
    return cable.parallel > 1 ? fmt::format("{} x {}", cable.parallel, one) : one;
}

std::string other_section_words(const model::Cable& cable) {
    const double section_mm2 = cable.section_mm2.value;
    if (cable.automatic || !(section_mm2 > 0))
        return {};
    if (!base::us_size_name(section_mm2).empty())
        return base::shown_down(section_mm2, 1, "mm2");
    if (cable.origin == model::Origin::fresh)
        return base::us_size_not_thinner(section_mm2);
    return "about " + base::nearest_us_size_name(section_mm2);
}

namespace {
/// The number that ends at `end`, or nothing; `begin` is set to where it starts.
std::optional<double> number_before(const std::string& words, std::size_t end, std::size_t& begin) {
    begin = end;
    while (begin > 0 && ((words[begin - 1] >= '0' && words[begin - 1] <= '9') || words[begin - 1] == '.'))
        --begin;
    double value = 0;
    const auto [stop, failed] = std::from_chars(words.data() + begin, words.data() + end, value);
    if (begin == end || failed != std::errc() || stop != words.data() + end)
        return std::nullopt;
    // "M8", "E-11": a figure within a name is no quantity.
    if (begin > 0 && words[begin - 1] != ' ' && words[begin - 1] != '(')
        return std::nullopt;
    return value;
}

struct UsUnit {
    std::string_view metric, us;
    double factor, offset;
};
constexpr std::array<UsUnit, 4> us_units = {
    UsUnit{.metric = "mm", .us = "in", .factor = 0.001 / base::metre_per_inch, .offset = 0},
    UsUnit{.metric = "m", .us = "ft", .factor = 1 / base::metre_per_foot, .offset = 0},
    UsUnit{.metric = "degC", .us = "degF", .factor = 1.8, .offset = 32},
    UsUnit{.metric = "°C", .us = "°F", .factor = 1.8, .offset = 32}};

std::string us_figure(double value, const UsUnit& unit) {
    const double told = value * unit.factor + unit.offset;
    if (unit.us == "ft" && told < 2)
        return base::shown(told * 12, 1, base::Rounding::nearest, "in");
    return base::shown(told, unit.offset > 0 ? 0 : 1, base::Rounding::nearest, unit.us);
}
} // namespace

std::string with_us_figures(const std::string& words) {
    const auto ends_word = [&words](std::size_t at) {
        return at >= words.size() || std::string_view(" ,.;:)]").find(words[at]) != std::string_view::npos ||
               static_cast<unsigned char>(words[at]) >= 0xE3; // what follows in Japanese
    };
    std::string made;
    std::size_t copied = 0;
    for (std::size_t blank = words.find(' '); blank != std::string::npos;
         blank = words.find(' ', blank + 1)) {
        std::size_t begin = 0;
        const std::optional<double> value = number_before(words, blank, begin);
        if (!value)
            continue;
        const std::string_view rest = std::string_view(words).substr(blank + 1);
        for (const UsUnit& unit : us_units) {
            const std::size_t end = blank + 1 + unit.metric.size();
            if (!rest.starts_with(unit.metric) || !ends_word(end))
                continue;
            // One line holds both figures with their units.
            const std::string both = words.substr(begin, end - begin) + " (" + us_figure(*value, unit) + ")";
            made += words.substr(copied, begin - copied);
            for (const char c : both)
                made += c == ' ' ? "\u00A0" : std::string(1, c);
            copied = end;
            break;
        }
    }
    return made + words.substr(copied);
}

std::string feet(double length_m) {
    return base::shown_up(length_m / base::metre_per_foot, 1, "ft");
}

std::string engine_words(model::Engine engine) {
    switch (engine) {
    case model::Engine::off:
        return "off";
    case model::Engine::cranking:
        return "cranking";
    case model::Engine::idle:
        return "idling";
    case model::Engine::cruise:
        return "at cruise";
    case model::Engine::rated:
        return "at rated speed";
    }
    return "?";
}

std::string duty_words(const model::Duty& duty) {
    std::string words = duty.label.empty() ? duty.id : duty.label;
    words += fmt::format(" (engine {}", engine_words(duty.engine));
    if (duty.duration_s)
        words += ", " + base::shown_up(duty.duration_s->value, 0, "s");
    return words + ")";
}

} // namespace stoutloom::report
