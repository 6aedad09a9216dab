// acceptance-used. Does every acceptance of the file still cover a finding?
#include "check/check.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

std::string name_of(const model::Acceptance& acceptance) {
    return fmt::format("{} about {}", acceptance.rule, acceptance.subject);
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> names;
    for (const model::Acceptance& acceptance : facts.harness->acceptances)
        names.push_back(name_of(acceptance));
    return names;
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const model::Acceptance& acceptance : facts.harness->acceptances) {
        Judgement judgement = about(name_of(acceptance), acceptance.span, {});
        const Rule* rule = rule_by_slug(acceptance.rule);
        if (rule == nullptr || rule->judge == judge) {
            judgement.message =
                fmt::format("the file accepts {}, but there is no such rule to accept", name_of(acceptance));
            judgement.cure = "write the slug as the finding prints it";
            judgements.fails(std::move(judgement));
            continue;
        }
        const std::vector<Judgement> answers = judge_one(*rule, facts);
        const bool used = std::any_of(answers.begin(), answers.end(), [&](const Judgement& answer) {
            return answer.verdict == Verdict::fails && answer.subjects.front() == acceptance.subject;
        });
        judgement.message = used ? fmt::format("the acceptance of {} covers a finding", name_of(acceptance))
                                 : fmt::format("the file accepts {}, but there is no such finding (any more)",
                                               name_of(acceptance));
        if (used)
            judgements.passes(std::move(judgement));
        else
            judgements.fails(std::move(judgement));
    }
}

} // namespace

extern const Rule rule_acceptance_used;
const Rule rule_acceptance_used{
    .slug = "acceptance-used",
    .usual = Severity::warning,
    .asks = "Does every acceptance of the file still cover a finding?",
    .source = "the harness file itself",
    .cure = "take the acceptance out, so that it cannot hide something new",
    .explanation =
        R"(An <accept rule="..." subject="..." reason="..."/> turns one exact finding into a note that is still printed, with
its reason. When the finding is gone, a left-over acceptance would silently cover the next one of the same name.
Example: polarity-colour about W3 accepted because the old cable stays; W3 is replaced by a black one: take the
acceptance out. What could not be computed cannot be accepted.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
