// One refusal of an input: a record with its place, what is wrong and how to mend it. Text is a view of it.
#pragma once

#include "base/source.h"

#include <string>
#include <vector>

namespace stoutloom::base {

/// `form`: what the XSD also refuses (structure, names, the spelling of values). `meaning`: what only the
/// program can see (references, a route longer than its cable). The split lets a test hold reader and XSD
/// together.
enum class Mistake { form, meaning };

struct Diagnostic {
    Mistake kind = Mistake::form;
    std::string slug;    // "unknown-id"
    std::string message; // what is wrong, one sentence, with the offending text
    std::string mend;    // what to write instead
    Span span;           // empty at 0: the file as a whole
};

/// One line "path:line:column: error: slug: message", the source line with a caret, the mend beside it.
std::string shown(const Diagnostic& diagnostic, const SourceText& source);

/// The candidate nearest to `word` by edit distance, if near enough to be what was meant; empty otherwise.
std::string nearest_name(std::string_view word, const std::vector<std::string>& candidates);
/// All candidates at that least distance, in their own order: "G1.B" is as near to "G1.B+" as to "G1.B-".
std::vector<std::string> nearest_names(std::string_view word, const std::vector<std::string>& candidates);

} // namespace stoutloom::base
