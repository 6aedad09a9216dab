// lugs-per-stud. Are there too many lugs on one stud?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

namespace stoutloom::check {
namespace {

void judge(const Facts& facts, Judgements& judgements) {
    const model::Harness& harness = *facts.harness;
    const model::LimitInForce limit = model::limit_in_force(harness, "lugs-per-stud");
    std::vector<int> lugs(harness.terminals.size(), 0);
    std::vector<std::vector<std::string>> cables(harness.terminals.size());
    for (const model::Cable& cable : harness.cables)
        for (const model::CableEnd* end : {&cable.from, &cable.to}) {
            lugs[model::at(end->at)] += cable.parallel;
            cables[model::at(end->at)].push_back(cable.id);
        }
    for (std::size_t t = 0; t < lugs.size(); ++t) {
        if (lugs[t] == 0)
            continue;
        const model::Terminal& terminal = harness.terminals[t];
        const base::Span span =
            terminal.span.end > terminal.span.begin ? terminal.span : harness.device(terminal.device).span;
        Judgement judgement = about(terminal.address, span, {});
        judgement.subjects.insert(judgement.subjects.end(), cables[t].begin(), cables[t].end());
        judgement = with_figures(std::move(judgement),
                                 {.computed = static_cast<double>(lugs[t]), .limit = limit.value}, "lugs",
                                 limit.source);
        judgement.message = fmt::format("{} carries {} lug{} ({}); {} is the most for one stud",
                                        terminal.address, lugs[t], lugs[t] == 1 ? "" : "s", listed(cables[t]),
                                        base::shown_number(limit.value, 0, base::Rounding::down));
        if (lugs[t] <= limit.value)
            judgements.passes(std::move(judgement));
        else
            judgements.fails(std::move(judgement));
    }
}

} // namespace

extern const Rule rule_lugs_per_stud;
const Rule rule_lugs_per_stud{
    .slug = "lugs-per-stud",
    .usual = Severity::error,
    .asks = "Are there too many lugs on one stud?",
    .source = "ABYC E-10 10.8.4 and E-11: at most four conductors on one stud",
    .cure = "a distribution post or bus bar, with one cable from it to the stud",
    .explanation =
        R"(Each lug in a stack presses only as hard as the nut, and the ones on top send their current through those
below. Four is the most for one stud; every run of a parallel cable is a lug of its own.
Example: starter stud with battery cable, two runs from the charging unit, fuse box and heater: 1 + 2 + 1 + 1 = 5
lugs, one too many: take fuse box and heater to a post, and one cable from the post to the stud.
Heaviest current nearest the contact face, no washer between lugs, at least one thread past the nut.
)",
    .subjects = used_terminals,
    .judge = judge,
};

} // namespace stoutloom::check
