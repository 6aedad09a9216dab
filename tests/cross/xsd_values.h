// What the two comparisons of reader and XSD share: a pool of values, and xmllint's verdict.
#pragma once

#include <set>
#include <string>
#include <vector>

namespace stoutloom::testing {

/// Values from every attribute of the format, and spellings that are nearly right; escaped for an attribute.
std::vector<std::string> xsd_values();
/// Files of a batch that xmllint says are valid by schemas/harness.xsd; `said` gets all it printed.
std::set<std::string> valid_by_xmllint(const std::vector<std::string>& paths, std::string& said);

} // namespace stoutloom::testing
