// Asks every rule of the harness and records each judgement, passes included.
#pragma once

#include "check/facts.h"
#include "check/rule.h"

#include <vector>

namespace stoutloom::check {

struct CheckRecord {
    std::vector<Judgement> judgements; // rule order, then subject order
    /// Fails and cannot-tells, errors first, then file order; acceptances applied.
    std::vector<const Judgement*> findings() const;
    std::size_t count(Severity severity) const; // findings of that severity
    bool clean() const { return count(Severity::error) == 0; }
};

CheckRecord judge_all(const Facts& facts);

} // namespace stoutloom::check
