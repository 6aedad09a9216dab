// Whether one choice clears the rules: asked of check/ itself, so that there is no second opinion on what
// "enough" means.
//
// A choice is good when no rule fails at error or warning level or cannot tell, in any duty of the file,
// unless the file accepts the finding. One exception: a finding that choices far apart all have (the largest,
// the smallest, each rating with either), by a rule that sizes do not decide (lugs on a stud, keyed landings,
// a missing return, more load than the unit gives ...), stands whatever is chosen. It is told beside the
// answer and keeps no choice from being good. Where single failures are asked as well, what one of them burns
// counts in the same way, by failed part and by what suffers.
#pragma once

#include "check/check.h"
#include "size/choices.h"

#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace stoutloom::size {

/// Rules that sections and ratings decide, by slug: their findings always count.
bool decided_by_choice(std::string_view rule);
/// The rule about acceptances that cover nothing: no reason against a size, since it is a better size that
/// leaves nothing to accept.
inline constexpr std::string_view acceptance_unneeded = "acceptance-used";
/// Fails or cannot tell at error or warning level, not accepted by the file, and about the kit itself.
bool counts(const check::Judgement& judgement);

/// Single failures to be asked of a kit that is good without them: of these parts, or of all if none is
/// named.
struct FailuresAsked {
    std::vector<std::string> parts;
    bool about(const std::string& part) const;
};

/// A part whose loss burns something that does not burn whatever is chosen.
struct FailureFound {
    std::string part;
    check::Consequence consequence;
    std::size_t place = 0; // of the judgement that tells it
};

struct Judged {
    model::Harness harness; // with the choice written in
    check::Facts facts;     // points into `harness`
    check::CheckRecord record;
    std::vector<const check::Judgement*> obstacles; // into `record`
    std::vector<FailureFound> failures;             // those behind obstacles of single failures
    bool good = false;
};

class Judge {
  public:
    /// Judges choices far apart once, to know what stands whatever is chosen. `harm_times`: may be another
    /// judge's.
    Judge(const model::Harness& harness, const Choices& choices,
          std::optional<FailuresAsked> failures = std::nullopt,
          std::shared_ptr<physics::HarmTimes> harm_times = std::make_shared<physics::HarmTimes>());
    /// Held by pointer, since the facts point into it. The last few are kept: the same choice is asked for by
    /// the probes, by the search and by the account.
    std::shared_ptr<const Judged> judge(const Assignment& assignment);
    /// The same of a kit in which something else has been changed.
    std::shared_ptr<const Judged> judge_kit(model::Harness made);
    void keep(std::size_t most) { most_kept_ = most; }
    std::int64_t asked() const { return asked_; }
    /// Rule and subject of the findings that stand whatever is chosen.
    const std::set<std::pair<std::string, std::string>>& standing() const { return standing_; }

    /// Landings and ends whose studs or lugs are chosen: by rule and subject, their findings always count.
    const std::set<std::pair<std::string, std::string>>& decided_by_fittings() const { return decided_; }

    const std::string& standing_message(const std::string& rule, const std::string& subject) const {
        return standing_messages_.at({rule, subject});
    }

  private:
    const model::Harness& harness_;
    const Choices& choices_;
    bool decided(const check::Judgement& judgement) const;
    std::map<std::pair<std::string, std::string>, FailureFound> ask_failures(Judged& judged) const;

    std::shared_ptr<Judged> answers_about(model::Harness made) const;
    void weigh(Judged& judged) const;
    bool is_obstacle(const check::Judgement& judgement) const;

    std::shared_ptr<physics::HarmTimes> harm_times_;
    std::optional<FailuresAsked> failures_;
    std::map<Assignment, std::shared_ptr<const Judged>> kept_;
    std::size_t most_kept_ = 32;

    std::set<std::pair<std::string, std::string>> decided_;
    std::set<std::pair<std::string, std::string>> standing_;
    std::map<std::pair<std::string, std::string>, std::string> standing_messages_;
    std::int64_t asked_ = 0;
};

} // namespace stoutloom::size
