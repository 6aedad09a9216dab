// From one bad choice to a row against all its like: the wider the box that is proven bad, the shorter the
// search.
#pragma once

#include "size/bounds.h"
#include "size/failure_bounds.h"
#include "size/search.h"
#include "size/static_rules.h"
#include "size/verdict.h"

#include <functional>

namespace stoutloom::size {

/// How the rows against bad choices were had, for the account of the proof.
struct ExplainEffort {
    std::int64_t by_sums = 0;   // rows of what each size loses at least
    std::int64_t by_bounds = 0; // boxes proven by intervals
    std::int64_t by_rule = 0;   // boxes by a rule that asks no currents
    std::int64_t single = 0;    // no box: the choice alone
    std::int64_t proofs = 0;    // boxes tried
};

class Explainer {
  public:
    Explainer(const Choices& choices, BoundsProver& prover, const StaticRules& rules, FailureProver& failures)
        : choices_(choices), prover_(prover), rules_(rules), failures_(failures),
          variables_(choices.variables()) {}
    /// Rows that the bad choice breaks and every good choice keeps; never empty.
    std::vector<Row> rows_against(const Judged& judged, const Assignment& assignment);
    const ExplainEffort& effort() const { return effort_; }

  private:
    /// Whether no open choice can be good, and why not.
    using Proof = std::function<bool(const Open&, std::string& why)>;
    bool bad(const std::vector<Range>& box, const Proof& proof, std::string& why);
    std::optional<Row> by_proof(const Assignment& assignment, const Proof& proof, bool backwards);
    std::optional<Row> by_landing(const Judged& judged, const check::Judgement& obstacle,
                                  const Assignment& assignment) const;
    std::vector<Row> by_failures(const Judged& judged, const Assignment& assignment);
    void free_some(std::vector<Range>& box, std::size_t begin, std::size_t end,
                   const std::vector<std::size_t>& order, const Proof& proof, std::string& why);
    void widen(std::vector<Range>& box, std::size_t variable, const Proof& proof, std::string& why);

    const Choices& choices_;
    BoundsProver& prover_;
    const StaticRules& rules_;
    FailureProver& failures_;
    std::vector<Variable> variables_;
    ExplainEffort effort_;
};

} // namespace stoutloom::size
