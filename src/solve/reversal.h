// What flows when a battery, or an outside one on jump leads, is put on the wrong way round: backwards
// through the diodes of the charging units, and through every cable and fuse-link on the way.
#pragma once

#include "base/outcome.h"
#include "model/harness.h"
#include "solve/solve.h"

#include <vector>

namespace stoutloom::solve {

/// A battery as it really hangs: its + pole at `plus`.
struct HungBattery {
    model::TerminalIndex plus{}, minus{};
    double emf_v = 0, ohm = 0;
};
/// One figure for what must be withstood, one for what must still open a fuse-link in time.
enum class Reckoning { greatest, least };

struct ReversedCurrents {
    std::vector<double> unit_a;  // by DeviceIndex: backwards through its diodes; 0 for others
    std::vector<double> cable_a; // by CableIndex, magnitude
    std::vector<double> link_a;  // by DeviceIndex: fuse-links, magnitude
    std::vector<double> hung_a;  // by battery of the call, magnitude
};
/// A load under a few reversed volts: the resistance that it has at nominal volts, times this, for a filament
/// is colder then. From memory, doubtful.
constexpr double few_volts_factor = 1.0 / 3;
/// Two silicon diodes in series, each a volt at fault current (least reckoning; none in the greatest).
constexpr double reversed_diodes_v = 2.0;

/// Greatest: cold copper, clean joints, fuse-links and diodes of no resistance. Least: copper at its class,
/// aged joints, hot fuse-links, two diodes. `opened`: fuse-links that have gone already. Only the batteries
/// told are in the circuit, and where `load_factor` is not 0 every consumer, as so many times the resistance
/// that it has at nominal volts. Errors: a section beyond the tables, diodes that do not settle.
base::Outcome<ReversedCurrents, Unsolved> reversed_currents(const model::Harness& harness,
                                                            const std::vector<HungBattery>& batteries,
                                                            const std::vector<model::DeviceIndex>& opened,
                                                            Reckoning reckoning, double load_factor = 0);

} // namespace stoutloom::solve
