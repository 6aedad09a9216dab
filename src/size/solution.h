// One exact search over a harness's choices: rows to start with, rows learnt, the answer. Room-internal.
#pragma once

#include "size/size.h"
#include "size/verdict.h"

#include <memory>
#include <optional>

namespace stoutloom::size {

struct Solution {
    std::optional<Assignment> best;
    std::int64_t cost = 0;
    SearchProof proof;
    ExplainEffort effort;
    std::vector<Conflict> conflicts; // of an impossible kit
    bool more_conflicts = false;
    std::vector<Standing> standing;
};
Solution solve_choices(const model::Harness& harness, const Choices& choices, const SearchLimits& limits,
                       Judge& judge);

/// Those marked `auto`, and each cable that the check finds too small or fuse-link too small or too large.
Automatic marked_or_too_small(const model::Harness& harness);
/// Takes out the options smaller than what the file has, for cables that were not marked.
void drop_smaller(const model::Harness& harness, Choices& choices);

} // namespace stoutloom::size
