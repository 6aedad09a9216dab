// What each duty does to the batteries: amperes in or out, hours until half empty, minutes until a start is
// paid back.
#pragma once

#include "check/facts.h"

#include <optional>
#include <vector>

namespace stoutloom::check {

/// Share of the charge put in that comes out again, lead-acid; from memory (0.80 to 0.90 over a whole cycle).
constexpr double charge_efficiency = 0.85;

struct BatteryBalance {
    model::DutyIndex duty{};
    model::DeviceIndex battery{};
    double net_a = 0; // positive: charging
    /// All-day duties that drain it: from the duty's own charge down to half of the capacity; 0 where it is
    /// there already.
    std::optional<double> hours_to_half;
    /// Duties of limited length that drain it: what they take, and how long each all-day duty with the engine
    /// running needs to put it back (nothing: none of them charges it). The slowest is idle, the quickest the
    /// one in which most goes in; both are told.
    double taken_ah = 0;
    std::optional<double> recovery_idle_s, recovery_best_s;
    std::optional<model::DutyIndex> best_duty;
};
/// Solved duties, batteries within each, in file order.
std::vector<BatteryBalance> battery_balances(const Facts& facts);

} // namespace stoutloom::check
