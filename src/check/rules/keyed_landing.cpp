// keyed-landing. Can the kit be bolted on the wrong way round?
#include "check/keying_cure.h"
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

std::string with_assumptions(const LandingVerdict& landing) {
    return landing.assumptions.empty() ? "" : fmt::format(" (taken: {})", listed(landing.assumptions));
}

void judge_keyed(const LandingVerdict& landing, Judgement judgement, Judgements& judgements) {
    judgement.message = fmt::format("{}: its {} lugs go on only one way", landing.id, landing.ends.size());
    if (!landing.wrong.empty())
        judgement.message += fmt::format("; {} would be noticed, since not every lug then finds a stud",
                                         landing.wrong.front().sentence);
    judgement.message += with_assumptions(landing);
    judgements.passes(std::move(judgement));
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const LandingVerdict& landing : facts.landings) {
        Judgement judgement = about(landing.id, landing.span, {});
        if (landing.open) {
            judgement.message =
                fmt::format("{}: a stud or a lug of it is to be chosen: nothing to judge", landing.id);
            judgement.cure = "let the size command choose it, or write a size";
            judgements.cannot_tell(std::move(judgement));
            continue;
        }
        if (landing.keyed) {
            judge_keyed(landing, std::move(judgement), judgements);
            continue;
        }
        const auto completes = [](const WrongAssembly& wrong) { return wrong.completes; };
        const auto count = std::count_if(landing.wrong.begin(), landing.wrong.end(), completes);
        // The worst of those with the fewest moved lugs is the one to tell.
        const WrongAssembly* worst = &landing.wrong.front();
        for (const WrongAssembly& wrong : landing.wrong)
            if (completes(wrong) && !wrong.consequence.empty() && wrong.harmful && !worst->harmful)
                worst = &wrong;
        for (const Placed& placed : worst->moved) {
            const std::string& id = facts.harness->cable(placed.end.cable).id;
            if (std::find(judgement.subjects.begin(), judgement.subjects.end(), id) ==
                judgement.subjects.end())
                judgement.subjects.push_back(id);
        }
        judgement.values = {{"wrong_assemblies", static_cast<double>(count)}};
        judgement.message = fmt::format("{} can be bolted up wrongly with every lug on a stud: {}; then {}",
                                        landing.id, worst->sentence, worst->consequence);
        if (count > 1)
            judgement.message += fmt::format(" ({} such ways)", count);
        judgement.message += with_assumptions(landing);
        const auto cure = keying_cure(*facts.harness, landing);
        judgement.cure = cure ? fmt::format("the least change that keys it: {}", cure->sentence)
                              : "plugs, or a landing taken apart: no other stud sizes on sale key it";
        judgements.fails(std::move(judgement), worst->harmful ? Severity::error : Severity::warning);
    }
}

} // namespace

extern const Rule rule_keyed_landing;
const Rule rule_keyed_landing{
    .slug = "keyed-landing",
    .usual = Severity::error,
    .asks = "Can the kit be bolted on the wrong way round?",
    .source = "common practice, no source: a kit whose terminal sizes differ cannot be connected wrongly, "
              "since one lug will then "
              "not go on the stud that is left",
    .cure = "studs and lugs of different size at one landing",
    .explanation =
        R"(A landing is what one pair of hands can mix up: the studs of one device, or those a file puts together. A lug
goes on a stud when its hole is not smaller than the stud; M8 and 5/16 in, M10 and 3/8 in, M6 and 1/4 in, M5 and
#10 count as one size. An assembly is complete when every lug is on a stud and no stud that should be used is
bare. The landing is keyed when every complete assembly is electrically the intended one.
Example 1: B+ M8 and B- M8, one lug each: the two can be exchanged: not keyed.
Example 2: B+ M8 with an M8 lug, B- M10 with an M10 lug. The M10 lug goes over the M8 stud, but then the M8 lug
must go on the M10 stud, and its 8.6 mm hole does not go over 10 mm: it is noticed. Keyed.
Each wrong way that can be completed is found by a flow through lugs and studs with lower bounds, rewired and
solved, so that the finding can say what would happen. It is a warning only when nothing worse than a dead lamp
follows or one consumer is reversed. Taper posts of a battery differ by polarity and count as keyed; so do plugs and moulded connectors.
)",
    .subjects = all_landings,
    .judge = judge,
};

} // namespace stoutloom::check
