// lug-fit. Does every lug's hole fit its stud?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

namespace stoutloom::check {
namespace {

std::string size_words(const base::Fastener& stud) {
    return fmt::format("{} ({})", stud.name, base::shown_down(1000 * stud.diameter_m, 2, "mm"));
}

void judge_end(const Facts& facts, const model::Cable& cable, const model::CableEnd& end,
               Judgements& judgements) {
    const model::Terminal& terminal = facts.harness->terminal(end.at);
    const base::Fastener &lug = end.lug, &stud = terminal.stud;
    Judgement judgement = about(cable.id, end.span, {});
    judgement.subjects.push_back(terminal.address);
    const std::string place = fmt::format("{} at {}", cable.id, terminal.address);
    if (base::is_to_choose(stud) || base::is_to_choose(lug)) {
        judgement.message = fmt::format("{}: the {} is to be chosen: nothing to judge", place,
                                        base::is_to_choose(stud) ? "stud" : "lug");
        judgement.cure = "let the size command choose it, or write a size";
        judgements.cannot_tell(std::move(judgement));
        return;
    }
    if (base::matches(lug, stud)) {
        judgement.message = fmt::format("{}: {} lug on {}", place, lug.name, stud.name);
        judgements.passes(std::move(judgement));
        return;
    }
    judgement.cure = fmt::format("a lug made for {}", stud.name);
    if (lug.kind != stud.kind || lug.kind != base::FastenerKind::stud) {
        judgement.message =
            fmt::format("{}: an end made for {} does not go on {}", place, lug.name, stud.name);
        judgements.fails(std::move(judgement));
        return;
    }
    if (!base::can_go_on(lug, stud)) {
        judgement = with_figures(std::move(judgement),
                                 {.computed = 1000 * stud.diameter_m, .limit = 1000 * lug.hole_high_m}, "mm",
                                 "hole made for the lug's own size");
        judgement.message =
            fmt::format("{}: the hole of a lug for {}, {} at most, does not go over stud {}", place, lug.name,
                        base::shown_down(1000 * lug.hole_high_m, 1, "mm"), size_words(stud));
        judgement.cure += "; never drill a lug out";
        judgements.fails(std::move(judgement));
        return;
    }
    const double ratio = lug.hole_low_m / stud.diameter_m;
    judgement = with_figures(std::move(judgement), {.computed = ratio, .limit = 1.15}, "times the stud",
                             "bolted-joint practice: hole at most 1.15 times the stud");
    judgement.message = fmt::format(
        "{}: the hole of a lug for {} is {} the stud, {}: contact area is lost and the joint runs hot", place,
        lug.name, times_up(ratio), size_words(stud));
    judgement.cure += "; a washer does not replace the lost ring";
    judgements.fails(std::move(judgement),
                     base::is_loose_on(lug, stud) ? Severity::error : Severity::warning);
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const model::Cable& cable : facts.harness->cables)
        for (const model::CableEnd* end : {&cable.from, &cable.to})
            judge_end(facts, cable, *end, judgements);
}

} // namespace

extern const Rule rule_lug_fit;
const Rule rule_lug_fit{
    .slug = "lug-fit",
    .usual = Severity::error,
    .asks = "Does every lug's hole fit its stud?",
    .source = "hole sizes DIN 46234 / DIN 46235 and US lug catalogues, stud diameters ISO 261 and ASME B1.1, "
              "from memory; hole at "
              "most 1.15 times the stud, bolted-joint practice",
    .cure = "the lug made for the stud",
    .explanation =
        R"(A hole smaller than the stud does not go on; a hole much wider leaves a thin ring of contact that runs hot.
Each size has its range of holes: M6 6.4 to 6.6 mm, M8 8.4 to 8.6, M10 10.5 to 10.7; 5/16 in and M8, 3/8 in
and M10, 1/4 in and M6 count as one size.
Example: an M8 lug (8.4 mm at least) on an M6 stud (6.0 mm): 8.4 / 6.0 = 1.4 times the stud, over 1.15: an
error. An M8 lug (8.6 mm at most) on an M10 stud (10.0 mm): it does not go on at all.
)",
    .subjects = all_cables,
    .judge = judge,
};

} // namespace stoutloom::check
