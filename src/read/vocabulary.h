// The words of the harness file: one table of elements and attributes that the reader, the XSD and the
// reference share.
#pragma once

#include "base/quantity.h"

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace stoutloom::read {

inline constexpr std::string_view harness_namespace = "urn:stoutloom:harness:1";

/// How an attribute's value is spelled.
enum class Kind : std::uint8_t {
    text,          // free words, at most 200 characters, blanks collapsed
    title,         // the same, never empty
    id,            // a part's name: W1
    terminal_id,   // a terminal's name: B+
    address,       // G1.B+, X1, U1
    address_list,  // addresses with blanks between
    id_list,       // ids with blanks between
    quantity,      // number and unit
    any_quantity,  // number and unit of any quantity
    section_auto,  // section, or auto
    rating_auto,   // current, or auto
    speed,         // idle, cruise, rated, or a speed
    nominal,       // 6 V, 12 V, 24 V, 48 V
    words,         // one of a list
    insulation,    // class letter or temperature
    fastener,      // stud or lug size
    fastener_auto, // stud or lug size, or auto
    colours,       // one to three colour codes in a row
    count,         // 1 to 99
    date,          // 2026-03-14
    language,      // en, en-GB
    slug,          // a rule's or limit's name
    limit_name     // a name of model::limit_rows
};

struct ValueType {
    Kind kind = Kind::text;
    base::Quantity quantity = base::Quantity::pure_number;
    bool positive = false;       // zero is refused (as meaning; the spelling is sound)
    std::string_view words = {}; // for Kind::words, separated by |
};

struct AttributeRow {
    std::string_view name;
    ValueType type;
    bool required;
    std::string_view fallback; // what holds when it is not given, in words; empty: nothing
    std::string_view example;
    std::string_view meaning;
};

/// What may stand inside an element.
enum class Content : std::uint8_t {
    nothing,
    text,      // words, never empty
    any_order, // the children in any order and number
    cable_ends // one from, one to, then any number of route
};

struct ElementRow {
    std::string_view name;
    std::string_view meaning;
    Content content;
    std::span<const std::string_view> children;
    std::span<const AttributeRow> attributes;
};

/// All elements, in the order of the reference; the first is the root.
std::span<const ElementRow> element_rows();
const ElementRow* element_row(std::string_view name);
const AttributeRow* attribute_row(const ElementRow& element, std::string_view name);
bool may_contain(const ElementRow& element, std::string_view child);

/// The words a Kind::words, fastener or limit_name value is chosen from; empty for the other kinds.
std::vector<std::string> choices(const ValueType& type);
/// The type in words, for the reference and for messages: "length", "yes or no".
std::string type_in_words(const ValueType& type);

/// Elements that are parts of the circuit and have terminals.
std::span<const std::string_view> device_elements();
/// Fuse-link types by name (their data is physics' business).
std::string_view fuse_link_types();
/// Colour codes of IEC 60757.
std::span<const std::string_view> colour_codes();

} // namespace stoutloom::read
