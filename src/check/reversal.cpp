#include "check/reversal.h"

#include "check/protection.h"
#include "check/subjects.h"
#include "physics/conductor.h"
#include "physics/source.h"
#include "solve/sources.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;
using model::DeviceKind;
using model::Role;
using solve::HungBattery;
using solve::Reckoning;
using solve::Unsolved;

// What hangs in the circuit, as strong and as weak as it may be.
struct Hung {
    HungBattery strong, weak;
};

Hung reversed_in_place(const model::Harness& harness, DeviceIndex battery) {
    const auto plus = *model::terminal_of(harness, battery, Role::positive);
    const auto minus = *model::terminal_of(harness, battery, Role::negative);
    model::Duty full, quarter;
    full.charge_fraction.value = 1.0;
    quarter.charge_fraction.value = 0.25;
    const solve::BatteryLaw strong = solve::battery_law(harness, full, battery, solve::Supply::weakest);
    const solve::BatteryLaw weak = solve::battery_law(harness, quarter, battery, solve::Supply::weakest);
    return {.strong = {.plus = minus,
                       .minus = plus,
                       .emf_v = strong.emf_v,
                       .ohm = solve::battery_least_ohm(harness, battery)},
            .weak = {.plus = minus, .minus = plus, .emf_v = weak.emf_v, .ohm = weak.resistance_ohm}};
}

/// Its + clamp on the kit's ground, its - clamp on a live stud.
Hung donor_at(const model::Harness& harness, model::TerminalIndex live, model::TerminalIndex ground) {
    const double nominal_v = harness.nominal_v.value;
    const auto inside = physics::battery_resistance_ohm(nominal_v, Donor::cold_cranking_a);
    const auto lead = physics::conductor_for(Donor::lead_section_mm2);
    const double leads_ohm = 2 * Donor::lead_length_m * (lead ? lead->r20_ohm_per_m : 0);
    constexpr double warm = 1.2;
    const auto emf_v = [&](double charge) {
        return physics::battery_emf_v(physics::BatteryKind::flooded, nominal_v, charge);
    };
    return {.strong = {.plus = ground, .minus = live, .emf_v = emf_v(1.0), .ohm = inside.low_ohm + leads_ohm},
            .weak = {.plus = ground,
                     .minus = live,
                     .emf_v = emf_v(0.75),
                     .ohm = inside.high_ohm + warm * leads_ohm + 4 * Donor::clamp_ohm}};
}

struct Case {
    std::string what;
    DeviceIndex battery{}; // that hangs in reverse, or counts as dead while jump leads push
    Hung hung;
    bool jump = false;
};

std::vector<Case> cases_of(const Facts& facts) {
    const model::Harness& harness = *facts.harness;
    std::vector<Case> cases, jumps;
    for (const DeviceIndex battery : devices_of(harness, DeviceKind::battery)) {
        const auto plus = model::terminal_of(harness, battery, Role::positive);
        const auto minus = model::terminal_of(harness, battery, Role::negative);
        if (!plus || !minus)
            continue;
        const std::string& id = harness.device(battery).id;
        cases.push_back({.what = id + " the wrong way round",
                         .battery = battery,
                         .hung = reversed_in_place(harness, battery)});
        jumps.push_back({.what = "jump leads in reverse at " + id,
                         .battery = battery,
                         .hung = donor_at(harness, *plus, *minus),
                         .jump = true});
        for (const DeviceIndex post : devices_of(harness, DeviceKind::post)) {
            const model::TerminalIndex stud = harness.device(post).terminals.front();
            if (std::get<model::Post>(harness.device(post).data).jump_start &&
                facts.topology.component(stud) == facts.topology.component(*plus))
                jumps.push_back({.what = "jump leads in reverse at " + harness.device(post).id,
                                 .battery = battery,
                                 .hung = donor_at(harness, stud, *minus),
                                 .jump = true});
        }
    }
    cases.insert(cases.end(), jumps.begin(), jumps.end());
    return cases;
}

/// The link that is sure to open first at these currents.
std::optional<std::pair<DeviceIndex, double>> next_to_open(const model::Harness& harness,
                                                           const std::vector<double>& link_a) {
    std::optional<std::pair<DeviceIndex, double>> first;
    for (const DeviceIndex link : devices_of(harness, DeviceKind::fuse_link)) {
        const LinkTogether together = link_alone(harness, link);
        if (together.type == nullptr)
            continue;
        const double slowest_s = band_at(together, link_a[model::at(link)]).slowest_s;
        if (std::isfinite(slowest_s) && (!first || slowest_s < first->second))
            first = {link, slowest_s};
    }
    return first;
}

/// Harm done to each cable: the time it has carried a current over the time that it stands it.
class Wear {
  public:
    explicit Wear(const Facts& facts) : facts_(facts), spent_(facts.harness->cables.size(), 0.0) {}
    /// Adds so many seconds at these currents. Returns the worst cable that does not stand it, and its
    /// current.
    std::optional<std::pair<model::CableIndex, double>> add(const std::vector<double>& cable_a,
                                                            double time_s);

  private:
    const Facts& facts_;
    std::vector<double> spent_;
};

std::optional<std::pair<model::CableIndex, double>> Wear::add(const std::vector<double>& cable_a,
                                                              double time_s) {
    std::optional<std::pair<model::CableIndex, double>> worst;
    double fastest = 0;
    for (std::size_t c = 0; c < cable_a.size(); ++c) {
        const auto index = static_cast<model::CableIndex>(c);
        const double usable_a = facts_.ratings[c].usable_a;
        if (!(usable_a > 0) || facts_.harness->cable(index).automatic ||
            too_warm_without_current(facts_, index) || cable_a[c] <= usable_a)
            continue;
        const double rate = 1 / damage_time_s(*facts_.harness, facts_, index, cable_a[c]);
        if (!(rate > 0))
            continue;
        spent_[c] += time_s * rate;
        if (spent_[c] <= 1 || rate <= fastest)
            continue;
        fastest = rate;
        worst = {index, cable_a[c]};
    }
    return worst;
}

/// One case with these batteries and nothing else: which links open, one after the other, until the unit's
/// diodes carry nothing or nothing more is sure to open in time.
base::Outcome<void, Unsolved> open_in_turn(const model::Harness& harness, DeviceIndex unit,
                                           const std::vector<HungBattery>& hung, Reversal& told) {
    constexpr double carried_a = 1; // less harms nobody
    std::vector<DeviceIndex> opened;
    for (;;) {
        const auto now = solve::reversed_currents(harness, hung, opened, Reckoning::least);
        if (!now)
            return base::failure(Unsolved{now.error()});
        const double unit_a = now->unit_a[model::at(unit)];
        if (opened.empty()) {
            told.least_a = unit_a;
            for (const DeviceIndex link : devices_of(harness, DeviceKind::fuse_link))
                if (now->link_a[model::at(link)] > carried_a)
                    told.links.push_back(link);
        }
        told.cleared = unit_a <= carried_a;
        if (told.cleared)
            return {};
        const auto next = next_to_open(harness, now->link_a);
        if (!next || told.within_s + next->second >= soon_enough_s)
            return {};
        told.within_s += next->second;
        told.opened.push_back(harness.device(next->first).id);
        opened.push_back(next->first);
    }
}

/// Batteries of the kit but one, full and the right way round.
std::vector<HungBattery> with_others(const model::Harness& harness, const HungBattery& hung,
                                     std::optional<DeviceIndex> out) {
    std::vector<HungBattery> all = {hung};
    for (const DeviceIndex battery : devices_of(harness, DeviceKind::battery)) {
        if (battery == out || !model::terminal_of(harness, battery, Role::positive) ||
            !model::terminal_of(harness, battery, Role::negative))
            continue;
        all.push_back(reversed_in_place(harness, battery).strong);
        std::swap(all.back().plus, all.back().minus);
    }
    return all;
}

/// The rest of the kit in the circuit: other batteries hold the volts up and loads pull them down, so less
/// flows through the diodes and a link may be slower, or never open at all. Then the cables must stand it.
base::Outcome<void, Unsolved> ask_with_the_rest(const Facts& facts, DeviceIndex unit, const Case& one,
                                                Reversal& told) {
    const model::Harness& harness = *facts.harness;
    const auto greatest =
        solve::reversed_currents(harness, with_others(harness, one.hung.strong, one.battery), {},
                                 Reckoning::greatest, solve::few_volts_factor);
    if (!greatest)
        return base::failure(Unsolved{greatest.error()});
    told.greatest_a = std::max(told.greatest_a, greatest->unit_a[model::at(unit)]);
    const std::vector<HungBattery> hung = with_others(harness, one.hung.weak, one.battery);
    const auto least = solve::reversed_currents(harness, hung, {}, Reckoning::least, solve::few_volts_factor);
    if (!least)
        return base::failure(Unsolved{least.error()});
    told.least_a = std::min(told.least_a, least->unit_a[model::at(unit)]);
    std::vector<DeviceIndex> opened;
    Wear wear(facts);
    for (;;) {
        const auto now = solve::reversed_currents(harness, hung, opened, Reckoning::least, 1);
        if (!now)
            return base::failure(Unsolved{now.error()});
        const auto next = next_to_open(harness, now->link_a);
        told.harmed = wear.add(now->cable_a, next ? next->second : std::numeric_limits<double>::infinity());
        if (told.harmed || !next)
            return {};
        opened.push_back(next->first);
    }
}

} // namespace

base::Outcome<std::vector<Reversal>, Unsolved> reversals_of(const Facts& facts, DeviceIndex unit) {
    const model::Harness& harness = *facts.harness;
    std::vector<Reversal> all;
    for (const Case& one : cases_of(facts)) {
        Reversal told{.what = one.what, .opened = {}, .links = {}};
        const auto greatest = solve::reversed_currents(harness, {one.hung.strong}, {}, Reckoning::greatest);
        if (!greatest)
            return base::failure(Unsolved{greatest.error()});
        told.greatest_a = greatest->unit_a[model::at(unit)];
        if (told.greatest_a < 1)
            continue; // it never meets this unit
        if (auto done = open_in_turn(harness, unit, {one.hung.weak}, told); !done)
            return base::failure(Unsolved{done.error()});
        if (auto done = ask_with_the_rest(facts, unit, one, told); !done)
            return base::failure(Unsolved{done.error()});
        if (one.jump)
            if (const auto both = solve::reversed_currents(
                    harness, with_others(harness, one.hung.strong, std::nullopt), {}, Reckoning::greatest))
                told.leads_a = both->hung_a.front();
        all.push_back(std::move(told));
    }
    return all;
}

} // namespace stoutloom::check
