// A rule asks one question of the solved harness and answers it for every subject: passes, fails, or cannot
// tell.
//
// One file per rule in check/rules/, which defines `const Rule rule_<file stem>` and its private judge. The
// catalogue is generated from the folder. A rule computes verdicts, not networks: new physics goes to
// physics/ or solve/ first.
#pragma once

#include "model/harness.h"

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace stoutloom::check {

enum class Severity { note, warning, error };
enum class Verdict { passes, fails, cannot_tell };
std::string_view severity_name(Severity severity);

struct Facts;
class Judgements;

struct Rule {
    std::string_view slug; // "cable-ampacity": permanent; text, JSON, SARIF and acceptances use it
    Severity usual;
    std::string_view asks;   // the question in the workshop's words, one sentence
    std::string_view source; // standard, edition, clause; or "common practice, no source"
    std::string_view cure;   // what usually mends it
    std::string_view
        explanation; // worked explanation for `stoutloom explain SLUG`: formula, numbers, what to do
    /// Ids that the rule must answer for, each as the first or a later subject of some judgement. One that is
    /// left out is answered by the check itself: cannot tell, error. Silence never passes.
    std::vector<std::string> (*subjects)(const Facts&);
    void (*judge)(const Facts&, Judgements&);
};
/// In slug order.
std::span<const Rule* const> all_rules();
const Rule* rule_by_slug(std::string_view slug);

/// One answer for one subject.
struct Judgement {
    const Rule* rule = nullptr;
    Verdict verdict = Verdict::cannot_tell;
    Severity severity = Severity::error; // of a fail; of a cannot_tell: error when a computation is missing
    std::vector<std::string> subjects;   // ids, the first is the main one
    std::string duty;                    // id of the duty that decides; empty if none
    std::string message;                 // one sentence with the figures and units
    std::string cure;                    // what would mend this one; the rule's usual cure if empty
    // The figure against its limit, in `unit`; NaN when the rule is not about a figure.
    double computed = 0, limit = 0;
    bool has_figures = false;
    std::string unit, limit_source;
    /// Where ageing and tolerance make it worse, this is the answer for that, and `nominal` the figure
    /// without.
    bool at_worst = false;
    std::optional<double> nominal;
    std::map<std::string, double> values; // more numbers, key with unit suffix, for JSON
    base::Span span;                      // where in the file
    /// Rules that tell the same cause better, first choice first.
    std::vector<std::string> yields_to;
    std::string told_by;   // the one of them that does, with a finding at least as grave: this is still a
                           // fail in the record, but no finding of its own. Filled in by judge_all.
    bool accepted = false; // an <accept> of the file covers it
    std::string accepted_reason;
};

/// Collects answers; a rule that has subjects and says nothing is a bug, found by a test. A fail without a
/// severity of its own takes the rule's usual one, a cannot-tell takes error.
class Judgements {
  public:
    explicit Judgements(const Rule& rule) : rule_(&rule) {}
    Judgement& passes(Judgement judgement);
    Judgement& fails(Judgement judgement) { return fails(std::move(judgement), rule_->usual); }
    Judgement& fails(Judgement judgement, Severity severity);
    Judgement& cannot_tell(Judgement judgement, Severity severity = Severity::error);
    const Rule& rule() const { return *rule_; }
    std::vector<Judgement>& all() { return all_; }

  private:
    const Rule* rule_;
    std::vector<Judgement> all_;
};

} // namespace stoutloom::check
