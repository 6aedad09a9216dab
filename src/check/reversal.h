// A battery or jump leads the wrong way round, against the fuse-links on the way: which open, in what time.
// Room-internal.
#pragma once

#include "check/facts.h"
#include "solve/reversal.h"

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace stoutloom::check {

/// What is put on in reverse where nobody knows what it will be; printed with each answer. Common practice,
/// no source: a van's battery, charged, and workshop leads.
struct Donor {
    static constexpr double cold_cranking_a = 760, lead_section_mm2 = 25, lead_length_m = 3, clamp_ohm = 1e-3;
};

/// One way of going wrong, seen from one charging unit.
struct Reversal {
    std::string what;                   // "G2 the wrong way round", "jump leads in reverse at X1"
    double greatest_a = 0, least_a = 0; // backwards through the unit's diodes
    bool cleared = false;               // the diodes' current is cut within a minute by the slowest specimens
    double within_s = 0;
    std::vector<std::string> opened;       // fuse-links in the order in which they are sure to open
    std::vector<model::DeviceIndex> links; // that carry some of it
    double leads_a = 0;                    // jump leads: with the kit's own batteries full and in place
    /// With the rest of the kit in the circuit: a cable that does not stand what it carries until a link
    /// opens, or for ever, and how much that is.
    std::optional<std::pair<model::CableIndex, double>> harmed = {};
    bool safe() const { return cleared && !harmed; }
};
constexpr double soon_enough_s = 60;

/// Each battery in place with its poles swapped, then jump leads at each battery and at each live post made
/// for them (jump-start). Links that share the current open one after the other, the rest then carrying all;
/// their slowest times add up. Asked alone, and with the kit's other batteries full and its loads on: the
/// greatest and the least of both, and both must be safe.
base::Outcome<std::vector<Reversal>, solve::Unsolved> reversals_of(const Facts& facts,
                                                                   model::DeviceIndex unit);

} // namespace stoutloom::check
