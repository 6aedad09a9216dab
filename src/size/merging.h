// The cheapest choice by merging: variables that share rows are put together, two at a time, each pair of
// options an option of the pair, and those that another is as good as in every way are dropped.
// Room-internal.
//
// A branch of cables becomes one variable whose options are its choices of mass against volts that no other
// beats; a row that lies within one variable is kept or broken by each option and drops out. What is left at
// the end is one variable without rows. Between the mergings a Lagrangian bound is drawn over the merged
// variables, which is closer than that over the single ones, and options beyond the best known go.
#pragma once

#include "size/cheapest.h"
#include "size/rows.h"

#include <functional>

namespace stoutloom::size {

struct MergingQuestion {
    const std::vector<Variable>* variables = nullptr;
    std::vector<const Row*> rows;
    const Open* open = nullptr;
    double hopeless_over = 0; // options whose bound is over this are dropped
    /// A choice near the bound, to be mended into a good one; returns what is hopeless from now on.
    std::function<double(const Assignment&)> mend;
    std::int64_t node_limit = 0;
    std::int64_t step_limit = 100'000'000'000;
    std::size_t most_options = 150'000; // of one merged variable
    std::size_t most_pairs = 20'000;    // looked at for one; more: what is left is split instead
};
struct MergingAnswer {
    bool complete = true;             // false: a limit ended it, nothing is known
    std::optional<Assignment> choice; // the cheapest; empty: none that costs no more than is hopeless
    CheapestEffort effort;
};
MergingAnswer cheapest_by_merging(const MergingQuestion& question);
/// Asked for a choice little over a proven bound first: the less is asked for, the less has to be looked at,
/// and what is found is cheapest, since only dearer choices were left out.
MergingAnswer cheapest_from_below(const MergingQuestion& question, double bound);

} // namespace stoutloom::size
