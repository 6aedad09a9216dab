// The file as a checked tree: known elements with known, well spelled attributes, and where each stands.
#pragma once

#include "read/complaints.h"
#include "read/markup.h"
#include "read/value.h"
#include "read/vocabulary.h"

#include <cstdint>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace stoutloom::read {

struct GivenAttribute {
    const AttributeRow* row = nullptr;
    Value value;
    base::Span span; // the value, without quotes
};

struct Node {
    const ElementRow* row = nullptr;
    base::Span tag, name;
    std::vector<GivenAttribute> attributes;
    std::vector<std::uint32_t> children; // indices into Form::nodes, in file order
    std::string words;                   // of a note or step, blanks collapsed

    /// Given, sound or not.
    const GivenAttribute* mentioned(std::string_view attribute) const;
    /// Given and sound.
    const GivenAttribute* given(std::string_view attribute) const;
    std::string text(std::string_view attribute, std::string_view otherwise = {}) const;
    bool yes(std::string_view attribute, bool otherwise = false) const;
    bool is(std::string_view attribute, std::string_view word, bool otherwise = false) const;
};

struct Form {
    std::vector<Node> nodes; // the first is the root; empty when the structure is broken
    /// Ids found on elements that were refused: a reference to them is no second mistake.
    std::set<std::string, std::less<>> lost_ids;
};

/// Parses `text` and holds it against the vocabulary; `root` is "harness", or "stock" for an included one.
/// Everything refused here the XSD refuses too.
Form read_form(const std::string& text, const Bounds& bounds, Complaints& complaints,
               std::string_view root = "harness");

} // namespace stoutloom::read
