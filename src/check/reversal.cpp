#include "check/reversal.h"

#include "check/protection.h"
#include "check/subjects.h"
#include "physics/conductor.h"
#include "physics/source.h"
#include "solve/sources.h"

#include <fmt/format.h>

#include <algorithm>

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

/// A post says so in its label; nobody clamps leads on a bulkhead connector.
bool is_for_jump_leads(const model::Device& post) {
    std::string label = post.label;
    std::transform(label.begin(), label.end(), label.begin(), [](char letter) {
        return letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
    });
    return label.find("jump") != std::string::npos;
}

struct Case {
    std::string what;
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
        cases.push_back({.what = id + " the wrong way round", .hung = reversed_in_place(harness, battery)});
        jumps.push_back({.what = "jump leads in reverse at " + id,
                         .hung = donor_at(harness, *plus, *minus),
                         .jump = true});
        for (const DeviceIndex post : devices_of(harness, DeviceKind::post)) {
            const model::TerminalIndex stud = harness.device(post).terminals.front();
            if (is_for_jump_leads(harness.device(post)) &&
                facts.topology.component(stud) == facts.topology.component(*plus))
                jumps.push_back({.what = "jump leads in reverse at " + harness.device(post).id,
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
        if (slowest_s < soon_enough_s && (!first || slowest_s < first->second))
            first = {link, slowest_s};
    }
    return first;
}

base::Outcome<void, Unsolved> open_in_turn(const model::Harness& harness, DeviceIndex unit,
                                           const HungBattery& weak, Reversal& told) {
    constexpr double carried_a = 1; // less harms nobody
    std::vector<DeviceIndex> opened;
    for (;;) {
        const auto now = solve::reversed_currents(harness, {weak}, opened, Reckoning::least);
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

/// The kit's own battery, full and the right way round.
std::vector<HungBattery> with_own_battery(const model::Harness& harness, const HungBattery& donor) {
    std::vector<HungBattery> both = {donor};
    for (const DeviceIndex battery : devices_of(harness, DeviceKind::battery))
        if (model::terminal_of(harness, battery, Role::negative) == donor.plus) {
            both.push_back(reversed_in_place(harness, battery).strong);
            std::swap(both.back().plus, both.back().minus);
        }
    return both;
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
        if (auto done = open_in_turn(harness, unit, one.hung.weak, told); !done)
            return base::failure(Unsolved{done.error()});
        if (one.jump)
            if (const auto both = solve::reversed_currents(
                    harness, with_own_battery(harness, one.hung.strong), {}, Reckoning::greatest))
                told.leads_a = both->hung_a.front();
        all.push_back(std::move(told));
    }
    return all;
}

} // namespace stoutloom::check
