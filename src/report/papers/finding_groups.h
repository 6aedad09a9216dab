// Findings that say the same of several cables or parts: the record of check tells them in one row.
#pragma once

#include "report/report.h"

#include <vector>

namespace stoutloom::report {

/// Neighbours in the list of findings whose texts, figures and cures differ in nothing but the id of their
/// subject. Indices into that list, every finding in exactly one group.
std::vector<std::vector<std::size_t>> alike_findings(const std::vector<check::Judgement>& found);

} // namespace stoutloom::report
