#include "size/verdict.h"

#include "size/fittings.h"

#include <algorithm>
#include <array>

namespace stoutloom::size {
namespace {

// What sizes and ratings decide. Every other rule counts too, unless choices far apart all have the finding:
// then it stands whatever is chosen.
constexpr std::array<std::string_view, 12> decided_by_sizes = {
    "cable-ampacity",       "cable-short-duty",   "cable-unprotected", "charging-drop",
    "consumer-drop",        "cranking-drop",      "duty-solved",       "fuse-over-ampacity",
    "fuse-continuous-load", "incidental-current", "limit-drop",        "mass-shift"};

using Name = std::pair<std::string, std::string>;

Name name_of(const check::Judgement& judgement) {
    return {std::string(judgement.rule->slug),
            judgement.subjects.empty() ? std::string() : judgement.subjects.front()};
}

/// Choices far apart: all smallest, all middle, all largest; and each rating with the smallest and with the
/// largest cables, since a rule about a fuse-link and its cable may refuse both ends of the ratings.
std::vector<Assignment> probes(const Choices& choices) {
    std::vector<Assignment> all;
    std::size_t most_ratings = 0;
    for (const Choice& choice : choices.list)
        if (choice.kind == ChoiceKind::rating)
            most_ratings = std::max(most_ratings, choice.options.size());
    const auto add = [&](auto option_of) {
        Assignment probe;
        for (const Choice& choice : choices.list)
            probe.push_back(option_of(choice, choice.options.size() - 1));
        if (std::find(all.begin(), all.end(), probe) == all.end())
            all.push_back(std::move(probe));
    };
    add([](const Choice&, std::size_t last) { return last; });
    add([](const Choice&, std::size_t) { return std::size_t{0}; });
    add([](const Choice&, std::size_t last) { return last / 2; });
    for (std::size_t rating = 0; rating < most_ratings; ++rating)
        for (const bool large : {true, false})
            add([&](const Choice& choice, std::size_t last) {
                if (choice.kind == ChoiceKind::rating)
                    return std::min(rating, last);
                return large ? last : std::size_t{0};
            });
    return all;
}

/// What chosen studs and lugs decide: the fit of the lugs on them, the landings they belong to.
std::set<Name> decided_by(const model::Harness& harness, const Choices& choices) {
    std::set<Name> names;
    for (const EndChoices& one : ends_with_choices(harness, choices)) {
        if (!one.stud && !one.lug)
            continue;
        const model::TerminalIndex terminal = end_at(harness, one.end).at;
        const std::string& cable = harness.cables[one.end / 2].id;
        names.insert({"lug-fit", cable});
        names.insert({"lug-barrel", cable});
        names.insert({"keyed-landing", harness.device(harness.terminal(terminal).device).id});
        for (const model::Landing& landing : harness.landings)
            if (std::find(landing.terminals.begin(), landing.terminals.end(), terminal) !=
                landing.terminals.end())
                names.insert({"keyed-landing", landing.id});
    }
    return names;
}

} // namespace

bool decided_by_choice(std::string_view rule) {
    return std::find(decided_by_sizes.begin(), decided_by_sizes.end(), rule) != decided_by_sizes.end();
}

bool counts(const check::Judgement& judgement) {
    return judgement.verdict != check::Verdict::passes && !judgement.accepted &&
           judgement.severity != check::Severity::note && judgement.rule->slug != acceptance_unneeded;
}

bool FailuresAsked::about(const std::string& part) const {
    return parts.empty() || std::find(parts.begin(), parts.end(), part) != parts.end();
}

Judge::Judge(const model::Harness& harness, const Choices& choices, std::optional<FailuresAsked> failures,
             std::shared_ptr<physics::HarmTimes> harm_times)
    : harness_(harness), choices_(choices), harm_times_(std::move(harm_times)),
      failures_(std::move(failures)), decided_(decided_by(harness, choices)) {
    bool first = true;
    std::vector<std::pair<Assignment, std::shared_ptr<Judged>>> asked;
    for (const Assignment& probe : probes(choices)) {
        std::set<Name> names;
        const auto judged = answers_about(applied(harness, choices, probe));
        const auto note = [&](const Name& name, const check::Judgement& judgement) {
            names.insert(name);
            standing_messages_.try_emplace(name, judgement.message);
        };
        for (const check::Judgement& judgement : judged->record.judgements)
            if (counts(judgement) && !decided(judgement) && judgement.rule->slug != "single-failure")
                note(name_of(judgement), judgement);
        if (failures_)
            for (const auto& [name, found] : ask_failures(*judged))
                note(name, judged->record.judgements[found.place]);
        if (first)
            standing_ = std::move(names);
        else
            std::erase_if(standing_, [&](const Name& name) { return !names.contains(name); });
        first = false;
        asked.emplace_back(probe, judged);
        if (standing_.empty())
            break;
    }
    for (const auto& [probe, judged] : asked) {
        weigh(*judged);
        kept_.emplace(probe, judged);
    }
}

bool Judge::decided(const check::Judgement& judgement) const {
    return decided_by_choice(judgement.rule->slug) || decided_.contains(name_of(judgement));
}

std::shared_ptr<const Judged> Judge::judge(const Assignment& assignment) {
    if (const auto known = kept_.find(assignment); known != kept_.end())
        return known->second;
    std::shared_ptr<const Judged> judged = judge_kit(applied(harness_, choices_, assignment));
    if (kept_.size() >= most_kept_)
        kept_.clear();
    return kept_[assignment] = judged;
}

std::shared_ptr<Judged> Judge::answers_about(model::Harness made) const {
    auto judged = std::make_shared<Judged>();
    judged->harness = std::move(made);
    judged->facts = check::gather(judged->harness, check::Depth::healthy);
    judged->facts.harm_times = harm_times_;
    judged->record = check::judge_all(judged->facts);
    return judged;
}

std::shared_ptr<const Judged> Judge::judge_kit(model::Harness made) {
    ++asked_;
    const auto judged = answers_about(std::move(made));
    weigh(*judged);
    return judged;
}

/// What of the answers keeps the choice from being good.
void Judge::weigh(Judged& judged) const {
    bool clean = true;
    for (const check::Judgement& judgement : judged.record.judgements)
        clean = clean && !is_obstacle(judgement);
    std::set<std::size_t> burning;
    if (failures_ && clean) // only then: each failure is a network of its own
        for (const auto& [name, found] : ask_failures(judged))
            if (!standing_.contains(name)) {
                burning.insert(found.place);
                judged.failures.push_back(found);
            }
    for (std::size_t place = 0; place < judged.record.judgements.size(); ++place)
        if (is_obstacle(judged.record.judgements[place]) || burning.contains(place))
            judged.obstacles.push_back(&judged.record.judgements[place]);
    judged.good = judged.obstacles.empty();
}

bool Judge::is_obstacle(const check::Judgement& judgement) const {
    return counts(judgement) && judgement.rule->slug != "single-failure" &&
           !standing_.contains(name_of(judgement));
}

/// What the single failures burn, or cannot tell: failed part and what suffers, with the judgement that says
/// so.
std::map<Name, FailureFound> Judge::ask_failures(Judged& judged) const {
    if (judged.facts.faults == nullptr) {
        judged.facts.faults = std::make_shared<const check::Faults>(check::faults_of(judged.facts));
        judged.record = check::judge_all(judged.facts);
    }
    std::map<Name, FailureFound> found;
    for (std::size_t place = 0; place < judged.record.judgements.size(); ++place) {
        const check::Judgement& judgement = judged.record.judgements[place];
        if (judgement.rule->slug != "single-failure" || !counts(judgement))
            continue;
        if (judgement.verdict == check::Verdict::cannot_tell) {
            if (failures_->about(judgement.subjects.front()))
                found.try_emplace({"single-failure", judgement.message},
                                  FailureFound{judgement.subjects.front(), {}, place});
            continue;
        }
        for (const check::FaultTold& told : judged.facts.faults->told) {
            if (told.grave != check::Grave::burns || !judgement.message.starts_with(told.what + ": "))
                continue;
            for (const std::string& part : told.failed)
                for (const check::Consequence& one : told.consequences)
                    if (failures_->about(part) && one.weight != check::Grave::nothing)
                        found.try_emplace({"single-failure", part + ": " + one.subject},
                                          FailureFound{told.one_run ? std::string() : part, one, place});
        }
    }
    return found;
}

} // namespace stoutloom::size
