// What a wrong assembly would do: the network is rewired, followed and solved, and the worst is told in the
// order in which a workshop would notice it.
#include "check/facts.h"

#include "check/subjects.h"
#include "check/words.h"
#include "physics/source.h"
#include "solve/sources.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;
using model::DeviceKind;
using model::Role;

model::Harness rewired(const model::Harness& harness, const WrongAssembly& wrong) {
    model::Harness changed = harness;
    for (const Placed& placed : wrong.moved) {
        model::Cable& cable = changed.cables[model::at(placed.end.cable)];
        (placed.end.end == 0 ? cable.from : cable.to).at = placed.stud;
    }
    return changed;
}

struct Telling {
    const model::Harness& before;
    const Facts& facts;
    model::Harness after;
    Topology topology;
    std::vector<std::string> said;
    bool harmful = false;

    std::optional<int> component(DeviceIndex device, Role role) const {
        const auto terminal = model::terminal_of(after, device, role);
        if (!terminal)
            return std::nullopt;
        return topology.component(*terminal);
    }

    void say(std::string words, bool harms) {
        said.push_back(std::move(words));
        harmful |= harms;
    }

    double short_circuit_a(DeviceIndex battery) const {
        const auto& about = std::get<model::Battery>(after.device(battery).data);
        const double emf_v = about.emf_v
                                 ? about.emf_v->value
                                 : physics::battery_emf_v(static_cast<physics::BatteryKind>(about.kind),
                                                          after.nominal_v.value, 1.0);
        return emf_v / solve::battery_least_ohm(after, battery);
    }

    void tell_short_circuits() {
        for (const DeviceIndex battery : devices_of(after, DeviceKind::battery)) {
            const auto plus = component(battery, Role::positive), minus = component(battery, Role::negative);
            if (plus && minus && *plus == *minus)
                say(fmt::format("{} is short-circuited, up to {}", after.device(battery).id,
                                amps_up(short_circuit_a(battery))),
                    true);
        }
    }

    // A unit's rectifier conducts from its negative to its positive stud: a battery the wrong way round is a
    // short.
    void tell_units() {
        for (const DeviceIndex unit : devices_of(after, DeviceKind::generator)) {
            const std::string& id = after.device(unit).id;
            const auto plus = component(unit, Role::positive), minus = component(unit, Role::negative);
            bool has_battery = false;
            for (const DeviceIndex battery : devices_of(after, DeviceKind::battery)) {
                const auto live = component(battery, Role::positive),
                           ground = component(battery, Role::negative);
                if (live && ground && *live != *ground && plus == ground && minus == live)
                    say(fmt::format("the battery meets the diodes of {} the wrong way round, up to {}", id,
                                    amps_up(short_circuit_a(battery))),
                        true);
                has_battery |= plus.has_value() && plus == live;
            }
            if (plus && !has_battery && !harmful && topology_had_battery(unit))
                say(fmt::format("{} charges no battery and its volts leap", id), true);
        }
    }

    bool topology_had_battery(DeviceIndex unit) const {
        const auto plus = model::terminal_of(before, unit, Role::positive);
        const auto batteries = devices_of(before, DeviceKind::battery);
        return std::any_of(batteries.begin(), batteries.end(), [&](DeviceIndex battery) {
            const auto live = model::terminal_of(before, battery, Role::positive);
            return plus && live && facts.topology.component(*plus) == facts.topology.component(*live);
        });
    }

    bool unfused(const Topology& paths, model::CableIndex cable) const {
        return std::any_of(paths.feeds.begin(), paths.feeds.end(), [&](const FeedPath& feed) {
            return feed.cable == cable && feed.fuse_links.empty() &&
                   before.device(feed.source).kind() == DeviceKind::battery;
        });
    }

    void tell_protection() {
        std::vector<std::string> bare;
        for (std::size_t c = 0; c < after.cables.size(); ++c) {
            const auto cable = static_cast<model::CableIndex>(c);
            if (unfused(topology, cable) && !unfused(facts.topology, cable))
                bare.push_back(after.cables[c].id);
        }
        if (!bare.empty())
            say(fmt::format("{} {} no fuse-link between {} and the battery", listed(bare),
                            bare.size() == 1 ? "has" : "have", bare.size() == 1 ? "it" : "them"),
                true);
    }

    // Volts across a part before and after, in one duty: reversed, dead, or as before.
    void tell_volts(const solve::OperatingPoint& was, const solve::OperatingPoint& now) {
        std::vector<std::string> reversed, dead;
        bool harms = false;
        for (const DeviceIndex unit : units_with_return(after)) {
            const double volts_before = was.devices[model::at(unit)].volts_v;
            const double volts_now = now.devices[model::at(unit)].volts_v;
            const DeviceKind kind = after.device(unit).kind();
            if (!(volts_before > 0.5 * after.nominal_v.value))
                continue;
            if (volts_now < -1) {
                reversed.push_back(after.device(unit).id);
                // A consumer or a starter the wrong way round is one part's loss, told as a warning.
                harms |= kind == DeviceKind::generator;
            } else if (kind == DeviceKind::consumer && !(volts_now > 0.5 * after.nominal_v.value)) {
                dead.push_back(after.device(unit).id);
            }
        }
        if (!reversed.empty())
            say(fmt::format("{} {} reversed", listed(reversed), reversed.size() == 1 ? "is" : "are"), harms);
        if (!dead.empty())
            say(fmt::format("{} {} not work", listed(dead), dead.size() == 1 ? "does" : "do"), false);
    }

    void tell_currents(const solve::OperatingPoint& was, const solve::OperatingPoint& now) {
        double worst = 1;
        std::string words;
        for (std::size_t c = 0; c < after.cables.size(); ++c) {
            const double usable_a = facts.ratings[c].usable_a;
            const double current_a = std::abs(now.cables[c].current_a);
            if (!(usable_a > 0) || std::abs(was.cables[c].current_a) > usable_a ||
                current_a <= worst * usable_a)
                continue;
            worst = current_a / usable_a;
            words = fmt::format("{} carries {}, {} what it may", after.cables[c].id, amps_up(current_a),
                                times_up(worst));
        }
        if (!words.empty())
            say(words, true);
    }

    // The duty that loads the kit most: rated, else any with the engine running, else any at all.
    const SolvedDuty* telling_duty() const {
        const SolvedDuty* best = nullptr;
        const auto worth = [&](const SolvedDuty& solved) {
            const model::Duty& duty = before.duty(solved.duty);
            return duty.engine == model::Engine::rated ? 2 : engine_running(duty) ? 1 : 0;
        };
        for (const SolvedDuty& solved : facts.duties)
            if (solved.point && (best == nullptr || worth(solved) > worth(*best)))
                best = &solved;
        return best;
    }

    void tell_solved(const WrongAssembly& wrong) {
        const SolvedDuty* solved = telling_duty();
        if (solved == nullptr)
            return;
        solve::Variation as_moved;
        for (const Placed& placed : wrong.moved)
            as_moved.rewired.push_back(
                {.cable = placed.end.cable, .end = placed.end.end, .now_at = placed.stud});
        const auto now = solve::operating_point(before, before.duty(solved->duty), as_moved);
        if (!now) {
            say("the rewired network has no steady state", true);
            return;
        }
        tell_volts(*solved->point, *now);
        tell_currents(*solved->point, *now);
    }
};

} // namespace

void add_consequence(const model::Harness& harness, const Facts& facts, WrongAssembly& wrong) {
    Telling telling{.before = harness,
                    .facts = facts,
                    .after = rewired(harness, wrong),
                    .topology = {},
                    .said = {},
                    .harmful = false};
    telling.topology = topology_of(telling.after);
    telling.tell_short_circuits();
    telling.tell_units();
    const bool short_circuited = telling.harmful;
    telling.tell_protection();
    if (!short_circuited)
        telling.tell_solved(wrong);
    wrong.harmful = telling.harmful;
    wrong.consequence = telling.said.empty()
                            ? "no harm found by computation, but not the circuit that was meant"
                            : listed(telling.said);
}

} // namespace stoutloom::check
