// The way that the current takes from one terminal to another in a solved duty, part by part with the volts
// it loses.
#pragma once

#include "report/report.h"

#include <optional>
#include <vector>

namespace stoutloom::report {

/// One cable, or one part with two ends (fuse-link, switch, shunt, relay contact), or the metal of a mass
/// from stud to stud.
struct WayPart {
    std::optional<model::CableIndex> cable;
    std::optional<model::DeviceIndex> device; // if it is no cable
    model::TerminalIndex from{}, to{};
    double drop_v = 0; // from above to
};
/// The way whose least current is greatest, so that a thin lead beside the heavy path is not taken; of equal
/// ways the one with fewest parts. Posts are left out. Empty if nothing joins the two, or if the volts of a
/// terminal on the way are unknown.
std::vector<WayPart> way_between(const model::Harness& harness, const solve::OperatingPoint& point,
                                 model::TerminalIndex from, model::TerminalIndex to);

/// The cable on a terminal that carries most in this point.
std::optional<model::CableIndex> heaviest_cable_on(const model::Harness& harness,
                                                   const solve::OperatingPoint& point,
                                                   model::TerminalIndex terminal);

} // namespace stoutloom::report
