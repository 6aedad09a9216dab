// exciter-circuit. Does the charge lamp's lead excite the unit, and does the lamp go out?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;
using model::TerminalIndex;

// From memory: a rotor needs about so much to build up its field at the first turn.
constexpr double least_exciting_a = 0.15;
// Common practice, no source: a filament lamp shows no light under a tenth of its volts.
constexpr double dark_fraction = 0.10;

std::optional<TerminalIndex> exciter_of(const Facts& facts, DeviceIndex unit) {
    const auto terminal = model::terminal_of(*facts.harness, unit, model::Role::excite);
    if (!terminal)
        return std::nullopt;
    const bool wired = std::ranges::any_of(facts.harness->cables, [&](const model::Cable& cable) {
        return cable.from.at == *terminal || cable.to.at == *terminal;
    });
    return wired ? terminal : std::nullopt;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const DeviceIndex unit : devices_of(*facts.harness, model::DeviceKind::generator))
        if (exciter_of(facts, unit))
            ids.push_back(facts.harness->device(unit).id);
    return ids;
}

double into_a(const Facts& facts, const solve::OperatingPoint& point, TerminalIndex terminal) {
    double current_a = 0;
    for (std::size_t c = 0; c < facts.harness->cables.size(); ++c) {
        if (facts.harness->cables[c].to.at == terminal)
            current_a += point.cables[c].current_a;
        if (facts.harness->cables[c].from.at == terminal)
            current_a -= point.cables[c].current_a;
    }
    return current_a;
}

// Consumers whose far side hangs on the exciter's lead: the charge lamp, and what stands beside it.
std::vector<DeviceIndex> lamps_of(const Facts& facts, TerminalIndex exciter) {
    std::vector<DeviceIndex> lamps;
    for (const DeviceIndex consumer : devices_of(*facts.harness, model::DeviceKind::consumer)) {
        const auto minus = model::terminal_of(*facts.harness, consumer, model::Role::negative);
        if (minus && facts.topology.component(*minus) == facts.topology.component(exciter))
            lamps.push_back(consumer);
    }
    return lamps;
}

void judge_excitation(const Facts& facts, DeviceIndex unit, TerminalIndex exciter, Judgements& judgements) {
    const model::Device& device = facts.harness->device(unit);
    Judgement judgement = about(device.id, device.span, {});
    for (const DeviceIndex lamp : lamps_of(facts, exciter))
        judgement.subjects.push_back(facts.harness->device(lamp).id);
    if (!facts.key_on) {
        judgement.message =
            fmt::format("{}: the state with the key on and the engine stopped has no answer", named(device));
        judgements.cannot_tell(std::move(judgement));
        return;
    }
    const double current_a = into_a(facts, *facts.key_on, exciter);
    judgement = with_figures(std::move(judgement), {.computed = current_a, .limit = least_exciting_a}, "A",
                             "least current that builds up the field, from memory");
    judgement.message =
        fmt::format("{} gets {} through its exciter lead with the key on and the engine stopped; it needs {}",
                    named(device), base::shown_down(std::max(current_a, 0.0), 3, "A"),
                    base::shown_up(least_exciting_a, 2, "A"));
    if (current_a >= least_exciting_a) {
        judgements.passes(std::move(judgement));
        return;
    }
    judgement.message += ": it may not charge until the engine is revved";
    judgements.fails(std::move(judgement));
}

void judge_lamp(const Facts& facts, DeviceIndex unit, DeviceIndex lamp, Judgements& judgements) {
    const model::Harness& harness = *facts.harness;
    const model::Device& device = harness.device(unit);
    const SolvedDuty* brightest = nullptr;
    const auto volts_in = [&](const SolvedDuty& solved) {
        return std::abs(solved.point->devices[model::at(lamp)].volts_v);
    };
    for (const SolvedDuty& solved : facts.duties)
        if (solved.point && engine_running(harness.duty(solved.duty)) &&
            solved.point->devices[model::at(unit)].current_a > 0 &&
            solved.point->devices[model::at(lamp)].running &&
            (brightest == nullptr || volts_in(solved) > volts_in(*brightest)))
            brightest = &solved;
    if (brightest == nullptr)
        return; // nothing charges in any duty: duty-solved and battery-balance tell that
    Judgement judgement = about(device.id, harness.device(lamp).span, {});
    judgement.subjects.push_back(harness.device(lamp).id);
    judgement.duty = duty_name(harness, brightest->duty);
    const double limit_v = dark_fraction * harness.nominal_v.value;
    judgement = with_figures(std::move(judgement), {.computed = volts_in(*brightest), .limit = limit_v}, "V",
                             "common practice, no source: a tenth of its volts");
    judgement.message =
        fmt::format("{} has {} across it while {} charges (duty {}): {}", named(harness.device(lamp)),
                    volts_up(volts_in(*brightest)), device.id, judgement.duty,
                    exceeds(volts_in(*brightest), limit_v) ? "it glows as if nothing charged" : "dark");
    if (exceeds(volts_in(*brightest), limit_v)) {
        judgement.cure =
            "feed the lamp from the battery's own side of the loss, or cure the drop between unit and lamp";
        judgements.fails(std::move(judgement));
    } else {
        judgements.passes(std::move(judgement));
    }
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const DeviceIndex unit : devices_of(*facts.harness, model::DeviceKind::generator)) {
        const auto exciter = exciter_of(facts, unit);
        if (!exciter)
            continue;
        judge_excitation(facts, unit, *exciter, judgements);
        for (const DeviceIndex lamp : lamps_of(facts, *exciter))
            judge_lamp(facts, unit, lamp, judgements);
    }
}

} // namespace

extern const Rule rule_exciter_circuit;
const Rule rule_exciter_circuit{
    .slug = "exciter-circuit",
    .usual = Severity::warning,
    .asks = "Does the charge lamp's lead excite the unit, and does the lamp go out?",
    .source = "common practice, from memory: about 0.15 A excites a rotor, a 2 to 4 W lamp gives that",
    .cure = "a filament lamp of 2 to 4 W in the lead, or a resistor of 50 to 100 ohm beside a smaller one",
    .explanation =
        R"(Before the first turn the rotor has no field but what the charge lamp's lead brings. With the key on and the
engine stopped: current = battery volts / (lamp + lead + exciter). Too little (a light-emitting diode, a blown
or missing lamp) and the unit sleeps until it is revved. Once it charges, both ends of the lamp stand at the
same volts and it must be dark.
Example: 3 W lamp, 12 x 12 / 3 = 48 ohm, and an exciter of 8 ohm: 12.5 / 56 = 0.22 A: enough. A diode lamp that
takes 20 mA: 0.02 A: not.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
