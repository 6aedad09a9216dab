// supply-collapse. Does every consumer that should run get a supply that holds?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;
using model::DeviceKind;

// Units with wires on both sides; a missing return is told by ground-return-missing.
std::vector<DeviceIndex> judged_units(const Facts& facts) {
    const std::vector<bool> at_negative = nodes_at_battery_negative(facts);
    std::vector<DeviceIndex> units;
    for (const DeviceIndex unit : units_with_return(*facts.harness))
        if (facts.harness->device(unit).kind() != DeviceKind::generator &&
            has_metal_return(facts, unit, at_negative))
            units.push_back(unit);
    return units;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const DeviceIndex unit : judged_units(facts))
        ids.push_back(facts.harness->device(unit).id);
    return ids;
}

bool meant_to_run(const Facts& facts, const model::Duty& duty, DeviceIndex unit) {
    if (facts.harness->device(unit).kind() == DeviceKind::starter)
        return duty.engine == model::Engine::cranking;
    return model::runs_in(*facts.harness, duty, unit);
}

struct Service {
    int meant = 0, served = 0;
    std::optional<model::DutyIndex> collapsed, dead;
    bool apart = false; // fed, by a system that nothing joins to the rest of the kit
    double collapsed_v = 0;
};

Service service_of(const Facts& facts, DeviceIndex unit) {
    Service service;
    const auto plus = model::terminal_of(*facts.harness, unit, model::Role::positive);
    for (const SolvedDuty& solved : facts.duties) {
        const model::Duty& duty = facts.harness->duty(solved.duty);
        if (!solved.point || !meant_to_run(facts, duty, unit))
            continue;
        ++service.meant;
        const auto holds = [](const auto& list, auto item) {
            return std::find(list.begin(), list.end(), item) != list.end();
        };
        const double volts_v = solved.point->devices[model::at(unit)].volts_v;
        if (holds(solved.point->collapsed, unit) && volts_v > 0.1) {
            service.collapsed = solved.duty;
            service.collapsed_v = volts_v;
        } else if (!plus || holds(solved.point->floating, *plus) || !(volts_v > 0.1)) {
            service.dead = solved.duty;
            service.apart = service.apart || volts_v > 0.1;
        } else {
            ++service.served;
        }
    }
    return service;
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const DeviceIndex unit : judged_units(facts)) {
        const model::Device& device = facts.harness->device(unit);
        const Service service = service_of(facts, unit);
        Judgement judgement = about(device.id, device.span, {});
        if (service.collapsed) {
            judgement.duty = duty_name(*facts.harness, *service.collapsed);
            judgement.message = fmt::format(
                "{} asks for more than its supply can give in duty {}: its volts break down to {}",
                named(device), judgement.duty, volts_down(service.collapsed_v));
            judgements.fails(std::move(judgement));
        } else if (service.meant > 0 && service.served == 0 && service.apart) {
            judgement.message =
                fmt::format("{} is fed by a system that no conductor joins to the rest of the kit, so "
                            "nothing can tell what it loses on its way",
                            named(device));
            judgement.cure = "a cable between the negatives of both systems, or a file of its own for each";
            judgements.fails(std::move(judgement));
        } else if (service.meant > 0 && service.served == 0) {
            judgement.duty = duty_name(*facts.harness, *service.dead);
            judgement.message =
                has_feed(facts, unit)
                    ? fmt::format(
                          "{} gets no volts in any duty in which it should run: a contact on its way is open",
                          named(device))
                    : fmt::format("{} has no cable from a battery or charging unit to its live side",
                                  named(device));
            judgement.cure = has_feed(facts, unit)
                                 ? "let the switch or relay on its way close in those duties"
                                 : "a feed cable, with its fuse-link";
            judgements.fails(std::move(judgement));
        } else {
            judgement.message = service.meant == 0
                                    ? fmt::format("{} runs in no duty", named(device))
                                    : fmt::format("{} is served in {} of {} duties in which it should run",
                                                  named(device), service.served, service.meant);
            judgements.passes(std::move(judgement));
        }
    }
}

} // namespace

extern const Rule rule_supply_collapse;
const Rule rule_supply_collapse{
    .slug = "supply-collapse",
    .usual = Severity::error,
    .asks = "Does every consumer that should run get a supply that holds?",
    .source = "maximum power of a source behind a resistance: P <= E x E / (4 R)",
    .cure = "more copper on its way, or less power asked",
    .explanation =
        R"(A converter that draws constant power takes more amperes as its volts fall, which makes them fall further. Behind
a resistance R a source of E volts can give E x E / (4 R) watts and no more; beyond that there is no steady
state and the volts break down.
Example: 12.5 V behind 25 mohm of thin cable: at most 12.5 x 12.5 / (4 x 0.025) = 1562 W. A 2 kW inverter there
drops out as soon as it is loaded.
A consumer that no cable feeds, or whose switch is open in every duty in which it should run, is told here too.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
