// The real way back of every unit's current: how much of it comes by cable alone, how much through the metal
// of a mass, how much by a path nobody meant.
//
// Followed through the solved currents of a duty: from the unit's negative on, what enters a node leaves it
// in proportion to what flows out of it (the return side is passive, so flows fall with the volts and never
// circle). A share that has once passed metal counts as metal, one that has passed an incidental path as
// incidental.
#pragma once

#include "check/facts.h"

#include <string>
#include <vector>

namespace stoutloom::check {

struct ReturnShare {
    model::DeviceIndex unit{};
    model::DutyIndex duty{};
    double current_a = 0;
    double copper_fraction = 0, mass_fraction = 0, incidental_fraction = 0; // add up to 1 but for rounding
    std::vector<model::CableIndex> cables = {};           // that carry some of it, file order
    std::vector<model::IncidentalIndex> incidentals = {}; // likewise
    double shift_v = 0; // its negative against the negative of the first battery on its net
};
/// Consumers, starters and generators with a return, in the solved duty in which they move the greatest
/// current.
std::vector<ReturnShare> return_shares(const Facts& facts);

} // namespace stoutloom::check
