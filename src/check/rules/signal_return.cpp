// signal-return. Does anything that measures share its return with heavy current?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const DeviceIndex unit : measuring_units(facts))
        ids.push_back(facts.harness->device(unit).id);
    return ids;
}

struct Shift {
    std::optional<model::DutyIndex> duty;
    double volts_v = 0, limit_v = 1;
    std::string source;
};

// Its negative against that of the battery it is nearest to; its own few amperes are part of it.
Shift worst_shift(const Facts& facts, DeviceIndex unit) {
    Shift worst;
    const auto minus = model::terminal_of(*facts.harness, unit, model::Role::negative);
    for (const SolvedDuty& solved : facts.duties) {
        if (!solved.point || !minus)
            continue;
        const bool cranking = facts.harness->duty(solved.duty).engine == model::Engine::cranking;
        const model::LimitInForce limit =
            model::limit_in_force(*facts.harness, cranking ? "mass-shift-cranking" : "mass-shift");
        double least_v = std::numeric_limits<double>::infinity();
        for (const DeviceIndex battery : devices_of(*facts.harness, model::DeviceKind::battery)) {
            const auto ground = model::terminal_of(*facts.harness, battery, model::Role::negative);
            if (ground && facts.topology.component(*ground) == facts.topology.component(*minus))
                least_v = std::min(least_v, std::abs(solved.point->terminal_v[model::at(*minus)] -
                                                     solved.point->terminal_v[model::at(*ground)]));
        }
        if (std::isfinite(least_v) && (!worst.duty || least_v / limit.value > worst.volts_v / worst.limit_v))
            worst = {solved.duty, least_v, limit.value, limit.source};
    }
    return worst;
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const DeviceIndex unit : measuring_units(facts)) {
        const model::Device& device = facts.harness->device(unit);
        Judgement judgement = about(device.id, device.span, {});
        const Shift shift = worst_shift(facts, unit);
        if (!shift.duty) {
            judgement.message = fmt::format("{}: no solved duty tells its volts", named(device));
            judgements.cannot_tell(for_want_of_duties(facts, std::move(judgement)));
            continue;
        }
        // mass-shift tells a shift of the metal once, about either of two masses.
        if (device.seat)
            for (const DeviceIndex mass : devices_of(*facts.harness, model::DeviceKind::mass))
                judgement.subjects.push_back(facts.harness->device(mass).id);
        judgement.duty = duty_name(*facts.harness, *shift.duty);
        judgement = with_figures(std::move(judgement), {.computed = shift.volts_v, .limit = shift.limit_v},
                                 "V", shift.source);
        judgement.message =
            fmt::format("the return of {} stands {} from battery negative in duty {}; {} is the limit",
                        named(device), volts_up(shift.volts_v), judgement.duty, volts_down(shift.limit_v));
        if (!exceeds(shift.volts_v, shift.limit_v)) {
            judgements.passes(std::move(judgement));
            continue;
        }
        judgement.message += ": what it measures shifts with the load on that path";
        judgement.yields_to = {"mass-shift"};
        judgements.fails(std::move(judgement));
    }
}

} // namespace

extern const Rule rule_signal_return;
const Rule rule_signal_return{
    .slug = "signal-return",
    .usual = Severity::warning,
    .asks = "Does anything that measures share its return with heavy current?",
    .source = "the limits mass-shift and mass-shift-cranking: common practice, no source",
    .cure = "a return of its own to the battery's ground point, or more copper in the path they share",
    .explanation =
        R"(A gauge, a sender or a control unit takes its negative for zero. Where that negative hangs on a strap that also
carries the charging or the cooling fan's current, zero moves with the load, and so does everything it shows.
Asked is the shift of each consumer drawn as electronics against battery negative.
Example: 90 A through 2 mohm of old strap: 0.18 V; a sender of 10 to 180 ohm then reads a tenth wrong.
A charging unit's own sense lead is judged by charging-drop: it sees the drop of the feed, not that of the return.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
