// wet-joint. Does any copper lug meet aluminium where it gets wet?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

namespace stoutloom::check {
namespace {

// Ends bolted to aluminium metal; steel is as often painted or zinced over as not, and its step is smaller.
template <class Visit> void each_end_on_aluminium(const Facts& facts, Visit visit) {
    for (const model::Cable& cable : facts.harness->cables)
        for (const model::CableEnd* end : {&cable.from, &cable.to}) {
            const model::Device& part = facts.harness->device(facts.harness->terminal(end->at).device);
            const auto* mass = std::get_if<model::Mass>(&part.data);
            if (mass != nullptr && mass->aluminium)
                visit(cable, *end, part);
        }
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    each_end_on_aluminium(facts, [&](const model::Cable& cable, const model::CableEnd&,
                                     const model::Device&) { ids.push_back(cable.id); });
    return ids;
}

// The zone of the end's own stretch: a cable may run dry and end in the spray.
const model::Zone& zone_of(const Facts& facts, const model::Cable& cable, const model::CableEnd& end) {
    return facts.harness->zone((&end == &cable.from ? cable.segments.front() : cable.segments.back()).zone);
}

void judge(const Facts& facts, Judgements& judgements) {
    each_end_on_aluminium(facts, [&](const model::Cable& cable, const model::CableEnd& end,
                                     const model::Device& part) {
        const model::Terminal& terminal = facts.harness->terminal(end.at);
        const model::Zone& zone = part.zone ? facts.harness->zone(*part.zone) : zone_of(facts, cable, end);
        Judgement judgement = about(cable.id, end.span, {});
        judgement.subjects.push_back(terminal.address);
        if (!zone.wet) {
            judgement.message =
                fmt::format("{} meets aluminium at {}, where it stays dry", cable.id, terminal.address);
            judgements.passes(std::move(judgement));
            return;
        }
        if (terminal.plated_seat) {
            judgement.message =
                fmt::format("{} meets {} on a plated or bimetal seat", cable.id, terminal.address);
            judgements.passes(std::move(judgement));
            return;
        }
        judgement.message =
            fmt::format("{} puts copper on aluminium at {}, and {} gets wet: the aluminium turns to "
                        "white crust and the drop grows by the season",
                        cable.id, terminal.address, zone.label.empty() ? zone.id : zone.label);
        judgements.fails(std::move(judgement));
    });
}

} // namespace

extern const Rule rule_wet_joint;
const Rule rule_wet_joint{
    .slug = "wet-joint",
    .usual = Severity::warning,
    .asks = "Does any copper lug meet aluminium where it gets wet?",
    .source =
        "electrochemical step of copper against aluminium, over 0.25 V in a wet place; common practice, no "
        "source",
    .cure = "a tinned lug on a bimetal washer, sealed; in the file, seat=\"copper\" on that stud",
    .explanation =
        R"(Copper and aluminium stand some 0.4 to 0.6 V apart in salt water. Dry, nothing happens; in spray or bilge the
aluminium under the lug dissolves, and a joint of 0.05 mohm becomes one of several.
A file says where it is wet (zone wet="yes"), what the metal is (mass metal="aluminium"), and what is done about
it: seat="copper" on the stud stands for a tinned or bimetal seat with a seal.
Example: strap on an aluminium gearbox behind the wheel: after two winters 3 mohm, 0.9 V lost while cranking.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
