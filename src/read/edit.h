// Changes a harness file by byte ranges: everything outside them, comments and layout included, stays byte
// for byte.
#pragma once

#include "base/outcome.h"
#include "base/source.h"

#include <string>
#include <vector>

namespace stoutloom::read {

/// The value of one attribute (its span without the quotes, e.g. Cable::section_span) and the plain text to
/// stand there.
struct Edit {
    base::Span span;
    std::string text;
};

struct EditRefusal {
    std::string message; // "two changes overlap at 14:27"
};

/// The file's text with each value replaced. Characters that would end the value or begin markup are escaped;
/// order of the edits does not matter. Errors: a span that is no attribute value in quotes, two that overlap,
/// a result that cannot be read back as XML (never handed out).
base::Outcome<std::string, EditRefusal> with_edits(const base::SourceText& source, std::vector<Edit> edits);

} // namespace stoutloom::read
