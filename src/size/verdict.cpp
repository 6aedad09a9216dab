#include "size/verdict.h"

#include <algorithm>
#include <array>

namespace stoutloom::size {
namespace {

// What sizes and ratings decide. Every other rule counts too, but only where more copper than any stock has
// would cure it: a finding that even the largest choice has stands whatever is chosen.
constexpr std::array<std::string_view, 12> decided_by_sizes = {
    "cable-ampacity",       "cable-short-duty",   "cable-unprotected", "charging-drop",
    "consumer-drop",        "cranking-drop",      "duty-solved",       "fuse-over-ampacity",
    "fuse-continuous-load", "incidental-current", "limit-drop",        "mass-shift"};

using Name = std::pair<std::string, std::string>;

Name name_of(const check::Judgement& judgement) {
    return {std::string(judgement.rule->slug),
            judgement.subjects.empty() ? std::string() : judgement.subjects.front()};
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
    Assignment largest;
    for (const Choice& choice : choices.list)
        largest.push_back(choice.options.size() - 1);
    const auto findings = [&](const Assignment& assignment) {
        std::set<Name> names;
        const auto judged = judge(assignment);
        for (const check::Judgement& judgement : judged->record.judgements)
            if (counts(judgement) && !decided_by_choice(judgement.rule->slug)) {
                names.insert(name_of(judgement));
                standing_messages_.try_emplace(name_of(judgement), judgement.message);
            }
        return names;
    };
    const std::set<Name> with_largest = findings(largest);
    const std::set<Name> with_smallest = findings(Assignment(largest.size(), 0));
    std::set_intersection(with_largest.begin(), with_largest.end(), with_smallest.begin(),
                          with_smallest.end(), std::inserter(standing_, standing_.end()));
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
