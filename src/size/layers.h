// What the tree search of size/cheapest.cpp keeps of each depth. Room-internal.
#pragma once

#include "size/cheapest.h"
#include "size/rows.h"

#include <utility>
#include <vector>

namespace stoutloom::size {

inline void add(CheapestEffort& sum, const CheapestEffort& more) {
    sum.nodes += more.nodes;
    sum.bounded += more.bounded;
    sum.impossible += more.impossible;
    sum.steps += more.steps;
}
inline bool limits_spent(const CheapestQuestion& question, const CheapestEffort& effort) {
    return question.node_limit <= effort.nodes || question.step_limit <= effort.steps;
}

/// What is left to decide at one depth: the variable, and the rows it takes part in.
struct Layer {
    std::size_t variable = 0;
    std::vector<std::pair<std::size_t, const std::vector<double>*>> rows; // row, amounts by option
    std::vector<std::size_t> open_rows; // rows begun above and not ended here: all that the rest depends on
};
/// A place reached before at some depth: its cost so far and its sums in the rows that are open there.
struct Reached {
    std::int64_t cost = 0;
    std::vector<double> sums;
};

} // namespace stoutloom::size
