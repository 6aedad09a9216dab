// Joins the two tables of the vocabulary and answers questions about them.
#include "read/vocabulary.h"

#include "base/fastener.h"
#include "model/harness.h"
#include "read/vocabulary_tables.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace stoutloom::read {
namespace {

std::vector<std::string> split_words(std::string_view words) {
    std::vector<std::string> all;
    while (!words.empty()) {
        const std::size_t bar = words.find('|');
        all.emplace_back(words.substr(0, bar));
        words = bar == std::string_view::npos ? std::string_view{} : words.substr(bar + 1);
    }
    return all;
}

// Root and zones first, then devices, then the rest: the order of the reference.
std::vector<ElementRow> gathered() {
    std::vector<ElementRow> all;
    const auto rest = other_rows();
    const auto devices = device_rows();
    all.insert(all.end(), rest.begin(), rest.begin() + 3);
    all.insert(all.end(), devices.begin(), devices.end());
    all.insert(all.end(), rest.begin() + 3, rest.end());
    return all;
}

} // namespace

std::span<const ElementRow> element_rows() {
    static const std::vector<ElementRow> rows = gathered();
    return rows;
}

const ElementRow* element_row(std::string_view name) {
    for (const ElementRow& row : element_rows())
        if (row.name == name)
            return &row;
    return nullptr;
}

const AttributeRow* attribute_row(const ElementRow& element, std::string_view name) {
    for (const AttributeRow& row : element.attributes)
        if (row.name == name)
            return &row;
    return nullptr;
}

bool may_contain(const ElementRow& element, std::string_view child) {
    return std::find(element.children.begin(), element.children.end(), child) != element.children.end();
}

std::vector<std::string> choices(const ValueType& type) {
    std::vector<std::string> all;
    if (type.kind == Kind::words)
        all = split_words(type.words);
    if (type.kind == Kind::fastener || type.kind == Kind::fastener_auto)
        for (const std::string_view name : base::fastener_names())
            all.emplace_back(name);
    if (type.kind == Kind::fastener_auto)
        all.emplace_back("auto");
    if (type.kind == Kind::limit_name)
        for (const model::LimitRow& row : model::limit_rows())
            all.emplace_back(row.name);
    return all;
}

std::string type_in_words(const ValueType& type) {
    switch (type.kind) {
    case Kind::text:
        return "text";
    case Kind::title:
        return "text, not empty";
    case Kind::id:
        return "id";
    case Kind::terminal_id:
        return "terminal id";
    case Kind::address:
        return "address";
    case Kind::address_list:
        return "addresses";
    case Kind::id_list:
        return "ids";
    case Kind::quantity:
        return std::string(base::quantity_name(type.quantity));
    case Kind::any_quantity:
        return "any quantity";
    case Kind::section_auto:
        return "section or auto";
    case Kind::rating_auto:
        return "current or auto";
    case Kind::speed:
        return "idle, cruise, rated or speed";
    case Kind::nominal:
        return "6 V, 12 V, 24 V, 48 V";
    case Kind::words:
        return fmt::format("{}", fmt::join(split_words(type.words), ", "));
    case Kind::insulation:
        return "class letter or temperature";
    case Kind::fastener:
        return "stud size";
    case Kind::fastener_auto:
        return "stud size or auto";
    case Kind::colours:
        return "colour codes";
    case Kind::count:
        return "whole number 1 to 99";
    case Kind::date:
        return "date";
    case Kind::language:
        return "language code";
    case Kind::slug:
        return "rule name";
    case Kind::limit_name:
        return "limit name";
    }
    return {};
}

std::span<const std::string_view> device_elements() {
    static constexpr std::array<std::string_view, 10> names = {
        "battery", "generator", "starter", "consumer", "switch",
        "relay",   "fuse-link", "post",    "mass",     "shunt"};
    return names;
}

std::span<const std::string_view> colour_codes() {
    static constexpr std::array<std::string_view, 14> codes = {"BK", "BN", "RD", "OG", "YE", "GN", "BU",
                                                               "VT", "GY", "WH", "PK", "GD", "TQ", "SR"};
    return codes;
}

} // namespace stoutloom::read
