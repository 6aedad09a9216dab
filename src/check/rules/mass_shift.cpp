// mass-shift. Do all masses stand at the same volts?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;

// Masses that metal joins to battery negative; a mass that hangs loose has no volts to compare.
std::vector<DeviceIndex> joined_masses(const Facts& facts) {
    const std::vector<bool> at_negative = nodes_at_battery_negative(facts);
    std::vector<DeviceIndex> masses;
    for (const DeviceIndex mass : devices_of(*facts.harness, model::DeviceKind::mass))
        if (at_negative[static_cast<std::size_t>(facts.topology.node(model::metal_of(*facts.harness, mass)))])
            masses.push_back(mass);
    return masses;
}

std::vector<std::string> subjects(const Facts& facts) {
    const std::vector<DeviceIndex> masses = joined_masses(facts);
    std::vector<std::string> ids;
    // One mass alone has nothing to differ from.
    if (masses.size() < 2)
        return ids;
    for (const DeviceIndex mass : masses)
        ids.push_back(facts.harness->device(mass).id);
    return ids;
}

struct Shift {
    std::optional<model::DutyIndex> duty;
    DeviceIndex other{};
    double volts_v = 0, limit_v = 0;
    std::string source;
};

// The greatest share of its limit, over all duties and all other masses.
Shift worst_shift(const Facts& facts, const std::vector<DeviceIndex>& masses, DeviceIndex mass) {
    Shift worst;
    const auto potential = [&](const solve::OperatingPoint& point, DeviceIndex d) {
        return point.terminal_v[model::at(model::metal_of(*facts.harness, d))];
    };
    for (const SolvedDuty& solved : facts.duties) {
        if (!solved.point)
            continue;
        const bool cranking = facts.harness->duty(solved.duty).engine == model::Engine::cranking;
        const model::LimitInForce limit =
            model::limit_in_force(*facts.harness, cranking ? "mass-shift-cranking" : "mass-shift");
        for (const DeviceIndex other : masses) {
            if (other == mass)
                continue;
            const double volts_v = std::abs(potential(*solved.point, mass) - potential(*solved.point, other));
            if (!std::isfinite(volts_v))
                continue;
            if (!worst.duty || volts_v / limit.value > worst.volts_v / worst.limit_v)
                worst = {solved.duty, other, volts_v, limit.value, limit.source};
        }
    }
    return worst;
}

void judge(const Facts& facts, Judgements& judgements) {
    const std::vector<DeviceIndex> masses = joined_masses(facts);
    if (masses.size() < 2)
        return;
    std::vector<std::pair<DeviceIndex, DeviceIndex>> told;
    for (const DeviceIndex mass : masses) {
        const model::Device& device = facts.harness->device(mass);
        const Shift shift = worst_shift(facts, masses, mass);
        Judgement judgement = about(device.id, device.span, {});
        if (!shift.duty) {
            judgement.message =
                fmt::format("{}: no solved duty tells its volts against the other masses", named(device));
            judgements.cannot_tell(for_want_of_duties(facts, std::move(judgement)));
            continue;
        }
        const model::Device& other = facts.harness->device(shift.other);
        judgement.subjects.push_back(other.id);
        judgement.duty = duty_name(*facts.harness, *shift.duty);
        judgement = with_figures(std::move(judgement), {.computed = shift.volts_v, .limit = shift.limit_v},
                                 "V", shift.source);
        judgement.message =
            fmt::format("{} stands {} from {} in duty {}; {} is the limit", named(device),
                        volts_up(shift.volts_v), named(other), judgement.duty, volts_down(shift.limit_v));
        const bool mirrored = std::find(told.begin(), told.end(), std::pair(shift.other, mass)) != told.end();
        told.emplace_back(mass, shift.other);
        if (!exceeds(shift.volts_v, shift.limit_v)) {
            judgements.passes(std::move(judgement));
        } else if (mirrored) {
            continue; // the other mass has this pair as a subject too, and tells it
        } else {
            judgements.fails(std::move(judgement));
        }
    }
}

} // namespace

extern const Rule rule_mass_shift;
const Rule rule_mass_shift{
    .slug = "mass-shift",
    .usual = Severity::warning,
    .asks = "Do all masses stand at the same volts?",
    .source = "common practice, no source: 0.1 V while charging, 0.5 V while cranking, at 12 V",
    .cure = "a thicker or a second strap between the two masses",
    .explanation =
        R"(Sensors, control units and gauges measure against the mass they sit on. If engine and body differ by I x R of the
strap between them, every reading moves with the load, and every thin wire between them carries a share.
Example: 160 A through a strap of 16 mm2, 0.4 m, warm 0.6 mohm, and two joints of 0.15 mohm: 160 x 0.0009 =
0.14 V, over the 0.1 V that is usual while charging. 95 mm2 and clean joints: 160 x 0.0003 = 0.05 V.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
