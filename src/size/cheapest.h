// The cheapest choice that no row forbids: branch and bound with a Lagrangian bound, exact.
#pragma once

#include "size/rows.h"

#include <optional>

namespace stoutloom::size {

struct CheapestEffort {
    std::int64_t nodes = 0;      // nodes of the tree opened
    std::int64_t bounded = 0;    // closed because their bound is no better than the best known
    std::int64_t impossible = 0; // closed because a row cannot hold any more
    std::int64_t steps = 0;      // sums and comparisons of the merging
};

struct CheapestQuestion {
    const std::vector<Variable>* variables = nullptr;
    const std::vector<Row>* rows = nullptr;
    std::optional<std::int64_t> below; // only choices that cost less than this are asked for
    std::int64_t no_less_than = 0;     // a proven bound from an earlier question with fewer rows
    std::int64_t node_limit = 20'000'000;
    std::int64_t step_limit = 100'000'000'000; // of the merging: a few minutes
};
struct CheapestAnswer {
    std::optional<Assignment> choice; // empty: there is none below the cost asked for
    std::int64_t cost = 0;
    bool complete = true; // false: the node limit ended it, `choice` (if any) is not proven cheapest
    CheapestEffort effort;
};

/// Keeps the multipliers of the rows between questions, which grow by rows at the end only.
///
/// Lower bound of a node: for any multipliers m >= 0,
///   min over all good choices of cost  >=  sum over variables of min over open options (cost + m . amount) -
///   m . limit
/// because every good choice has amount <= limit. The multipliers are found by subgradient steps at the root;
/// any value gives a valid bound, so rounding errors in them cost speed, not truth. A node is closed only
/// when the bound exceeds the best cost less one step by a margin far over the arithmetic's rounding (costs
/// are whole numbers and differ by steps), or when a place reached before is as good in cost and in every
/// open row.
class Cheapest {
  public:
    CheapestAnswer find(const CheapestQuestion& question);

  private:
    std::vector<double> multiplier_;
};

} // namespace stoutloom::size
