// What would free a kit that no choice from stock can make good: one change at a time, each tried by a whole
// search. Room-internal.
#pragma once

#include "size/solution.h"

namespace stoutloom::size {

/// The changes that free it, least copper first, then drop limits that would have to be loosened. Tried on
/// the cables that the conflicts name, or on all chosen ones where a rule names none: two in parallel, a
/// section that the stock lacks, a shorter run, a cooler route, a better insulation; if none of these,
/// sections that the stock lacks for all of them, and two cables at a time, in like or different ways; at
/// last all doubled that have to be.
void add_relaxations(const model::Harness& harness, const Choices& choices, const Solution& solution,
                     const SizeOptions& options, NoKit& none);

} // namespace stoutloom::size
