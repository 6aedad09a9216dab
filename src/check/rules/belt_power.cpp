// belt-power. Does the drive carry what the unit asks of it?
#include "check/subjects.h"
#include "check/words.h"
#include "physics/source.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;

// Units whose drive is told in the file; nobody can guess a belt.
std::vector<DeviceIndex> belted(const Facts& facts) {
    std::vector<DeviceIndex> units;
    for (const DeviceIndex unit : devices_of(*facts.harness, model::DeviceKind::generator))
        if (std::get<model::Generator>(facts.harness->device(unit).data).belt_power_w)
            units.push_back(unit);
    return units;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const DeviceIndex unit : belted(facts))
        ids.push_back(facts.harness->device(unit).id);
    return ids;
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const DeviceIndex index : belted(facts)) {
        const model::Device& device = facts.harness->device(index);
        const auto& unit = std::get<model::Generator>(device.data);
        double hot_a = 0;
        for (const model::Output& output : unit.outputs)
            hot_a = std::max(hot_a, output.hot_a.value);
        const double shaft_w = physics::belt_power_w(hot_a, unit.set_point_v.value);
        const double limit_w = unit.belt_power_w->value;
        Judgement judgement = about(device.id, device.span, {});
        judgement = with_figures(std::move(judgement), {.computed = shaft_w, .limit = limit_w}, "W",
                                 "this file, belt-power");
        judgement.message =
            fmt::format("{} gives {} at {} and asks {} of its belt; the drive carries {}", named(device),
                        amps_up(hot_a), volts_up(unit.set_point_v.value),
                        base::shown_up(shaft_w / 1000, 1, "kW"), base::shown_down(limit_w / 1000, 1, "kW"));
        if (exceeds(shaft_w, limit_w)) {
            judgement.message += ": it slips, dusts and eats its bearings";
            judgements.fails(std::move(judgement));
        } else {
            judgements.passes(std::move(judgement));
        }
    }
}

} // namespace

extern const Rule rule_belt_power;
const Rule rule_belt_power{
    .slug = "belt-power",
    .usual = Severity::warning,
    .asks = "Does the drive carry what the unit asks of it?",
    .source = "efficiency 0.55 of a claw-pole unit, from memory; the drive's figure from the file",
    .cure = "a second V-belt or a ribbed one, more wrap on the pulley, or a unit of less output",
    .explanation =
        R"(A unit turns about 55 % of what the belt brings into current; the rest is heat and wind. Asked is the hot output
at the set point against belt-power in the file.
Example: 150 A at 14.2 V are 2130 W; over 0.55 that is 3.9 kW at the belt. One narrow V-belt carries some 2.5 kW
with a decent wrap: it slips in the wet, glazes, and the charge lamp flickers.
Some run so for years with the belt kept tight, and pay with bearings: hence a warning.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
