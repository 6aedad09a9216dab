// The cheapest choice among variables that no merging makes fewer: their options are split in two, again and
// again, until a bound shows that nothing is left. Room-internal.
//
// The number of rows does not widen it, as it does the merging: each row has a price, and the bound of a
// node is the least priced cost, which holds for any prices not below zero. The variable whose options the
// prices waver between is split, at the cost they come to on the average.
#pragma once

#include "size/cheapest.h"
#include "size/merged_item.h"

#include <optional>
#include <vector>

namespace stoutloom::size {

struct SplittingQuestion {
    std::vector<const MergedItem*> items;
    const std::vector<double>* limit = nullptr;      // by row
    const std::vector<double>* scale = nullptr;      // by row: one over what its amounts range
    const std::vector<double>* multiplier = nullptr; // by row: where the prices begin
    double hopeless_over = 0;                        // a bound over this shows that nothing is left
    std::int64_t node_limit = 0, step_limit = 0;
};
struct SplittingAnswer {
    bool complete = true;                              // false: a limit ended it
    std::optional<std::vector<std::uint32_t>> options; // by item; empty: none that is not hopeless
    CheapestEffort effort;
};
SplittingAnswer cheapest_by_splitting(const SplittingQuestion& question);

} // namespace stoutloom::size
