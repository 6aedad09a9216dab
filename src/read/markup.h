// One pass over the bytes of a file: is it well-formed XML of the kind we accept, and where does everything
// stand?
//
// The parser behind it is lenient (doubled attributes, two roots, cut strings) and knows no place of an
// attribute, so this pass refuses by itself and records the spans.
#pragma once

#include "base/source.h"
#include "read/complaints.h"
#include "read/read.h"

#include <cstdint>
#include <string_view>
#include <vector>

namespace stoutloom::read {

struct AttributePlace {
    base::Span name;
    base::Span value; // without the quotes
};

struct ElementPlace {
    static constexpr std::uint32_t none = 0xFFFFFFFF;

    base::Span tag; // the start tag, from < to >
    base::Span name;
    std::uint32_t end = 0;       // behind the end tag
    std::uint32_t parent = none; // index into Markup::elements
    std::vector<AttributePlace> attributes;
    base::Span words;  // first character data that is not blank; empty when there is none
    base::Span blanks; // first character data of any kind
};

struct Markup {
    std::vector<ElementPlace> elements; // in order of their start tags; the first is the root
    bool sound = false; // tags are balanced: the tree can be trusted, though values may be refused
};

/// No recursion, linear in the text. Each thing refused goes to `complaints`; after a broken structure it
/// stops.
Markup scan_markup(std::string_view text, const Bounds& bounds, Complaints& complaints);

/// Refuses bytes that are no UTF-8 or no character of XML. False when the text must not be parsed at all
/// (NUL, UTF-16).
bool characters_are_sound(std::string_view text, Complaints& complaints);
/// Checks each & in [span): only &amp; &lt; &gt; &quot; &apos; and references to characters of XML.
void check_references(std::string_view text, base::Span span, Complaints& complaints);

} // namespace stoutloom::read
