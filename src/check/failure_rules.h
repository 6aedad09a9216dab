// Which rules have a meaning after a single failure, and the asking of those again of the failed network.
// Room-internal.
#pragma once

#include "check/facts.h"
#include "check/faults.h"
#include "check/rule.h"

#include <map>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace stoutloom::check {

enum class After {
    asked,        // the rule itself, of the failed network
    by_own_words, // its limit is asked by fault_words.h, where a fault has other bounds than a day
    not_asked     // `why` tells the reason
};
struct FailureRule {
    std::string_view slug;
    After after;
    std::string_view why;
    Grave weight = Grave::nothing;     // asked: how grave it is when only the failure breaks it
    std::vector<Harm> same_cause = {}; // asked: not told where the failure does one of these as well
    Grave error_weight = Grave::told;  // asked: where the rule itself calls it an error, at least this
};
/// Every rule of the catalogue once, in slug order; a test holds the two lists together.
std::span<const FailureRule> failure_rules();

/// Whether a failure takes that link away.
bool takes_away(const model::Harness& harness, const solve::Failure& failure, const Link& link);

/// What fails in the healthy kit already, at either end of ageing: told by its own rule, not by a failure.
class HealthyAnswers {
  public:
    explicit HealthyAnswers(const Facts& facts);
    bool is_news(const Judgement& judgement) const;

  private:
    std::map<std::string, Severity> failing_;
};

/// One end of ageing, with a failed network in the place of the healthy one.
class AskedAgain {
  public:
    explicit AskedAgain(const Facts& end);
    /// `points`: by duty; `key_on` where the healthy facts have it. Nothing where a duty has no answer.
    void fail(const solve::Failure& failure, const std::vector<const solve::OperatingPoint*>& points,
              const solve::OperatingPoint* key_on);
    /// Answers of the asked rules that fail and are news, none of them about what `so_far` tells already.
    std::vector<Consequence> consequences(const HealthyAnswers& healthy,
                                          const std::vector<Consequence>& so_far) const;

  private:
    bool hidden_before(const Rule& rule, const Judgement& judgement) const;

    const Facts& healthy_;
    Facts facts_;
    // What fails in the healthy kit if only one duty is asked, by rule and duty.
    mutable std::map<std::pair<std::string_view, std::string>, std::vector<Judgement>> alone_;
};

} // namespace stoutloom::check
