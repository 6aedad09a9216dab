// What stands against a harness, in one list that every view shares: the rules' findings and the duties that
// have no operating point. The second kind is added here because no rule can be trusted to speak about a duty
// it has no facts of.
#include "report/report.h"

#include "report/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::report {

using check::Judgement;
using check::Severity;
using check::Verdict;

const check::Rule& duty_unsolved_rule() {
    static const check::Rule rule{
        .slug = "duty-unsolved",
        .usual = Severity::error,
        .asks = "Does every duty have an operating point, so that its currents and volts can be told?",
        .source = "this program's own safeguard: no answer is never a pass",
        .cure = "look at the parts named: a part without a return path, a load greater than its feed can "
                "supply, or two "
                "sources that contradict each other",
        .explanation =
            "The network of each duty is solved by nodal analysis. If the solution does not settle, or a "
            "load "
            "asks more power than its feed can deliver at any volts, there is no figure to judge, and the "
            "check reports this duty as an error instead of passing over it.",
        .subjects = nullptr,
        .judge = nullptr};
    return rule;
}

namespace {

// A rule may speak of the duty itself; then it need not be told twice.
bool a_rule_says_so(const check::CheckRecord& record, const std::string& duty) {
    return std::any_of(record.judgements.begin(), record.judgements.end(), [&](const Judgement& judgement) {
        return judgement.verdict != Verdict::passes && judgement.severity == Severity::error &&
               !judgement.subjects.empty() && judgement.subjects.front() == duty;
    });
}

} // namespace

std::vector<Judgement> findings(const Checked& checked) {
    std::vector<Judgement> all;
    if (checked.facts == nullptr || checked.record == nullptr)
        return all;
    for (const check::SolvedDuty& duty : checked.facts->duties) {
        if (duty.point)
            continue;
        const model::Duty& about = checked.harness->duty(duty.duty);
        if (a_rule_says_so(*checked.record, about.id))
            continue;
        Judgement judgement;
        judgement.rule = &duty_unsolved_rule();
        judgement.verdict = Verdict::cannot_tell;
        judgement.severity = Severity::error;
        judgement.subjects = {about.id};
        judgement.duty = about.id;
        std::string why = "no reason was recorded";
        if (duty.unsolved) {
            why = duty.unsolved->message;
            judgement.subjects.insert(judgement.subjects.end(), duty.unsolved->subjects.begin(),
                                      duty.unsolved->subjects.end());
        }
        judgement.message = fmt::format("duty {} has no operating point: {}", about.id, why);
        judgement.span = about.span;
        all.push_back(std::move(judgement));
    }
    for (const Judgement* judgement : checked.record->findings())
        all.push_back(*judgement);
    return all;
}

Tally tally(const Checked& checked) {
    Tally count;
    if (checked.mistakes != nullptr)
        count.errors += std::max<std::size_t>(checked.mistakes->size(), 1);
    for (const Judgement& judgement : findings(checked)) {
        if (judgement.severity == Severity::error)
            ++count.errors;
        if (judgement.severity == Severity::warning)
            ++count.warnings;
        if (judgement.severity == Severity::note)
            ++count.notes;
    }
    if (checked.record != nullptr) {
        count.judgements = checked.record->judgements.size();
        count.passes = static_cast<std::size_t>(
            std::count_if(checked.record->judgements.begin(), checked.record->judgements.end(),
                          [](const Judgement& judgement) { return judgement.verdict == Verdict::passes; }));
    }
    return count;
}

std::string tally_words(const Tally& tally) {
    std::vector<std::string> words;
    const auto say = [&](std::size_t number, const char* word) {
        if (number > 0)
            words.push_back(fmt::format("{} {}{}", number, word, number == 1 ? "" : "s"));
    };
    say(tally.errors, "error");
    say(tally.warnings, "warning");
    say(tally.notes, "note");
    return words.empty() ? "nothing found" : joined(words, ", ");
}

} // namespace stoutloom::report
