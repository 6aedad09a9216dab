#include "report/papers/told_before.h"

#include <algorithm>

namespace stoutloom::report {
namespace {

constexpr std::size_t worth_it = 80; // bytes: shorter ones are read faster than looked up

/// Between clauses: Japanese has a mark of its own and no blank after it.
std::string_view between_clauses(const std::string& sentence) {
    constexpr std::string_view wide = "；", narrow = "; ";
    return sentence.find(wide) != std::string::npos ? wide : narrow;
}

std::vector<std::string> clauses_of(const std::string& sentence) {
    const std::string_view between = between_clauses(sentence);
    std::vector<std::string> clauses;
    for (std::size_t from = 0; from <= sentence.size();) {
        const std::size_t end = std::min(sentence.find(between, from), sentence.size());
        clauses.push_back(sentence.substr(from, end - from));
        from = end + between.size();
    }
    return clauses;
}

/// The longest run of clauses that both have, the first of either left out.
struct Run {
    std::size_t from = 0, count = 0, bytes = 0;
};
Run common_run(const std::vector<std::string>& now, const std::vector<std::string>& before) {
    Run best;
    for (std::size_t i = 1; i < now.size(); ++i)
        for (std::size_t j = 1; j < before.size(); ++j) {
            Run run{.from = i};
            while (i + run.count < now.size() && j + run.count < before.size() &&
                   now[i + run.count] == before[j + run.count])
                run.bytes += now[i + run.count++].size();
            if (run.bytes > best.bytes)
                best = run;
        }
    return best;
}

} // namespace

std::string ToldBefore::shortened(const ToldFinding& finding) {
    const std::vector<std::string> clauses = clauses_of(finding.sentence);
    Run best;
    std::string where;
    for (const Told& told : told_) {
        if (told.rule != finding.rule)
            continue;
        // The earliest of equals: its own words stand in full.
        if (const Run run = common_run(clauses, told.clauses); run.bytes > best.bytes) {
            best = run;
            where = told.number;
        }
    }
    // What is left out here is not to be looked up here.
    Told& own = told_.emplace_back(Told{.rule = finding.rule, .number = finding.number, .clauses = clauses});
    if (best.bytes < worth_it)
        return finding.sentence;
    const auto from = own.clauses.begin() + static_cast<long>(best.from);
    own.clauses.erase(from, from + static_cast<long>(best.count));
    std::string words = clauses.front();
    const std::string_view between = between_clauses(finding.sentence);
    for (std::size_t i = 1; i < clauses.size(); ++i) {
        if (i == best.from)
            words += std::string(between) + as_words_(where) +
                     (words.ends_with(' ') && i + best.count < clauses.size() ? " " : ""); // French: " ; "
        if (i < best.from || i >= best.from + best.count)
            words += std::string(between) + clauses[i];
    }
    return words;
}

} // namespace stoutloom::report
