// Room-internal: what one failure in one duty does to each path, cable, part and unit, with the words for it.
#pragma once

#include "check/facts.h"
#include "check/faults.h"

#include <optional>
#include <vector>

namespace stoutloom::check {

/// One failure in one duty beside the healthy answer.
struct FaultScene {
    const Facts& facts;
    const model::Duty& duty;
    const solve::OperatingPoint& healthy;
    const solve::FailureResult& result;
    std::string_view choice =
        {}; // what is switched on, where it is not the duty's own: " with everything on"
};

/// An incidental path past its limit that was not so before.
std::optional<Consequence> through_incidental(const FaultScene& scene, std::size_t path);
/// A cable past what it may carry, all day or in this short duty; and the fuse-link that then opens, if one
/// does in time.
std::vector<Consequence> in_cable(const FaultScene& scene, model::CableIndex index);
/// A switch, relay or shunt past its rating.
std::optional<Consequence> through_part(const FaultScene& scene, model::DeviceIndex index);
/// A fuse-link that the failure loads so that it is sure to open in this duty.
std::optional<Consequence> through_link(const FaultScene& scene, model::DeviceIndex link);
/// Dead consumers, units without battery or sense, consumers at too many volts.
std::vector<Consequence> in_units(const FaultScene& scene);

/// Whether the failure is a hand on a switch while the engine runs, not an accident.
bool hand_operated(const model::Harness& harness, const solve::Failure& failure);
Grave gravity_of(const Facts& facts, const solve::Failure& failure,
                 const std::vector<Consequence>& consequences);

} // namespace stoutloom::check
