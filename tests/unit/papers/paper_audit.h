// Walks a page of the papers and knows nothing of how it was made: what a draughtsman would send back.
#pragma once

#include "layout/scene.h"

#include <string>
#include <vector>

namespace stoutloom::papers_test {

struct AuditRules {
    layout::Box inside; // everything but frame and title block stands in here
};
/// Sentences of complaint: small words, words over words, lines through words, fills over words, things
/// outside.
std::vector<std::string> complaints(const layout::Page& page, const AuditRules& rules);
/// The first few, for the message of a failing test.
std::string first_of(const std::vector<std::string>& complaints);

} // namespace stoutloom::papers_test
