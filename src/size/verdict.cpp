#include "size/verdict.h"

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

} // namespace

bool decided_by_choice(std::string_view rule) {
    return std::find(decided_by_sizes.begin(), decided_by_sizes.end(), rule) != decided_by_sizes.end();
}

bool counts(const check::Judgement& judgement) {
    return judgement.verdict != check::Verdict::passes && !judgement.accepted &&
           judgement.severity != check::Severity::note;
}

Judge::Judge(const model::Harness& harness, const Choices& choices) : harness_(harness), choices_(choices) {
    bool first = true;
    for (const Assignment& probe : probes(choices)) {
        std::set<Name> names;
        const auto judged = judge(probe);
        for (const check::Judgement& judgement : judged->record.judgements)
            if (counts(judgement) && !decided_by_choice(judgement.rule->slug)) {
                names.insert(name_of(judgement));
                standing_messages_.try_emplace(name_of(judgement), judgement.message);
            }
        if (first)
            standing_ = std::move(names);
        else
            std::erase_if(standing_, [&](const Name& name) { return !names.contains(name); });
        first = false;
        if (standing_.empty())
            break;
    }
}

std::unique_ptr<Judged> Judge::judge(const Assignment& assignment) {
    ++asked_;
    auto judged = std::make_unique<Judged>();
    judged->harness = applied(harness_, choices_, assignment);
    judged->facts = check::gather(judged->harness, check::Depth::healthy);
    judged->record = check::judge_all(judged->facts);
    for (const check::Judgement& judgement : judged->record.judgements)
        if (counts(judgement) && !standing_.contains(name_of(judgement)))
            judged->obstacles.push_back(&judgement);
    judged->good = judged->obstacles.empty();
    return judged;
}

} // namespace stoutloom::size
