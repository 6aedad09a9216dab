// Writes the XSD and the tables of the reference, row by row, from the vocabulary.
#include "read/schema_text.h"

#include "model/harness.h"
#include "read/value.h"
#include "read/vocabulary.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace stoutloom::read {
namespace {

using base::Quantity;

constexpr std::array quantities = {Quantity::current,
                                   Quantity::voltage,
                                   Quantity::resistance,
                                   Quantity::length,
                                   Quantity::section,
                                   Quantity::temperature,
                                   Quantity::temperature_step,
                                   Quantity::power,
                                   Quantity::charge,
                                   Quantity::time,
                                   Quantity::speed,
                                   Quantity::fraction,
                                   Quantity::resistance_per_length,
                                   Quantity::voltage_per_kelvin,
                                   Quantity::torque,
                                   Quantity::pure_number};

std::string escaped(std::string_view text) {
    std::string out;
    for (const char c : text) {
        if (c == '&')
            out += "&amp;";
        else if (c == '<')
            out += "&lt;";
        else if (c == '>')
            out += "&gt;";
        else if (c == '"')
            out += "&quot;";
        else
            out += c;
    }
    return out;
}

std::string quantity_type_name(Quantity quantity) {
    std::string name(base::quantity_name(quantity));
    std::replace(name.begin(), name.end(), ' ', '-');
    return name;
}

// --- simple types ---

std::string type_reference(const ValueType& type) {
    switch (type.kind) {
    case Kind::text:
        return "text";
    case Kind::title:
        return "filled-text";
    case Kind::id:
        return "id";
    case Kind::terminal_id:
        return "terminal-id";
    case Kind::address:
        return "address";
    case Kind::address_list:
        return "address-list";
    case Kind::id_list:
        return "id-list";
    case Kind::quantity:
        return quantity_type_name(type.quantity);
    case Kind::any_quantity:
        return "any-quantity";
    case Kind::section_auto:
        return "section-or-auto";
    case Kind::rating_auto:
        return "current-or-auto";
    case Kind::speed:
        return "output-speed";
    case Kind::nominal:
        return "nominal-voltage";
    case Kind::words:
        return {};
    case Kind::insulation:
        return "insulation";
    case Kind::fastener:
        return "fastener";
    case Kind::fastener_auto:
        return "fastener-or-auto";
    case Kind::colours:
        return "colours";
    case Kind::count:
        return "count";
    case Kind::date:
        return "date";
    case Kind::language:
        return "language";
    case Kind::slug:
        return "rule-name";
    case Kind::limit_name:
        return "limit-name";
    }
    return {};
}

std::string simple_type(std::string_view name, std::string_view about, std::string_view base,
                        const std::string& facets) {
    return fmt::format("  <xs:simpleType name=\"{}\">\n"
                       "    <xs:annotation><xs:documentation>{}</xs:documentation></xs:annotation>\n"
                       "    <xs:restriction base=\"xs:{}\">\n{}    </xs:restriction>\n  </xs:simpleType>\n",
                       name, escaped(about), base, facets);
}
std::string pattern(std::string_view expression) {
    return fmt::format("      <xs:pattern value=\"{}\"/>\n", escaped(expression));
}
std::string enumeration(const std::vector<std::string>& words, std::string_view indent = "      ") {
    std::string out;
    for (const std::string& word : words)
        out += fmt::format("{}<xs:enumeration value=\"{}\"/>\n", indent, escaped(word));
    return out;
}

std::string name_types() {
    const std::string id = fmt::format("[A-Za-z_][A-Za-z0-9_\\-]{{0,{}}}", longest_id - 1);
    const std::string terminal = fmt::format("[A-Za-z0-9_/+\\-]{{1,{}}}", longest_terminal_id);
    const std::string address = fmt::format("{}(\\.{})?", id, terminal);
    std::string colours;
    for (const std::string_view code : colour_codes())
        colours += (colours.empty() ? "" : "|") + std::string(code);
    return simple_type("text", "Free words.", "token",
                       fmt::format("      <xs:maxLength value=\"{}\"/>\n", longest_text)) +
           simple_type("filled-text", "Free words, never empty.", "token",
                       fmt::format("      <xs:minLength value=\"1\"/>\n      <xs:maxLength value=\"{}\"/>\n",
                                   longest_text)) +
           simple_type("words", "The words of a note or step.", "token",
                       fmt::format("      <xs:minLength value=\"1\"/>\n      <xs:maxLength value=\"{}\"/>\n",
                                   longest_words)) +
           simple_type("id", "Name of a part, cable, zone, duty or loom: W1.", "string", pattern(id)) +
           simple_type("terminal-id", "Name of a terminal on its part: B+, 30.", "string",
                       pattern(terminal)) +
           simple_type(
               "address",
               "A part's id, a point, the terminal's id: G1.B+. A one-stud post or a mass's metal: X1.",
               "string", pattern(address)) +
           simple_type("address-list", "Addresses with blanks between.", "string",
                       pattern(fmt::format(" *{}( +{})* *", address, address))) +
           simple_type("id-list", "Ids with blanks between, or all.", "string",
                       pattern(fmt::format(" *{}( +{})* *", id, id))) +
           simple_type("colours", "One to three colour codes after IEC 60757 in a row: RD, GNYE.", "string",
                       pattern(fmt::format("({}){{1,3}}", colours))) +
           simple_type("count", "A whole number from 1 to 99.", "string", pattern("[1-9][0-9]?")) +
           simple_type("date", "Year-month-day: 2026-03-14.", "string",
                       pattern("[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])")) +
           simple_type("language", "Language code: en, en-GB.", "string", pattern("[a-z]{2,3}(-[A-Z]{2})?")) +
           simple_type("rule-name", "Slug of a rule: cable-ampacity.", "string",
                       pattern("[a-z][a-z0-9]*(-[a-z0-9]+)*") + "      <xs:maxLength value=\"60\"/>\n") +
           simple_type("fastener", "Size of a stud, post or blade, and of what goes on it.", "string",
                       enumeration(choices({.kind = Kind::fastener}))) +
           simple_type("fastener-or-auto", "A size of stud or lug, or auto to have it chosen.", "string",
                       enumeration(choices({.kind = Kind::fastener_auto}))) +
           simple_type("limit-name", "Name of a default limit.", "string",
                       enumeration(choices({.kind = Kind::limit_name})));
}

std::string quantity_types() {
    std::string out, any;
    for (const Quantity quantity : quantities) {
        const std::string about =
            quantity == Quantity::pure_number
                ? std::string("A number without a unit.")
                : fmt::format("A {}: number and unit ({}), such as {}.", base::quantity_name(quantity),
                              fmt::join(base::unit_names(quantity), ", "), base::quantity_example(quantity));
        out += simple_type(quantity_type_name(quantity), about, "string",
                           pattern(base::quantity_pattern(quantity)));
        any += pattern(base::quantity_pattern(quantity));
    }
    out += simple_type("any-quantity", "A number with the unit that fits.", "string", any);
    out += simple_type("section-or-auto", "A section, or auto to have it chosen.", "string",
                       pattern("auto") + pattern(base::quantity_pattern(Quantity::section)));
    out += simple_type("current-or-auto", "A current, or auto to have it chosen.", "string",
                       pattern("auto") + pattern(base::quantity_pattern(Quantity::current)));
    out += simple_type("output-speed", "idle, cruise, rated, or a shaft speed.", "string",
                       pattern("idle|cruise|rated") + pattern(base::quantity_pattern(Quantity::speed)));
    out += simple_type("nominal-voltage", "6 V, 12 V, 24 V or 48 V.", "string", pattern("(6|12|24|48) *V"));
    out += simple_type("insulation", "Class letter after ISO 6722-1, or a temperature.", "string",
                       pattern("[A-H]") + pattern(base::quantity_pattern(Quantity::temperature)));
    return out;
}

// --- attributes and elements ---

std::string attribute_about(const AttributeRow& row) {
    std::string about(row.meaning);
    if (!about.empty() && about.front() >= 'a' && about.front() <= 'z' && about.find(',') > 3)
        about.front() = static_cast<char>(about.front() - 'a' + 'A');
    about += fmt::format(". Example: {}.", row.example);
    if (!row.fallback.empty())
        about += fmt::format(" Default: {}.", row.fallback);
    return about;
}

std::string attribute_text(const AttributeRow& row) {
    const std::string reference = type_reference(row.type);
    std::string out = fmt::format("    <xs:attribute name=\"{}\"{}{}>\n", row.name,
                                  reference.empty() ? "" : fmt::format(" type=\"h:{}\"", reference),
                                  row.required ? " use=\"required\"" : "");
    out += fmt::format("      <xs:annotation><xs:documentation>{}</xs:documentation></xs:annotation>\n",
                       escaped(attribute_about(row)));
    if (reference.empty())
        out += "      <xs:simpleType>\n        <xs:restriction base=\"xs:string\">\n" +
               enumeration(choices(row.type), "          ") +
               "        </xs:restriction>\n      </xs:simpleType>\n";
    return out + "    </xs:attribute>\n";
}

std::string attribute_groups() {
    std::string out;
    for (const ElementRow& row : element_rows()) {
        if (row.attributes.empty())
            continue;
        out += fmt::format("  <xs:attributeGroup name=\"{}\">\n", row.name);
        for (const AttributeRow& attribute : row.attributes)
            out += attribute_text(attribute);
        out += "  </xs:attributeGroup>\n";
    }
    return out;
}

std::string element_text(const ElementRow& row, std::size_t depth, std::string_view occurs);

std::string child(std::string_view name, std::size_t depth, std::string_view occurs = "") {
    return element_text(*element_row(name), depth, occurs);
}

// No name stands twice in one content model, so every type can stay without a name: a type with a name could
// be asked for by xsi:type, which the reader refuses.
std::string content(const ElementRow& row, std::size_t depth) {
    const std::string pad(2 * depth, ' ');
    constexpr std::string_view many = " minOccurs=\"0\" maxOccurs=\"unbounded\"";
    const auto group = [&](std::string_view kind, std::string_view occurs, const std::string& inside) {
        return fmt::format("{}<xs:{}{}>\n{}{}</xs:{}>\n", pad, kind, occurs, inside, pad, kind);
    };
    switch (row.content) {
    case Content::nothing:
    case Content::text:
        return {};
    case Content::any_order: {
        std::string inside;
        for (const std::string_view name : row.children)
            inside += child(name, depth + 1);
        return group("choice", many, inside);
    }
    case Content::cable_ends:
        return group("sequence", "",
                     child("from", depth + 1) + child("to", depth + 1) + child("route", depth + 1, many));
    }
    return {};
}

std::string terminals_unique(const ElementRow& row, const std::string& pad, bool in_variant) {
    const auto devices = device_elements();
    if (std::find(devices.begin(), devices.end(), row.name) == devices.end())
        return {};
    return fmt::format("{}<xs:unique name=\"terminals-of-{}\">\n{}  <xs:selector xpath=\"h:terminal\"/>\n"
                       "{}  <xs:field xpath=\"@id\"/>\n{}</xs:unique>\n",
                       pad, std::string(row.name) + (in_variant ? "-in-variant" : ""), pad, pad, pad);
}

std::string identity(std::string_view kind, std::string_view name, std::string_view refer,
                     const std::string& selector, std::string_view field) {
    return fmt::format(
        "    <xs:{0} name=\"{1}\"{2}>\n      <xs:selector xpath=\"{3}\"/>\n      <xs:field xpath=\"@{4}\"/>\n"
        "    </xs:{0}>\n",
        kind, name, refer.empty() ? "" : fmt::format(" refer=\"h:{}\"", refer), selector, field);
}

// What an editor can hold together by itself. Addresses (part and terminal in one value) are beyond XML
// Schema 1.0.
std::string identities() {
    std::string devices;
    for (const std::string_view name : device_elements())
        devices += fmt::format("h:{}|", name);
    return identity("unique", "part-ids", "", devices + "h:cable|h:incidental", "id") +
           identity("key", "zone-ids", "", "h:zone", "id") + identity("key", "mass-ids", "", "h:mass", "id") +
           identity("unique", "duty-ids", "", "h:duty", "id") +
           identity("unique", "landing-ids", "", "h:landing", "id") +
           identity("unique", "limit-names", "", "h:limit", "name") +
           identity("keyref", "zones-named", "zone-ids", devices + "h:cable|h:cable/h:route", "zone") +
           identity("keyref", "masses-named", "mass-ids", "h:generator|h:starter|h:consumer", "mass");
}

std::string element_text(const ElementRow& row, std::size_t depth, std::string_view occurs) {
    const std::string pad(2 * depth, ' ');
    std::string out = fmt::format("{}<xs:element name=\"{}\"{}>\n", pad, row.name, occurs);
    out += fmt::format("{}  <xs:annotation><xs:documentation>{}</xs:documentation></xs:annotation>\n", pad,
                       escaped(row.meaning));
    out += fmt::format("{}  <xs:complexType>\n", pad);
    const std::string attributes =
        row.attributes.empty() ? "" : fmt::format("<xs:attributeGroup ref=\"h:{}\"/>\n", row.name);
    if (row.content == Content::text)
        out +=
            fmt::format("{0}    <xs:simpleContent>\n{0}      <xs:extension base=\"h:words\">\n{0}        {1}"
                        "{0}      </xs:extension>\n{0}    </xs:simpleContent>\n",
                        pad, attributes);
    else
        out += content(row, depth + 2) + (attributes.empty() ? "" : fmt::format("{}    {}", pad, attributes));
    out += fmt::format("{}  </xs:complexType>\n", pad);
    out += row.name == "harness" ? identities() : terminals_unique(row, pad + "  ", depth > 4);
    return out + fmt::format("{}</xs:element>\n", pad);
}

std::string unit_list(Quantity quantity) {
    const auto units = base::unit_names(quantity);
    return units.empty() ? std::string("none") : fmt::format("{}", fmt::join(units, ", "));
}

// A bar would end the cell of a table.
std::string cell(std::string_view text) {
    std::string out;
    for (const char c : text) {
        if (c == '|')
            out += '\\';
        out += c;
    }
    return out;
}

std::string unit_of(const ValueType& type) {
    switch (type.kind) {
    case Kind::quantity:
    case Kind::section_auto:
    case Kind::rating_auto:
    case Kind::speed:
        return unit_list(type.quantity);
    case Kind::insulation:
        return "class, degC, degF";
    case Kind::nominal:
        return "V";
    default:
        return {};
    }
}

std::string home(std::string_view name) {
    std::string homes;
    std::size_t count = 0;
    for (const ElementRow& row : element_rows())
        if (may_contain(row, name) && ++count > 0)
            homes += fmt::format("{}`{}`", homes.empty() ? "" : ", ", row.name);
    return homes;
}

} // namespace

std::string schema_text() {
    return fmt::format(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
        "<!-- Written from the reader's own table (src/read/vocabulary*.cpp); tests/unit/read remakes it. "
        "-->\n"
        "<xs:schema xmlns:xs=\"http://www.w3.org/2001/XMLSchema\" xmlns:h=\"{0}\" targetNamespace=\"{0}\"\n"
        "           elementFormDefault=\"qualified\" version=\"1\">\n"
        "  <xs:annotation><xs:documentation>A heavy-current harness: parts, terminals, cables, routes, "
        "duties, "
        "limits. The reference is README.md beside this file.</xs:documentation></xs:annotation>\n\n"
        "{1}{2}\n{3}\n{4}\n{5}</xs:schema>\n",
        harness_namespace, name_types(), quantity_types(), attribute_groups(),
        element_text(*element_row("harness"), 1, ""), element_text(*element_row("stock"), 1, ""));
}

std::string reference_text() {
    std::string out;
    for (const ElementRow& row : element_rows()) {
        out += fmt::format("### {}\n\n{}\n", row.name, row.meaning);
        const std::string homes = home(row.name);
        out += homes.empty() ? "The root of the file." : fmt::format("Stands in {}.", homes);
        if (row.content == Content::text)
            out += " Holds words.";
        if (row.content == Content::cable_ends)
            out += " Holds `from`, `to`, then any number of `route`.";
        if (row.content == Content::any_order) {
            std::string children;
            for (const std::string_view name : row.children)
                children += fmt::format("{}`{}`", children.empty() ? "" : ", ", name);
            out += fmt::format(" Holds {}{}.", children, row.children.size() > 1 ? ", in any order" : "");
        }
        out += "\n\n";
        if (row.attributes.empty())
            continue;
        out += "| attribute | type | unit | default | example | meaning |\n|---|---|---|---|---|---|\n";
        for (const AttributeRow& attribute : row.attributes)
            out += fmt::format("| `{}` | {} | {} | {} | `{}` | {} |\n", attribute.name,
                               cell(type_in_words(attribute.type)), unit_of(attribute.type),
                               attribute.required           ? "**needed**"
                               : attribute.fallback.empty() ? "none"
                                                            : cell(attribute.fallback),
                               attribute.example, cell(attribute.meaning));
        out += "\n";
    }
    return out;
}

std::string limits_text() {
    std::string out = "| name | default | for 24 V | what it limits | where the figure comes from "
                      "|\n|---|---|---|---|---|\n";
    for (const model::LimitRow& row : model::limit_rows()) {
        const auto units = base::unit_names(row.quantity);
        const auto shown = [&](double value) {
            const bool fraction = row.quantity == Quantity::fraction;
            std::string number = fmt::format("{:.4g}", fraction ? 100 * value : value);
            return units.empty() ? number : fmt::format("{} {}", number, units.front());
        };
        out += fmt::format("| `{}` | {} | {} | {} | {} |\n", row.name, shown(row.value),
                           shown(row.value * (row.scales_with_voltage ? 2 : 1)), cell(row.meaning),
                           cell(row.source));
    }
    return out;
}

std::string quantities_text() {
    std::string out = "| quantity | units | example |\n|---|---|---|\n";
    for (const Quantity quantity : quantities)
        out += fmt::format("| {} | {} | `{}` |\n", base::quantity_name(quantity), unit_list(quantity),
                           base::quantity_example(quantity));
    return out;
}

} // namespace stoutloom::read
