#include "check/check.h"

#include "check/words.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace stoutloom::check {
namespace {

bool speaks_of(const Judgement& judgement, const std::string& subject) {
    return std::find(judgement.subjects.begin(), judgement.subjects.end(), subject) !=
           judgement.subjects.end();
}

void accept(const model::Harness& harness, Judgement& judgement) {
    if (judgement.verdict != Verdict::fails)
        return;
    for (const model::Acceptance& acceptance : harness.acceptances)
        if (acceptance.rule == judgement.rule->slug && acceptance.subject == judgement.subjects.front()) {
            judgement.accepted = true;
            judgement.accepted_reason = acceptance.reason;
            judgement.severity = Severity::note;
        }
}

// A judgement may only keep quiet when the rule it points to really speaks, about its own main subject, and
// no more softly. One that speaks may itself be told by a third; a circle silences nobody.
class Silences {
  public:
    explicit Silences(std::vector<Judgement>& judgements)
        : judgements_(judgements), state_(judgements.size(), State::open) {}
    void settle() {
        for (std::size_t i = 0; i < judgements_.size(); ++i)
            settle(i);
    }

  private:
    enum class State { open, asking, settled };
    bool may_tell(const Judgement& other, const Judgement& about, const std::string& slug) const {
        return other.rule->slug == slug && other.verdict != Verdict::passes && !other.accepted &&
               other.severity >= about.severity &&
               (speaks_of(other, about.subjects.front()) || speaks_of(about, other.subjects.front()));
    }
    void settle(std::size_t index);

    std::vector<Judgement>& judgements_;
    std::vector<State> state_;
};

void Silences::settle(std::size_t index) {
    Judgement& judgement = judgements_[index];
    if (state_[index] != State::open)
        return;
    state_[index] = State::asking;
    for (const std::string& slug : judgement.yields_to)
        for (std::size_t o = 0; o < judgements_.size() && judgement.told_by.empty(); ++o) {
            const Judgement& other = judgements_[o];
            if (o == index || !may_tell(other, judgement, slug))
                continue;
            settle(o);
            if (state_[o] == State::settled)
                judgement.told_by = other.told_by.empty() ? slug : other.told_by;
        }
    state_[index] = State::settled;
}

bool is_finding(const Judgement& judgement) {
    return judgement.verdict != Verdict::passes && judgement.told_by.empty();
}

std::vector<Judgement> answers_of(const Rule& rule, const Facts& facts) {
    Judgements judgements(rule);
    rule.judge(facts, judgements);
    for (const std::string& subject : rule.subjects(facts)) {
        const auto answers = [&](const Judgement& one) { return speaks_of(one, subject); };
        if (std::any_of(judgements.all().begin(), judgements.all().end(), answers))
            continue;
        Judgement missing;
        missing.subjects.push_back(subject);
        missing.message = fmt::format("{}: the rule gave no answer", subject);
        missing.cure = "report this as a fault of the program; judge the point by hand meanwhile";
        judgements.cannot_tell(std::move(missing));
    }
    return std::move(judgements.all());
}

/// Notes and passes, warnings, errors; a fail before a cannot-tell of the same level.
int gravity(const Judgement& judgement) {
    if (judgement.verdict == Verdict::passes)
        return 0;
    return 2 * static_cast<int>(judgement.severity) + (judgement.verdict == Verdict::fails ? 2 : 1);
}

/// How much worse a figure is, as a share of its limit, in the sense in which the answer goes wrong.
bool is_worse(const Judgement& one, const Judgement& than) {
    if (gravity(one) != gravity(than))
        return gravity(one) > gravity(than);
    if (!one.has_figures || !than.has_figures)
        return false;
    const double gone_up = one.computed - than.computed;
    if (!(std::abs(gone_up) > settled_fraction * std::abs(than.computed) + 1e-6))
        return false;
    // A passing figure above its limit belongs to a rule that asks for at least so much.
    const bool at_least = (than.verdict == Verdict::passes) == exceeds(than.computed, than.limit);
    return at_least ? gone_up < 0 : gone_up > 0;
}

std::string figure_words(double value, const std::string& unit) {
    return unit == "V" ? volts_up(value) : unit == "A" ? amps_up(value) : base::shown_up(value, 1, unit);
}

/// `nominal`: the answer as built, or that of another worst case, which knows the figure as built.
void tell_both(Judgement& worst, const Judgement& nominal) {
    worst.at_worst = true;
    if (!nominal.has_figures || !worst.has_figures)
        return;
    worst.nominal = nominal.at_worst ? nominal.nominal : nominal.computed;
    if (!worst.nominal)
        return;
    const std::string before = figure_words(*worst.nominal, worst.unit);
    if (before != figure_words(worst.computed, worst.unit))
        worst.message += fmt::format(" (at worst; {} as built)", before);
}

/// The worse of each pair of answers: the same subject, in the order in which the rule speaks of it.
std::vector<Judgement> worse_of(std::vector<Judgement> nominal, std::vector<Judgement> worst) {
    std::vector<bool> used(worst.size(), false);
    for (Judgement& one : nominal) {
        for (std::size_t w = 0; w < worst.size(); ++w) {
            if (used[w] || worst[w].subjects.front() != one.subjects.front() || worst[w].unit != one.unit)
                continue;
            used[w] = true;
            if (is_worse(worst[w], one)) {
                tell_both(worst[w], one);
                one = std::move(worst[w]);
            }
            break;
        }
    }
    for (std::size_t w = 0; w < worst.size(); ++w)
        if (!used[w] && worst[w].verdict != Verdict::passes) {
            worst[w].at_worst = true;
            nominal.push_back(std::move(worst[w]));
        }
    return nominal;
}

} // namespace

std::string_view severity_name(Severity severity) {
    switch (severity) {
    case Severity::note:
        return "note";
    case Severity::warning:
        return "warning";
    case Severity::error:
        return "error";
    }
    return "error";
}

Judgement& Judgements::passes(Judgement judgement) {
    judgement.rule = rule_;
    judgement.verdict = Verdict::passes;
    judgement.severity = Severity::note;
    return all_.emplace_back(std::move(judgement));
}

Judgement& Judgements::fails(Judgement judgement, Severity severity) {
    judgement.rule = rule_;
    judgement.verdict = Verdict::fails;
    judgement.severity = severity;
    return all_.emplace_back(std::move(judgement));
}

Judgement& Judgements::cannot_tell(Judgement judgement, Severity severity) {
    judgement.rule = rule_;
    judgement.verdict = Verdict::cannot_tell;
    judgement.severity = severity;
    return all_.emplace_back(std::move(judgement));
}

std::vector<Judgement> judge_one(const Rule& rule, const Facts& facts) {
    std::vector<Judgement> answers = answers_of(rule, facts);
    for (const Facts* worst : worst_cases(facts))
        answers = worse_of(std::move(answers), answers_of(rule, *worst));
    return answers;
}

CheckRecord judge_all(const Facts& facts) {
    CheckRecord record;
    for (const Rule* rule : all_rules())
        for (Judgement& judgement : judge_one(*rule, facts)) {
            accept(*facts.harness, judgement);
            record.judgements.push_back(std::move(judgement));
        }
    Silences(record.judgements).settle();
    return record;
}

std::vector<const Judgement*> CheckRecord::findings() const {
    std::vector<const Judgement*> found;
    for (const Judgement& judgement : judgements)
        if (is_finding(judgement))
            found.push_back(&judgement);
    std::stable_sort(found.begin(), found.end(), [](const Judgement* one, const Judgement* other) {
        if (one->severity != other->severity)
            return one->severity > other->severity;
        return one->span.begin < other->span.begin;
    });
    return found;
}

std::size_t CheckRecord::count(Severity severity) const {
    return static_cast<std::size_t>(
        std::count_if(judgements.begin(), judgements.end(), [&](const Judgement& judgement) {
            return is_finding(judgement) && judgement.severity == severity;
        }));
}

} // namespace stoutloom::check
