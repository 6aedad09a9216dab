// The cheapest choice by stages: all places of one depth at once, each kept unless another is as good in
// every way. Room-internal.
//
// A place is told by its cost and its sums in the rows that have begun and not ended. Of two places of one
// depth, the one that costs no less and has no smaller sum anywhere is dropped: whatever completes it
// completes the other as well. Along a trunk with branches few sums are apart, and few places are kept.
#pragma once

#include "size/cheapest.h"
#include "size/rows.h"

#include <cstdint>
#include <optional>
#include <vector>

namespace stoutloom::size {

/// Rows that open options can break and that no other row implies.
std::vector<const Row*> needed_rows(const std::vector<Row>& rows, const Open& open);

/// An order of the variables that keeps few sums apart: decided ones first, then one that most rows share;
/// from there always the one that leaves the fewest sums apart. Along a trunk with branches that is: a piece
/// of trunk, the branches at its end, the next piece.
std::vector<std::size_t> order_of(std::size_t variables, const std::vector<const Row*>& rows,
                                  const Open& open);

struct StagesQuestion {
    const std::vector<Variable>* variables = nullptr;
    std::vector<const Row*> rows;
    const Open* open = nullptr;
    const std::vector<std::size_t>* order = nullptr;
    const std::vector<std::vector<double>>* reduced =
        nullptr;              // cost plus priced amounts, by variable, option
    double constant = 0;      // of the bound
    double hopeless_over = 0; // a place whose bound is over this is dropped
    std::int64_t node_limit = 0;
    std::size_t most_places = 200'000; // of one depth
};
struct StagesAnswer {
    bool complete = true;             // false: a limit ended it, nothing is known
    std::optional<Assignment> choice; // the cheapest; empty: none whose bound is not hopeless
    CheapestEffort effort;
};
StagesAnswer cheapest_by_stages(const StagesQuestion& question);

} // namespace stoutloom::size
