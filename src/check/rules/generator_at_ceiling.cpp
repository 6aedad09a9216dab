// generator-at-ceiling. Does a battery that takes all it is offered keep the unit at its greatest output for
// hours?
#include "check/subjects.h"
#include "check/words.h"
#include "physics/source.h"
#include "solve/sources.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;
using model::DeviceKind;

// Half an hour at the ceiling soaks a unit through; the hot rating is stated for that and no more.
constexpr double longest_h = 0.5;

struct Appetite {
    double current_a = 0; // what the batteries take together, near empty
    double missing_ah = 0;
    std::vector<std::string> lithium;
};

Appetite appetite_of(const Facts& facts, DeviceIndex unit) {
    const model::Harness& harness = *facts.harness;
    Appetite appetite;
    const auto plus = model::terminal_of(harness, unit, model::Role::positive);
    for (const DeviceIndex index : devices_of(harness, DeviceKind::battery)) {
        const auto live = model::terminal_of(harness, index, model::Role::positive);
        if (!plus || !live || facts.topology.component(*plus) != facts.topology.component(*live))
            continue;
        const auto& battery = std::get<model::Battery>(harness.device(index).data);
        const double empty_fraction = 0.2;
        const double takes_a =
            battery.acceptance_a
                ? battery.acceptance_a->value
                : physics::battery_acceptance_a(static_cast<physics::BatteryKind>(battery.kind),
                                                battery.capacity_ah.value, empty_fraction);
        appetite.current_a += takes_a;
        appetite.missing_ah += battery.capacity_ah.value * (1 - empty_fraction);
        if (battery.kind == model::BatteryKind::lithium)
            appetite.lithium.push_back(harness.device(index).id);
    }
    return appetite;
}

// A lead battery's appetite falls as it fills, so it lets the unit go within half an hour; only one that
// takes its fill to the end is asked about.
std::vector<DeviceIndex> judged_units(const Facts& facts) {
    return devices_of(*facts.harness, DeviceKind::generator);
}

std::vector<std::string> subjects(const Facts& facts) {
    return generators(facts);
}

void judge(const Facts& facts, Judgements& judgements) {
    model::Duty hot;
    hot.engine = model::Engine::rated;
    for (const DeviceIndex unit : judged_units(facts)) {
        const model::Device& device = facts.harness->device(unit);
        const double hot_a =
            solve::generator_law(*facts.harness, hot, unit, solve::Supply::nominal).ceiling_a;
        const Appetite appetite = appetite_of(facts, unit);
        Judgement judgement = about(device.id, device.span, {});
        if (appetite.lithium.empty() || !(hot_a > 0)) {
            judgement.message =
                fmt::format("{} charges lead batteries, whose appetite falls as they fill", named(device));
            judgements.passes(std::move(judgement));
            continue;
        }
        judgement.subjects.insert(judgement.subjects.end(), appetite.lithium.begin(), appetite.lithium.end());
        const double hours = appetite.missing_ah / hot_a;
        judgement.values = {{"hours_at_ceiling", hours}};
        judgement = with_figures(std::move(judgement), {.computed = appetite.current_a, .limit = hot_a}, "A",
                                 "hot output at rated speed");
        judgement.message = fmt::format("{} takes up to {} and {} gives {} hot", listed(appetite.lithium),
                                        amps_up(appetite.current_a), named(device), amps_down(hot_a));
        if (!exceeds(appetite.current_a, hot_a) || hours <= longest_h) {
            judgements.passes(std::move(judgement));
            continue;
        }
        judgement.message +=
            fmt::format(": it stands at its ceiling for {} and cooks", base::shown_up(hours, 1, "h"));
        judgements.fails(std::move(judgement));
    }
}

} // namespace

extern const Rule rule_generator_at_ceiling;
const Rule rule_generator_at_ceiling{
    .slug = "generator-at-ceiling",
    .usual = Severity::error,
    .asks = "Does a battery that takes all it is offered keep the unit at its greatest output for hours?",
    .source =
        "common practice, no source: half an hour at the ceiling; acceptance from the file, or the whole "
        "capacity in an hour for lithium (from memory)",
    .cure = "a current limit below the unit's hot output (a DC-DC charger, a regulator with a temperature "
            "sensor); in "
            "the file, the battery's acceptance",
    .explanation =
        R"(The badge of a unit is no continuous rating. A lead battery is a mild load: it takes a quarter of its capacity
and soon less. A lithium bank takes whatever it is offered until it is full, so the unit stays at its ceiling for
hours, and its windings and diodes at temperatures meant for minutes.
Hours = what is missing from 20 % charge / hot output. Over half an hour, with an appetite over the hot output, it
is an error unless something limits the current (acceptance="60 A" on the battery).
Example: 200 Ah lithium, 90 A hot: 160 Ah / 90 A = 1.8 h at the ceiling.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
