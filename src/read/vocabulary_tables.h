// Private to the vocabulary: short ways to write a row, and the tables of the two source files.
#pragma once

#include "read/vocabulary.h"

namespace stoutloom::read {

using base::Quantity;

constexpr bool needed = true, optional = false;
constexpr ValueType text_type{.kind = Kind::text};
constexpr ValueType title_type{.kind = Kind::title};
constexpr ValueType id_type{.kind = Kind::id};
constexpr ValueType address_type{.kind = Kind::address};
constexpr ValueType id_list_type{.kind = Kind::id_list};
constexpr ValueType fastener_type{.kind = Kind::fastener};
constexpr ValueType fastener_or_auto{.kind = Kind::fastener_auto};
constexpr ValueType yes_no{.kind = Kind::words, .words = "yes|no"};
constexpr ValueType one_of(std::string_view words) {
    return {.kind = Kind::words, .words = words};
}
/// A quantity above zero.
constexpr ValueType above_zero(Quantity quantity) {
    return {.kind = Kind::quantity, .quantity = quantity, .positive = true};
}
/// A quantity that may be zero (or below, where its grammar allows a minus).
constexpr ValueType figure(Quantity quantity) {
    return {.kind = Kind::quantity, .quantity = quantity};
}

constexpr AttributeRow part_id{"id", id_type, needed,
                               "",   "W1",    "name of the part, unlike that of any other part"};
constexpr AttributeRow part_label{"label",  text_type, optional,
                                  "the id", "Battery", "what the papers call it"};
constexpr AttributeRow part_zone{
    "zone", id_type, optional, "the only zone, else the hottest", "engine-bay", "id of the zone it sits in"};

std::span<const ElementRow> device_rows();
std::span<const ElementRow> other_rows();

} // namespace stoutloom::read
