// From an answer to its account: why each size, what the next smaller one would break, what would change it.
// Room-internal.
#pragma once

#include "size/solution.h"

namespace stoutloom::size {

Sizing account_of(const model::Harness& harness, const Choices& choices, const Solution& solution,
                  const SizeOptions& options, Judge& judge);

/// The sensitivity table of a kit whose sizes are fixed.
std::vector<Sensitivity> sensitivity_of(const model::Harness& chosen, const Choices& choices, Judge& judge);

} // namespace stoutloom::size
