// limit-drop. Are the file's own drop limits kept?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::check {
namespace {

std::string name_of(const Facts& facts, const model::Limit& limit) {
    return fmt::format("{} to {}", facts.harness->terminal(*limit.from).address,
                       facts.harness->terminal(*limit.to).address);
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> names;
    for (const model::Limit& limit : facts.harness->limits)
        if (limit.from && limit.to)
            names.push_back(name_of(facts, limit));
    return names;
}

struct Greatest {
    std::optional<model::DutyIndex> duty;
    double drop_v = 0;
};

Greatest greatest_drop(const Facts& facts, const model::Limit& limit) {
    Greatest greatest;
    for (const SolvedDuty& solved : facts.duties) {
        const bool asked = limit.duties.empty() || std::find(limit.duties.begin(), limit.duties.end(),
                                                             solved.duty) != limit.duties.end();
        if (!asked || !solved.point)
            continue;
        const double drop_v = std::abs(solved.point->terminal_v[model::at(*limit.from)] -
                                       solved.point->terminal_v[model::at(*limit.to)]);
        if (std::isfinite(drop_v) && (!greatest.duty || drop_v > greatest.drop_v))
            greatest = {solved.duty, drop_v};
    }
    return greatest;
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const model::Limit& limit : facts.harness->limits) {
        if (!limit.from || !limit.to)
            continue;
        Judgement judgement = about(name_of(facts, limit), limit.span, {});
        for (const model::TerminalIndex end : {*limit.from, *limit.to})
            judgement.subjects.push_back(facts.harness->terminal(end).address);
        const Greatest greatest = greatest_drop(facts, limit);
        if (!greatest.duty) {
            judgement.message = fmt::format("no volts can be told between {} in any duty asked for",
                                            judgement.subjects.front());
            judgement.cure = "look at duty-solved, and whether both terminals are joined to the battery";
            judgements.cannot_tell(std::move(judgement));
            continue;
        }
        judgement.duty = duty_name(*facts.harness, *greatest.duty);
        judgement.message =
            fmt::format("{} loses {} in duty {}; the file allows {}", judgement.subjects.front(),
                        volts_up(greatest.drop_v), judgement.duty, volts_down(limit.value.value));
        judgement =
            with_figures(std::move(judgement), {.computed = greatest.drop_v, .limit = limit.value.value}, "V",
                         "this file's own limit");
        if (!exceeds(greatest.drop_v, limit.value.value))
            judgements.passes(std::move(judgement));
        else
            judgements.fails(std::move(judgement));
    }
}

} // namespace

extern const Rule rule_limit_drop;
const Rule rule_limit_drop{
    .slug = "limit-drop",
    .usual = Severity::error,
    .asks = "Are the file's own drop limits kept?",
    .source = "the harness file itself",
    .cure = "more copper between the two terminals, fewer joints, or a limit that can be met",
    .explanation =
        R"(A <limit from="..." to="..." drop="..."/> asks that two terminals never differ by more than so many volts in
the duties named (in all of them, if none is named). The figure is the solved difference, whichever way the
current runs, at running temperature and with every joint on the way.
Example: from G1.B+ to G2.+, drop 0.25 V, 160 A: the way may have 0.25 / 160 = 1.56 mohm; 5.6 m of 95 mm2 warm
(0.22 mohm/m) is 1.23 mohm, and a fuse-link and four joints take the rest.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
