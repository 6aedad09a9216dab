// The exact search: the cheapest choice that clears every rule, with the proof that nothing cheaper does.
//
//   rows := what is certain of every good choice
//   repeat: x := the cheapest choice that no row forbids         (branch and bound, size/cheapest.h)
//           none: no choice is good. x good by the rules: x is the cheapest good choice, since all cheaper
//           ones are forbidden by rows, and a row forbids bad choices only. Otherwise: add a row against x
//           and its like.
#pragma once

#include "size/cheapest.h"
#include "size/rows.h"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace stoutloom::size {

/// What the rules say of a choice; if it is bad, at least one row that it breaks and that every good choice
/// keeps.
struct Answer {
    bool good = false;
    std::vector<Row> rows;
};
using Asked = std::function<Answer(const Assignment&)>;

struct SearchLimits {
    std::int64_t questions = 1'000;       // choices judged
    std::int64_t nodes = 50'000'000;      // of all trees together
    std::int64_t steps = 100'000'000'000; // of all merging together
    bool near_kit = true;                 // ended by these: look for a good kit all the same
};
struct SearchProof {
    std::int64_t lower_bound = 0; // no good choice costs less
    bool complete = false;        // the bound is the answer's cost, or there is proven to be no answer
    std::int64_t questions = 0;   // choices judged by the rules
    std::int64_t rows_at_start = 0, rows_learnt = 0;
    std::int64_t trees = 0;
    CheapestEffort effort;
};
struct SearchResult {
    std::optional<Assignment> best;
    std::optional<Assignment> last; // the last that no row known by then forbade, good or bad
    std::int64_t cost = 0;
    SearchProof proof;
    std::vector<Row> rows; // all that were used, for the account of an impossible kit
};
SearchResult search(const std::vector<Variable>& variables, std::vector<Row> rows, const Asked& asked,
                    const SearchLimits& limits = {});

/// Of rows that no choice keeps together, a smallest subset that still none keeps: taking any one out frees a
/// choice. Empty if some choice keeps all.
std::vector<std::size_t> conflict(const std::vector<Variable>& variables, const std::vector<Row>& rows);

} // namespace stoutloom::size
