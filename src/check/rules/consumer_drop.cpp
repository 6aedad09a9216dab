// consumer-drop. Does every consumer get its volts?
#include "check/drops.h"
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;

// A lamp in the exciter's lead shares its volts with the exciter by design, so it has no drop limit.
bool in_exciter_lead(const Facts& facts, DeviceIndex consumer) {
    const auto minus = model::terminal_of(*facts.harness, consumer, model::Role::negative);
    return !minus || facts.topology.side_of_terminal[model::at(*minus)] != Side::back;
}

bool runs_in_any(const Facts& facts, DeviceIndex consumer) {
    return std::any_of(
        facts.harness->duties.begin(), facts.harness->duties.end(), [&](const model::Duty& duty) {
            return duty.engine != model::Engine::cranking && model::runs_in(*facts.harness, duty, consumer);
        });
}

// Consumers joined to a battery on both sides that run in some duty other than cranking.
std::vector<DeviceIndex> judged_consumers(const Facts& facts) {
    const std::vector<bool> at_negative = nodes_at_battery_negative(facts);
    std::vector<DeviceIndex> judged;
    for (const DeviceIndex consumer : devices_of(*facts.harness, model::DeviceKind::consumer))
        if (has_feed(facts, consumer) && has_metal_return(facts, consumer, at_negative) &&
            !in_exciter_lead(facts, consumer) && runs_in_any(facts, consumer))
            judged.push_back(consumer);
    return judged;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const DeviceIndex consumer : judged_consumers(facts))
        ids.push_back(facts.harness->device(consumer).id);
    return ids;
}

// The duty with the greatest loss on the way; a duty in which a contact cuts the consumer off says nothing.
std::optional<Drop> heaviest_drop(const Facts& facts, DeviceIndex consumer) {
    std::optional<Drop> heaviest;
    for (const SolvedDuty& solved : facts.duties) {
        const model::Duty& duty = facts.harness->duty(solved.duty);
        if (duty.engine == model::Engine::cranking || !model::runs_in(*facts.harness, duty, consumer))
            continue;
        const auto drop = drop_in(facts, solved, consumer, false);
        if (!drop || !(drop->current_a > 0))
            continue;
        if (!heaviest || drop->feed_v + drop->return_v > heaviest->feed_v + heaviest->return_v)
            heaviest = drop;
    }
    return heaviest;
}

void judge(const Facts& facts, Judgements& judgements) {
    const model::Harness& harness = *facts.harness;
    for (const DeviceIndex index : judged_consumers(facts)) {
        const model::Device& device = harness.device(index);
        const bool critical = std::get<model::Consumer>(device.data).critical;
        Judgement judgement = about(device.id, device.span, {});
        const auto drop = heaviest_drop(facts, index);
        if (!drop) {
            judgement.message =
                fmt::format("{} draws no current in any solved duty in which it should run", named(device));
            judgement.cure = "see supply-collapse and duty-solved";
            judgements.cannot_tell(std::move(judgement), Severity::note);
            continue;
        }
        const model::LimitInForce share =
            model::limit_in_force(harness, critical ? "critical-drop" : "consumer-drop");
        const double limit_v = share.value * harness.nominal_v.value;
        const double lost_v = drop->feed_v + drop->return_v;
        judgement.duty = duty_name(harness, drop->duty);
        judgement.values = {
            {"feed_v", drop->feed_v}, {"return_v", drop->return_v}, {"current_a", drop->current_a}};
        judgement =
            with_figures(std::move(judgement), {.computed = lost_v, .limit = limit_v}, "V", share.source);
        judgement.message = fmt::format(
            "{} loses {} between battery and consumer at {} (duty {}): {} in the feed, {} in the return",
            named(device), volts_up(std::max(lost_v, 0.0)), amps_up(drop->current_a), judgement.duty,
            volts_up(std::max(drop->feed_v, 0.0)), volts_up(std::max(drop->return_v, 0.0)));
        if (!exceeds(lost_v, limit_v)) {
            judgements.passes(std::move(judgement));
            continue;
        }
        // Where the supply itself breaks down, the lost volts are only its shadow.
        judgement.yields_to = {"supply-collapse"};
        judgement.message += fmt::format("; {} is the limit{}", volts_down(limit_v),
                                         critical ? " of a critical consumer" : "");
        judgements.fails(std::move(judgement));
    }
}

} // namespace

extern const Rule rule_consumer_drop;
const Rule rule_consumer_drop{
    .slug = "consumer-drop",
    .usual = Severity::warning,
    .asks = "Does every consumer get its volts?",
    .source = "ABYC E-11 / ISO 10133: 3 % of nominal for critical consumers, 10 % for the others",
    .cure = "more copper on the side that loses most, or a shorter way",
    .explanation =
        R"(Drop = battery volts - consumer volts, feed and return together, as a share of the nominal volts.
Example: two 55 W lamps on 12 V draw about 9 A. 2.5 mm2 has 7.6 mohm/m; 6 m out and 1 m back through metal:
9 x 7 x 0.0076 = 0.48 V = 4 % of 12 V. Within 10 % for a work lamp, over 3 % for navigation lamps.
A consumer nearer to the charging unit than the battery is may get more than the battery: no drop at all.
Only the way is judged, not whether the battery itself stands low.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
