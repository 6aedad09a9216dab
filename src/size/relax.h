// What would free a kit that no choice from stock can make good: one change at a time, each tried by a whole
// search. Room-internal.
#pragma once

#include "size/solution.h"

namespace stoutloom::size {

/// The changes that free it, least copper first, then drop limits that would have to be loosened. Tried on
/// the cables that the conflict names, or on all chosen ones if it names none: two in parallel, a larger
/// section than the stock has, a shorter run, a cooler route, a better insulation; if none of these, two
/// cables at a time, in like or different ways.
std::vector<Relaxation> relaxations(const model::Harness& harness, const Choices& choices,
                                    const Solution& solution, const SizeOptions& options);

} // namespace stoutloom::size
