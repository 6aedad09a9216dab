// Volts lost between a battery and a unit, feed and return told apart. Shared by the drop rules.
#pragma once

#include "check/facts.h"

#include <optional>
#include <string>
#include <string_view>

namespace stoutloom::check {

/// Volts lost on the way in one duty; positive where the current loses them.
struct Drop {
    model::DutyIndex duty{};
    model::DeviceIndex battery{};
    double feed_v = 0;    // between the two positive terminals
    double return_v = 0;  // between the two negative terminals
    double battery_v = 0; // across the battery
    double current_a = 0; // of the unit
};

/// The battery on the unit's own net that moves the most current in this duty.
std::optional<model::DeviceIndex> battery_of(const Facts& facts, const solve::OperatingPoint& point,
                                             model::DeviceIndex unit);
/// Charging: from the unit to the battery; otherwise from the battery to the unit. Nothing where a terminal
/// floats.
std::optional<Drop> drop_in(const Facts& facts, const SolvedDuty& solved, model::DeviceIndex unit,
                            bool charging);

} // namespace stoutloom::check
