// What each charging unit does in each duty with the engine running: what it holds, where it looks, and what
// the battery really gets.
#pragma once

#include "check/facts.h"

#include <optional>
#include <string>
#include <vector>

namespace stoutloom::check {

struct Charging {
    model::DutyIndex duty{};
    model::DeviceIndex unit{};
    double output_a = 0, ceiling_a = 0;
    double set_point_v = 0;          // at the regulator's temperature, tolerance included where the facts do
    std::optional<double> shaft_rpm; // where the duty tells the engine's speed
    bool remote_sense = false;       // the regulator looks elsewhere than at its own stud
    std::string senses_at;           // address
    double own_v = 0;                // across the unit
    std::optional<model::DeviceIndex> battery;
    double battery_v = 0; // across it
    solve::Regime regime = solve::Regime::idle;
};
/// Solved duties with the engine running, units within each, in file order.
std::vector<Charging> charging(const Facts& facts);

} // namespace stoutloom::check
