// Is an attribute's value spelled as its kind asks, and what number does it hold?
#pragma once

#include "base/source.h"
#include "read/complaints.h"
#include "read/vocabulary.h"

#include <string>
#include <string_view>
#include <vector>

namespace stoutloom::read {

struct Value {
    std::string text;   // as it counts: blanks collapsed in free text
    double number = 0;  // in our unit, for quantities
    bool sound = false; // well spelled and meaningful
};

/// Refuses into `complaints`: the spelling as form (the XSD refuses it too), zero and the implausible as
/// meaning.
Value judge_value(const AttributeRow& attribute, std::string_view element, std::string text, base::Span span,
                  Complaints& complaints);

/// The words of a list, blanks between.
std::vector<std::string> list_items(std::string_view text);
/// Leading, trailing and doubled blanks (and tabs, line ends) out, as XML Schema's token does.
std::string collapsed(std::string_view text);
/// Characters, not bytes.
std::size_t character_count(std::string_view text);

constexpr std::size_t longest_text = 200;   // of a free-text attribute, in characters
constexpr std::size_t longest_words = 2000; // of a note
constexpr std::size_t longest_id = 40;
constexpr std::size_t longest_terminal_id = 20;

} // namespace stoutloom::read
