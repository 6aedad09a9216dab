// shunt-bypassed. Does everything that the shunt is to count come back through it?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;
using model::DeviceKind;

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const DeviceIndex shunt : devices_of(*facts.harness, DeviceKind::shunt))
        ids.push_back(facts.harness->device(shunt).id);
    return ids;
}

struct Counted {
    std::vector<std::string> counted, missed;
    bool only_starters = true;
};

// Units whose negative still meets the battery's with the shunt taken out.
struct Monitor {
    DeviceIndex shunt{}, battery{};
};
Counted counted_by(const Facts& facts, const Monitor& about) {
    const auto minus = model::terminal_of(*facts.harness, about.battery, model::Role::negative);
    const auto without = [&](const Link& link) { return link.device != about.shunt; };
    const auto direct = reached_from(facts.topology, facts.topology.node(*minus), without);
    const auto all =
        reached_from(facts.topology, facts.topology.node(*minus), [](const Link&) { return true; });
    Counted found;
    for (const DeviceIndex unit : units_with_return(*facts.harness)) {
        const auto back = model::terminal_of(*facts.harness, unit, model::Role::negative);
        if (!back || !all[static_cast<std::size_t>(facts.topology.node(*back))])
            continue;
        const model::Device& device = facts.harness->device(unit);
        if (!direct[static_cast<std::size_t>(facts.topology.node(*back))]) {
            found.counted.push_back(device.id);
            continue;
        }
        found.missed.push_back(device.id);
        found.only_starters = found.only_starters && device.kind() == DeviceKind::starter;
    }
    return found;
}

void judge_shunt(const Facts& facts, DeviceIndex shunt, Judgements& judgements) {
    const model::Device& device = facts.harness->device(shunt);
    Judgement judgement = about(device.id, device.span, {});
    const auto contact = contact_of(*facts.harness, shunt);
    std::optional<DeviceIndex> battery;
    for (const DeviceIndex one : devices_of(*facts.harness, DeviceKind::battery))
        if (const auto minus = model::terminal_of(*facts.harness, one, model::Role::negative);
            minus && contact && facts.topology.component(*minus) == facts.topology.component(contact->first))
            battery = battery.value_or(one);
    if (!battery) {
        judgement.message = fmt::format("{} sits in a live lead and measures that lead only", named(device));
        judgements.passes(std::move(judgement));
        return;
    }
    const Counted found = counted_by(facts, {.shunt = shunt, .battery = *battery});
    if (found.missed.empty()) {
        judgement.message = fmt::format("{} counts every return", named(device));
        judgements.passes(std::move(judgement));
        return;
    }
    judgement.subjects.insert(judgement.subjects.end(), found.missed.begin(), found.missed.end());
    judgement.message =
        found.counted.empty()
            ? fmt::format("{} is bypassed: every unit has a way to battery negative around it", named(device))
            : fmt::format("{} counts {} but not {}: {} to battery negative around it", named(device),
                          listed(found.counted), listed(found.missed),
                          found.missed.size() == 1 ? "that one returns" : "those return");
    judgement.cure = fmt::format("take {} to the far side of {}", listed(found.missed), device.id);
    judgements.fails(std::move(judgement),
                     found.only_starters && !found.counted.empty() ? Severity::note : Severity::warning);
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const DeviceIndex shunt : devices_of(*facts.harness, DeviceKind::shunt))
        judge_shunt(facts, shunt, judgements);
}

} // namespace

extern const Rule rule_shunt_bypassed;
const Rule rule_shunt_bypassed{
    .slug = "shunt-bypassed",
    .usual = Severity::warning,
    .asks = "Does everything that the shunt is to count come back through it?",
    .source = "common practice, no source: nothing but the shunt sits on the battery's negative post",
    .cure = "take every return to the far side of the shunt",
    .explanation =
        R"(A battery monitor believes its shunt. A charger, a second unit or a lamp returned to the battery's own post is
never counted, and the state of charge drifts by what it moves. Engine and body can be such a way round as well.
Asked is, with the shunt taken out, which units' negatives still meet the battery's negative over metal.
A starter alone on the battery's side is a note: its short, large current is left out on purpose by some.
Example: unit 90 A, returned to the spare stud of the battery post; the monitor shows a discharge of 20 A (the
lamps) while 70 A go in.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
