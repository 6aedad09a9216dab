#include "report/papers/finding_groups.h"

#include "report/words.h"

#include <algorithm>
#include <cctype>

namespace stoutloom::report {
namespace {

bool in_name(char letter) {
    return std::isalnum(static_cast<unsigned char>(letter)) != 0 || letter == '_' || letter == '-' ||
           letter == '.';
}

/// The sentence without the id, where it stands as a word of its own.
std::string without(std::string sentence, const std::string& id) {
    constexpr char mark = '\1';
    for (std::size_t at = sentence.find(id); at != std::string::npos; at = sentence.find(id, at)) {
        const std::size_t past = at + id.size();
        const bool word =
            (at == 0 || !in_name(sentence[at - 1])) && (past == sentence.size() || !in_name(sentence[past]));
        if (word)
            sentence.replace(at, id.size(), 1, mark);
        at += word ? 1 : id.size();
    }
    return sentence;
}

bool same_figures(const check::Judgement& one, const check::Judgement& other) {
    if (!one.has_figures || !other.has_figures)
        return one.has_figures == other.has_figures;
    const ShownPair a = shown_pair(one.computed, one.limit, one.unit, false),
                    b = shown_pair(other.computed, other.limit, other.unit, false);
    return a.computed == b.computed && a.limit == b.limit && one.limit_source == other.limit_source;
}

bool alike(const check::Judgement& one, const check::Judgement& other) {
    if (one.rule != other.rule || one.severity != other.severity || one.verdict != other.verdict ||
        one.accepted != other.accepted || one.accepted_reason != other.accepted_reason ||
        one.subjects.empty() || other.subjects.empty() || one.subjects.front() == other.subjects.front() ||
        one.subjects.front().empty() || other.subjects.front().empty())
        return false;
    const auto same_but_id = [&](const std::string& a, const std::string& b) {
        return without(a, one.subjects.front()) == without(b, other.subjects.front());
    };
    return same_figures(one, other) && same_but_id(one.message, other.message) &&
           same_but_id(one.cure, other.cure);
}

} // namespace

std::vector<std::vector<std::size_t>> alike_findings(const std::vector<check::Judgement>& found) {
    std::vector<std::vector<std::size_t>> groups;
    for (std::size_t i = 0; i < found.size(); ++i) {
        // The same subject twice is no list of two: it must be alike to each of them.
        if (!groups.empty() &&
            std::all_of(groups.back().begin(), groups.back().end(),
                        [&](std::size_t member) { return alike(found[member], found[i]); }))
            groups.back().push_back(i);
        else
            groups.push_back({i});
    }
    return groups;
}

} // namespace stoutloom::report
