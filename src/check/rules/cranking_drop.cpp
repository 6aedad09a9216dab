// cranking-drop. Does the starter get its volts while cranking?
#include "check/drops.h"
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;

std::vector<DeviceIndex> judged_starters(const Facts& facts) {
    std::vector<DeviceIndex> units;
    const bool any_cranking =
        std::any_of(facts.duties.begin(), facts.duties.end(), [&](const SolvedDuty& solved) {
            return facts.harness->duty(solved.duty).engine == model::Engine::cranking;
        });
    const std::vector<bool> at_negative = nodes_at_battery_negative(facts);
    for (const DeviceIndex unit : devices_of(*facts.harness, model::DeviceKind::starter))
        if (any_cranking && has_feed(facts, unit) && has_metal_return(facts, unit, at_negative))
            units.push_back(unit);
    return units;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const DeviceIndex unit : judged_starters(facts))
        ids.push_back(facts.harness->device(unit).id);
    return ids;
}

struct Part {
    std::string_view limit_name, words, cure;
    double computed_v;
};

void judge_part(const Facts& facts, DeviceIndex unit, const Drop& drop, const Part& part,
                Judgements& judgements) {
    const model::Harness& harness = *facts.harness;
    const model::Device& device = harness.device(unit);
    const model::LimitInForce limit = model::limit_in_force(harness, part.limit_name);
    Judgement judgement = about(device.id, device.span, {});
    judgement.subjects.push_back(harness.device(drop.battery).id);
    judgement.duty = duty_name(harness, drop.duty);
    judgement.values = {{"current_a", drop.current_a},
                        {"battery_v", drop.battery_v},
                        {"starter_v", drop.battery_v - drop.feed_v - drop.return_v}};
    judgement = with_figures(std::move(judgement), {.computed = part.computed_v, .limit = limit.value}, "V",
                             limit.source);
    judgement.message = fmt::format("{} turns at {} and loses {} on {} (duty {}); {} is left at the starter",
                                    device.id, amps_up(drop.current_a), volts_up(part.computed_v), part.words,
                                    judgement.duty, volts_down(drop.battery_v - drop.feed_v - drop.return_v));
    if (!exceeds(part.computed_v, limit.value)) {
        judgements.passes(std::move(judgement));
        return;
    }
    judgement.message += fmt::format("; {} is the limit", volts_down(limit.value));
    judgement.cure = part.cure;
    // Over a target of good practice is a warning; past twice the target the kit does not do its job.
    judgements.fails(std::move(judgement),
                     part.computed_v > 2 * limit.value ? Severity::error : Severity::warning);
}

std::optional<Drop> heaviest_drop(const Facts& facts, DeviceIndex unit) {
    std::optional<Drop> heaviest;
    for (const SolvedDuty& solved : facts.duties) {
        if (facts.harness->duty(solved.duty).engine != model::Engine::cranking)
            continue;
        const auto drop = drop_in(facts, solved, unit, false);
        if (drop && (!heaviest || drop->current_a > heaviest->current_a))
            heaviest = drop;
    }
    return heaviest;
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const DeviceIndex unit : judged_starters(facts)) {
        const model::Device& device = facts.harness->device(unit);
        const auto drop = heaviest_drop(facts, unit);
        if (!drop) {
            judgements.cannot_tell(for_want_of_duties(
                facts, about(device.id, device.span,
                             fmt::format("{}: no cranking duty could be solved", device.id))));
            continue;
        }
        const Part feed{"cranking-feed-drop", "its feed", "a thicker or shorter starter cable", drop->feed_v};
        const Part back{"cranking-return-drop", "its return", "a thicker ground strap and battery return",
                        drop->return_v};
        const Part loop{"cranking-loop-drop", "feed and return together", "more copper in both",
                        drop->feed_v + drop->return_v};
        judge_part(facts, unit, *drop, feed, judgements);
        judge_part(facts, unit, *drop, back, judgements);
        const auto over = [&](const Part& part) {
            return exceeds(part.computed_v, model::limit_in_force(*facts.harness, part.limit_name).value);
        };
        if (!over(feed) && !over(back))
            judge_part(facts, unit, *drop, loop, judgements);
    }
}

} // namespace

extern const Rule rule_cranking_drop;
const Rule rule_cranking_drop{
    .slug = "cranking-drop",
    .usual = Severity::warning,
    .asks = "Does the starter get its volts while cranking?",
    .source =
        "starter circuit test limits of workshop manuals: feed 0.5 V, return 0.3 V, together 0.8 V at 12 V",
    .cure = "more copper between battery and starter, in the return as well as in the feed",
    .explanation =
        R"(Drop = I x (copper + crimps + joints) on the way from battery + to the starter's main stud, and again from
the starter's case through block, straps and body back to battery -. Both halves carry the same amperes.
Example: 320 A through 6.1 m of 35 mm2 (0.527 mohm/m, warm about 0.6): 320 x 6.1 x 0.0006 = 1.17 V, over
twice the 0.5 V that workshop manuals allow. 120 mm2 (0.153 mohm/m, warm 0.17): 320 x 6.1 x 0.00017 = 0.33 V.
A strap of 16 mm2, 0.4 m, adds 320 x 0.4 x 0.00125 = 0.16 V to the return: half of what it may lose in all.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
