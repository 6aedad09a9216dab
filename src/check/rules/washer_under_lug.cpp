// washer-under-lug. Does every lug lie straight on the face that carries the current?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

namespace stoutloom::check {
namespace {

void judge(const Facts& facts, Judgements& judgements) {
    for (const model::Cable& cable : facts.harness->cables)
        for (const model::CableEnd* end : {&cable.from, &cable.to}) {
            const std::string& address = facts.harness->terminal(end->at).address;
            Judgement judgement = about(cable.id, end->span, {});
            judgement.subjects.push_back(address);
            if (!end->washer_under) {
                judgement.message = fmt::format("{} lies on the face of {}", cable.id, address);
                judgements.passes(std::move(judgement));
                continue;
            }
            judgement.message = fmt::format("a steel washer lies between the lug of {} and the face of {}: "
                                            "the whole current goes through "
                                            "steel and two more faces, and the nut runs hot",
                                            cable.id, address);
            judgements.fails(std::move(judgement));
        }
}

} // namespace

extern const Rule rule_washer_under_lug;
const Rule rule_washer_under_lug{
    .slug = "washer-under-lug",
    .usual = Severity::error,
    .asks = "Does every lug lie straight on the face that carries the current?",
    .source =
        "common practice, no source: lugs on the face, then one flat washer, then the nut; the joint of a "
        "lug on bare steel stands for it in the computation",
    .cure = "take the washer out from under the lug and put it under the nut",
    .explanation =
        R"(The stud only clamps; the current goes from lug to face. A washer left on the post puts plain steel and two more
contacts in between: some 10 times the resistance, in the one place that cannot shed heat.
Example: 0.1 mohm in place of 0.01 mohm at 160 A: 2.6 W instead of 0.26 W in a joint the size of a coin.
)",
    .subjects = all_cables,
    .judge = judge,
};

} // namespace stoutloom::check
