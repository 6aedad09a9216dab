#include "check/drops.h"

#include "check/subjects.h"

#include <cmath>

namespace stoutloom::check {

using model::DeviceIndex;
using model::Role;

std::optional<DeviceIndex> battery_of(const Facts& facts, const solve::OperatingPoint& point,
                                      DeviceIndex unit) {
    const auto plus = model::terminal_of(*facts.harness, unit, Role::positive);
    if (!plus)
        return std::nullopt;
    std::optional<DeviceIndex> best;
    for (const DeviceIndex battery : devices_of(*facts.harness, model::DeviceKind::battery)) {
        const auto live = model::terminal_of(*facts.harness, battery, Role::positive);
        if (!live || facts.topology.component(*live) != facts.topology.component(*plus))
            continue;
        const auto moved_a = [&](DeviceIndex d) { return std::abs(point.devices[model::at(d)].current_a); };
        if (!best || moved_a(battery) > moved_a(*best))
            best = battery;
    }
    return best;
}

std::optional<Drop> drop_in(const Facts& facts, const SolvedDuty& solved, DeviceIndex unit, bool charging) {
    if (!solved.point)
        return std::nullopt;
    const model::Harness& harness = *facts.harness;
    const auto battery = battery_of(facts, *solved.point, unit);
    if (!battery)
        return std::nullopt;
    const auto volts = [&](DeviceIndex device, Role role) {
        const auto terminal = model::terminal_of(harness, device, role);
        return terminal ? solved.point->terminal_v[model::at(*terminal)] : std::nan("");
    };
    Drop drop{.duty = solved.duty,
              .battery = *battery,
              .feed_v = volts(unit, Role::positive) - volts(*battery, Role::positive),
              .return_v = volts(*battery, Role::negative) - volts(unit, Role::negative),
              .battery_v = volts(*battery, Role::positive) - volts(*battery, Role::negative),
              .current_a = solved.point->devices[model::at(unit)].current_a};
    if (!charging) {
        drop.feed_v = -drop.feed_v;
        drop.return_v = -drop.return_v;
    }
    if (!std::isfinite(drop.feed_v) || !std::isfinite(drop.return_v))
        return std::nullopt;
    return drop;
}

} // namespace stoutloom::check
