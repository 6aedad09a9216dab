// charging-drop. Do the charging unit's volts arrive at the battery?
#include "check/drops.h"
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;

// Units with a metal way to a battery on both sides; the others are told by ground-return-missing and
// duty-solved.
std::vector<DeviceIndex> joined_units(const Facts& facts) {
    const std::vector<bool> at_negative = nodes_at_battery_negative(facts);
    std::vector<DeviceIndex> units;
    for (const DeviceIndex unit : devices_of(*facts.harness, model::DeviceKind::generator))
        if (has_metal_return(facts, unit, at_negative))
            units.push_back(unit);
    return units;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const DeviceIndex unit : joined_units(facts))
        ids.push_back(facts.harness->device(unit).id);
    return ids;
}

// The duty in which the unit pushes the greatest current to its battery.
std::optional<Drop> heaviest_drop(const Facts& facts, DeviceIndex unit) {
    std::optional<Drop> heaviest;
    for (const SolvedDuty& solved : facts.duties) {
        if (!engine_running(facts.harness->duty(solved.duty)))
            continue;
        const auto drop = drop_in(facts, solved, unit, true);
        if (drop && (!heaviest || drop->feed_v + drop->return_v > heaviest->feed_v + heaviest->return_v))
            heaviest = drop;
    }
    return heaviest;
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
    judgement.values = {{"current_a", drop.current_a}, {"battery_v", drop.battery_v}};
    judgement = with_figures(std::move(judgement), {.computed = part.computed_v, .limit = limit.value}, "V",
                             limit.source);
    judgement.message =
        fmt::format("{} loses {} on {} at {} (duty {}); battery {} gets {}", device.id,
                    volts_up(part.computed_v), part.words, amps_up(drop.current_a), judgement.duty,
                    harness.device(drop.battery).id, volts_down(drop.battery_v));
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

void judge(const Facts& facts, Judgements& judgements) {
    for (const DeviceIndex unit : joined_units(facts)) {
        const model::Device& device = facts.harness->device(unit);
        const auto drop = heaviest_drop(facts, unit);
        if (!drop) {
            judgements.cannot_tell(for_want_of_duties(
                facts,
                about(device.id, device.span,
                      fmt::format("{}: no duty with the engine running could be solved with a battery on its "
                                  "net, so its drop is unknown",
                                  device.id))));
            continue;
        }
        const Part feed{"charging-feed-drop", "its feed",
                        "more copper from the unit to the battery, fewer joints", drop->feed_v};
        const Part back{"charging-return-drop", "its return",
                        "a return cable as thick as the feed, straight to the battery", drop->return_v};
        const Part loop{"charging-loop-drop", "feed and return together", "more copper in both",
                        drop->feed_v + drop->return_v};
        judge_part(facts, unit, *drop, feed, judgements);
        judge_part(facts, unit, *drop, back, judgements);
        const auto over = [&](const Part& part) {
            return exceeds(part.computed_v, model::limit_in_force(*facts.harness, part.limit_name).value);
        };
        // A loop that is over because one side is over would be the same complaint twice.
        if (!over(feed) && !over(back))
            judge_part(facts, unit, *drop, loop, judgements);
    }
}

} // namespace

extern const Rule rule_charging_drop;
const Rule rule_charging_drop{
    .slug = "charging-drop",
    .usual = Severity::warning,
    .asks = "Do the charging unit's volts arrive at the battery?",
    .source =
        "good-practice target for a high-output unit, 0.20 V feed and 0.10 V return at 12 V, from memory",
    .cure = "more copper in feed and return, fewer joints, or remote sensing at the battery",
    .explanation =
        R"(The regulator holds the volts at its own stud, but the battery sees what the cables leave: battery volts =
unit volts - I x R(feed) - I x R(return). R counts the copper at its running temperature and every crimp,
joint and fuse-link on the way. Feed and return are told apart, because only the thin one needs copper.
Example: 160 A through 5.6 m of 16 mm2 (1.16 mohm/m, warm 1.5) = 160 x 5.6 x 0.0015 = 1.34 V lost on the
feed alone: the limit is 0.20 V, and a battery kept at 12.9 V instead of 14.3 V is never full.
With 95 mm2 (0.196 mohm/m, warm 0.22): 160 x 5.6 x 0.00022 = 0.20 V.
Judged in the duty with the engine running in which the loop loses most; a file may set its own limits.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
