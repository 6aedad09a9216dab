// insulation-ambient. Does every cable's insulation stand the zones it runs through?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

// An end on a stud that is hotter than the class. True when there is one, and then it is told.
bool tell_hot_stud(const Facts& facts, const model::Cable& cable, Judgements& judgements) {
    const double class_degc = cable.insulation.class_degc;
    for (const model::CableEnd* end : {&cable.from, &cable.to}) {
        if (!end->joint_degc || end->joint_degc->value < class_degc)
            continue;
        const std::string& stud = facts.harness->terminal(end->at).address;
        Judgement judgement = about(
            cable.id, end->span,
            fmt::format(
                "{} has insulation {}, which stands {}, and soaks at {} at the stud {}: its end softens "
                "there without any current",
                cable.id, cable.insulation.text, degc_down(class_degc), degc_up(end->joint_degc->value),
                stud));
        judgement.subjects.push_back(stud);
        judgement =
            with_figures(std::move(judgement), {.computed = end->joint_degc->value, .limit = class_degc},
                         "degC", fmt::format("insulation class {}", cable.insulation.text));
        judgement.cure = fmt::format("insulation that stands more than {}", degc_up(end->joint_degc->value));
        judgements.fails(std::move(judgement));
        return true;
    }
    return false;
}

void judge(const Facts& facts, Judgements& judgements) {
    const model::Harness& harness = *facts.harness;
    for (const model::Cable& cable : harness.cables) {
        if (tell_hot_stud(facts, cable, judgements))
            continue;
        const auto warmth = [&](const model::Segment& segment) {
            return harness.zone(segment.zone).ambient_degc.value + harness.zone(segment.zone).radiant_k.value;
        };
        Judgement judgement = about(cable.id, cable.span, {});
        if (cable.segments.empty()) {
            judgement.message = fmt::format("{} has no route, so its surroundings are unknown", cable.id);
            judgements.cannot_tell(std::move(judgement));
            continue;
        }
        const auto hottest = std::max_element(cable.segments.begin(), cable.segments.end(),
                                              [&](const model::Segment& one, const model::Segment& other) {
                                                  return warmth(one) < warmth(other);
                                              });
        const double class_degc = cable.insulation.class_degc;
        judgement = with_figures(std::move(judgement), {.computed = warmth(*hottest), .limit = class_degc},
                                 "degC", fmt::format("insulation class {}", cable.insulation.text));
        const std::string zone = zone_name(harness, hottest->zone);
        if (warmth(*hottest) < class_degc) {
            judgement.message =
                fmt::format("{} has insulation {} ({}) and its hottest zone, {}, has {}", cable.id,
                            cable.insulation.text, degc_down(class_degc), zone, degc_up(warmth(*hottest)));
            judgements.passes(std::move(judgement));
            continue;
        }
        if (hottest->span.end > hottest->span.begin)
            judgement.span = hottest->span;
        judgement.subjects.push_back(harness.zone(hottest->zone).id);
        judgement.message = fmt::format(
            "{} has insulation {}, which stands {}, in {} at {}: it softens there without any current",
            cable.id, cable.insulation.text, degc_down(class_degc), zone, degc_up(warmth(*hottest)));
        judgement.cure =
            fmt::format("insulation that stands more than {}, or another route, or a heat shield",
                        degc_up(warmth(*hottest)));
        judgements.fails(std::move(judgement));
    }
}

} // namespace

extern const Rule rule_insulation_ambient;
const Rule rule_insulation_ambient{
    .slug = "insulation-ambient",
    .usual = Severity::error,
    .asks = "Does every cable's insulation stand the zones it runs through?",
    .source = "ISO 6722-1 / ISO 19642 temperature classes against the zone's ambient",
    .cure = "a higher insulation class, another route, or a heat shield",
    .explanation =
        R"(An insulation class is the conductor temperature that the wall stands for 3000 hours: A 85, B 100, C 125,
D 150 degC and so on. A zone warmer than the class ruins the wall with no current flowing at all, and the
first place where it rubs through is live. Warmth of a zone = its ambient + what a hot pipe or the sun adds.
Example: class B (100 degC) past a manifold where a thermometer showed 95 degC and the pipe adds 20 K:
95 + 20 = 115 degC > 100 degC: not there. Class C (125 degC) leaves 10 K, and all of that for the current's
own heat: its ampacity there is small. The current rules leave such a cable to this one.
)",
    .subjects = all_cables,
    .judge = judge,
};

} // namespace stoutloom::check
