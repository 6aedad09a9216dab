// One judge for every kind of value; the XSD has the same shapes as patterns (schema_text.cpp).
#include "read/value.h"

#include "base/insulation.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace stoutloom::read {
namespace {

constexpr std::string_view letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz";
constexpr std::string_view small_letters = letters.substr(26);
constexpr std::string_view digits = "0123456789";

bool among(char c, std::string_view set) {
    return set.find(c) != std::string_view::npos;
}

bool is_id(std::string_view text) {
    if (text.empty() || text.size() > longest_id || !(among(text[0], letters) || text[0] == '_'))
        return false;
    return std::all_of(text.begin(), text.end(),
                       [](char c) { return among(c, letters) || among(c, digits) || c == '_' || c == '-'; });
}

bool is_terminal_id(std::string_view text) {
    if (text.empty() || text.size() > longest_terminal_id)
        return false;
    return std::all_of(text.begin(), text.end(),
                       [](char c) { return among(c, letters) || among(c, digits) || among(c, "+-_/"); });
}

bool is_address(std::string_view text) {
    const std::size_t point = text.find('.');
    return is_id(text.substr(0, point)) &&
           (point == std::string_view::npos || is_terminal_id(text.substr(point + 1)));
}

bool is_colours(std::string_view text) {
    const auto codes = colour_codes();
    if (text.empty() || text.size() % 2 != 0 || text.size() > 6)
        return false;
    for (std::size_t i = 0; i < text.size(); i += 2)
        if (std::find(codes.begin(), codes.end(), text.substr(i, 2)) == codes.end())
            return false;
    return true;
}

// Four digits, two, two with hyphens; the ranges of month and day as the XSD's pattern has them.
bool is_date(std::string_view text) {
    constexpr std::string_view shape = "0000-00-00";
    if (text.size() != shape.size())
        return false;
    for (std::size_t i = 0; i < shape.size(); ++i)
        if (shape[i] == '0' ? !among(text[i], digits) : text[i] != '-')
            return false;
    const int month = (text[5] - '0') * 10 + (text[6] - '0');
    const int day = (text[8] - '0') * 10 + (text[9] - '0');
    return month >= 1 && month <= 12 && day >= 1 && day <= 31;
}

bool is_language(std::string_view text) {
    const std::string_view main = text.substr(0, text.find('-'));
    if (main.size() < 2 || main.size() > 3)
        return false;
    if (!std::all_of(main.begin(), main.end(), [](char c) { return among(c, small_letters); }))
        return false;
    if (main.size() == text.size())
        return true;
    const std::string_view region = text.substr(main.size() + 1);
    return region.size() == 2 &&
           std::all_of(region.begin(), region.end(), [](char c) { return c >= 'A' && c <= 'Z'; });
}

bool is_slug(std::string_view text) {
    if (text.empty() || text.size() > 60 || !among(text[0], small_letters) || text.back() == '-')
        return false;
    if (text.find("--") != std::string_view::npos)
        return false;
    return std::all_of(text.begin(), text.end(),
                       [](char c) { return among(c, small_letters) || among(c, digits) || c == '-'; });
}

bool is_count(std::string_view text) {
    return !text.empty() && text.size() <= 2 && text[0] != '0' &&
           std::all_of(text.begin(), text.end(), [](char c) { return among(c, digits); });
}

bool is_list(std::string_view text, bool (*fits)(std::string_view)) {
    const std::vector<std::string> items = list_items(text);
    // Only plain blanks part the items: a tab written as a reference does not.
    return !items.empty() && text.find_first_of("\t\r\n") == std::string_view::npos &&
           std::all_of(items.begin(), items.end(), [&](const std::string& item) { return fits(item); });
}

constexpr std::array all_quantities = {base::Quantity::current,
                                       base::Quantity::voltage,
                                       base::Quantity::resistance,
                                       base::Quantity::length,
                                       base::Quantity::section,
                                       base::Quantity::temperature,
                                       base::Quantity::temperature_step,
                                       base::Quantity::power,
                                       base::Quantity::charge,
                                       base::Quantity::time,
                                       base::Quantity::speed,
                                       base::Quantity::fraction,
                                       base::Quantity::resistance_per_length,
                                       base::Quantity::voltage_per_kelvin,
                                       base::Quantity::torque,
                                       base::Quantity::pure_number};

/// One value at work; the members spare every judgement the same five arguments.
class Judge {
  public:
    Judge(const AttributeRow& attribute, std::string_view element, std::string text, base::Span span,
          Complaints& complaints)
        : attribute_(attribute), element_(element), span_(span), complaints_(complaints) {
        value_.text = std::move(text);
    }

    Value run() {
        const ValueType& type = attribute_.type;
        switch (type.kind) {
        case Kind::text:
        case Kind::title:
            free_text();
            break;
        case Kind::quantity:
            quantity();
            break;
        case Kind::any_quantity:
            any_quantity();
            break;
        case Kind::section_auto:
        case Kind::rating_auto:
            if (value_.text == "auto")
                value_.sound = true;
            else
                quantity();
            break;
        case Kind::speed:
            if (value_.text == "idle" || value_.text == "cruise" || value_.text == "rated")
                value_.sound = true;
            else
                quantity();
            break;
        case Kind::nominal:
            nominal();
            break;
        case Kind::words:
        case Kind::fastener:
        case Kind::fastener_auto:
        case Kind::limit_name:
            choice();
            break;
        case Kind::insulation:
            insulation();
            break;
        default:
            name();
            break;
        }
        return std::move(value_);
    }

  private:
    void refuse(std::string slug, std::string message, std::string mend) {
        complaints_.form(std::move(slug), span_, std::move(message), std::move(mend));
    }
    std::string called() const { return fmt::format("{} of <{}>", attribute_.name, element_); }

    void free_text() {
        value_.text = collapsed(value_.text);
        if (attribute_.type.kind == Kind::title && value_.text.empty())
            return refuse("empty-text", fmt::format("{} is empty", called()),
                          fmt::format("write {}=\"{}\"", attribute_.name, attribute_.example));
        if (character_count(value_.text) > longest_text)
            return refuse("long-text",
                          fmt::format("{} has {} characters", called(), character_count(value_.text)),
                          fmt::format("use at most {}", longest_text));
        value_.sound = true;
    }

    void quantity() {
        const auto parsed = base::parse_quantity(attribute_.type.quantity, value_.text);
        if (!parsed) {
            const base::QuantityRefusal& why = parsed.error();
            std::string message = fmt::format("{}: {}", called(), why.wrong);
            if (why.out_of_range)
                complaints_.meaning("out-of-range", span_, std::move(message), why.mend);
            else
                refuse("quantity", std::move(message), why.mend);
            return;
        }
        if (attribute_.type.positive && *parsed <= 0) {
            complaints_.meaning("zero", span_, fmt::format("{}: \"{}\" is zero", called(), value_.text),
                                fmt::format("write a figure above zero, such as \"{}\"", attribute_.example));
            return;
        }
        value_.number = *parsed;
        value_.sound = true;
    }

    void any_quantity() {
        bool out_of_range = false;
        for (const base::Quantity candidate : all_quantities) {
            const auto parsed = base::parse_quantity(candidate, value_.text);
            if (parsed || parsed.error().out_of_range)
                value_.sound = true;
            out_of_range = out_of_range || (!parsed && parsed.error().out_of_range);
        }
        if (!value_.sound)
            refuse("quantity",
                   fmt::format("{}: \"{}\" is not a number with a unit", called(), cut(value_.text)),
                   fmt::format("write a quantity such as \"{}\"", attribute_.example));
    }

    void nominal() {
        const auto parsed = base::parse_quantity(base::Quantity::voltage, value_.text);
        // Only the four plain spellings, so that the XSD can list them: "12 V", "12V".
        for (const std::string_view volts : {"6", "12", "24", "48"})
            if (parsed && value_.text.starts_with(volts) && value_.text.ends_with("V") &&
                value_.text.find_first_not_of(' ', volts.size()) == value_.text.size() - 1) {
                value_.number = *parsed;
                value_.sound = true;
            }
        if (!value_.sound)
            refuse("nominal", fmt::format("nominal voltage \"{}\" is not known", cut(value_.text)),
                   "write 6 V, 12 V, 24 V or 48 V");
    }

    void choice() {
        const std::vector<std::string> words = choices(attribute_.type);
        value_.sound = std::find(words.begin(), words.end(), value_.text) != words.end();
        if (!value_.sound)
            refuse("word", fmt::format("{}: \"{}\" is not {}", called(), cut(value_.text), listed(words)),
                   nearest_or(complaints_, value_.text, words, "choose one of them"));
    }

    void insulation() {
        const auto parsed = base::parse_insulation(value_.text);
        if (parsed) {
            value_.number = parsed->class_degc;
            value_.sound = true;
            return;
        }
        const auto temperature = base::parse_quantity(base::Quantity::temperature, value_.text);
        if (temperature || temperature.error().out_of_range)
            complaints_.meaning(
                "out-of-range", span_,
                fmt::format("{}: no insulation stands \"{}\" and no more", called(), cut(value_.text)),
                "write a class letter A to H or 40 to 300 degC");
        else
            refuse("insulation", parsed.error().wrong, parsed.error().mend);
    }

    void name() {
        struct Shape {
            Kind kind;
            bool (*fits)(std::string_view);
            bool list;
            std::string_view slug, rule;
        };
        static constexpr std::array shapes = {
            Shape{Kind::id, is_id, false, "id", "a letter or _, then letters, digits, _ and -, at most 40"},
            Shape{Kind::terminal_id, is_terminal_id, false, "id", "letters, digits, + - _ and /, at most 20"},
            Shape{Kind::address, is_address, false, "address", "a part's id, a point, the terminal's id"},
            Shape{Kind::address_list, is_address, true, "address", "addresses with blanks between"},
            Shape{Kind::id_list, is_id, true, "id", "ids with blanks between"},
            Shape{Kind::colours, is_colours, false, "colour",
                  "one to three of BK BN RD OG YE GN BU VT GY WH PK GD TQ SR, in a row"},
            Shape{Kind::count, is_count, false, "count", "a whole number from 1 to 99"},
            Shape{Kind::date, is_date, false, "date", "year-month-day"},
            Shape{Kind::language, is_language, false, "language", "a language code"},
            Shape{Kind::slug, is_slug, false, "rule-name", "small letters and digits with - between"},
        };
        const auto shape = std::find_if(shapes.begin(), shapes.end(),
                                        [&](const Shape& s) { return s.kind == attribute_.type.kind; });
        value_.sound = shape->list ? is_list(value_.text, shape->fits) : shape->fits(value_.text);
        if (value_.sound)
            return;
        refuse(std::string(shape->slug),
               fmt::format("{}: \"{}\" is not spelled right", called(), cut(value_.text)),
               fmt::format("write {}, such as \"{}\"", shape->rule, attribute_.example));
    }

    const AttributeRow& attribute_;
    std::string_view element_;
    base::Span span_;
    Complaints& complaints_;
    Value value_;
};

} // namespace

Value judge_value(const AttributeRow& attribute, std::string_view element, std::string text, base::Span span,
                  Complaints& complaints) {
    return Judge(attribute, element, std::move(text), span, complaints).run();
}

std::vector<std::string> list_items(std::string_view text) {
    std::vector<std::string> items;
    for (std::size_t i = 0; i < text.size();) {
        const std::size_t begin = text.find_first_not_of(' ', i);
        if (begin == std::string_view::npos)
            break;
        const std::size_t end = std::min(text.find(' ', begin), text.size());
        items.emplace_back(text.substr(begin, end - begin));
        i = end;
    }
    return items;
}

std::string collapsed(std::string_view text) {
    std::string out;
    bool gap = false;
    for (const char c : text) {
        if (among(c, " \t\r\n")) {
            gap = !out.empty();
            continue;
        }
        if (gap)
            out += ' ';
        gap = false;
        out += c;
    }
    return out;
}

std::size_t character_count(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(
        text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

} // namespace stoutloom::read
