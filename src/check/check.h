// Asks every rule of the harness and records each judgement, passes included.
#pragma once

#include "check/facts.h"
#include "check/rule.h"

#include <vector>

namespace stoutloom::check {

struct CheckRecord {
    std::vector<Judgement> judgements; // rule order, then subject order
    /// Fails and cannot-tells but those told by another rule, errors first, then file order; acceptances
    /// applied.
    std::vector<const Judgement*> findings() const;
    std::size_t count(Severity severity) const; // findings of that severity
    bool clean() const { return count(Severity::error) == 0; }
};

/// Asks every rule; a subject that a rule leaves out becomes a cannot-tell of error level. Acceptances of the
/// file turn a fail of that rule about that subject into a note; a cannot-tell is never accepted away.
/// `told_by` is filled in only where a rule of `yields_to` really has a finding about the main subject, at
/// least as grave, that nobody accepted.
CheckRecord judge_all(const Facts& facts);

/// One rule alone, silence turned into cannot-tells as above; for tests and for sizing. The rule is asked of
/// the kit as it is and at both ends of ageing and tolerance (`facts.at_worst`, `facts.at_least_charge`, if
/// there); of the answers about a subject the worst is kept, with the nominal figure beside it.
std::vector<Judgement> judge_one(const Rule& rule, const Facts& facts);

} // namespace stoutloom::check
