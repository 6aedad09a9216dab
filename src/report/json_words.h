// Spellings that the JSON and SARIF views share.
#pragma once

#include "check/rule.h"

#include <string_view>

namespace stoutloom::report {

/// Ten significant digits, no negative zero. Precondition: finite.
double rounded_for_json(double value);
/// "passes", "fails", "cannot-tell".
std::string_view verdict_word(check::Verdict verdict);

} // namespace stoutloom::report
