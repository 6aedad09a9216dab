// Prospective currents: what each source, alone, drives into a dead short to ground at both ends and in the
// middle of every live cable, and at every live terminal; and between a stud and each conducting part in its
// reach (solve/reach.h).
//
// Two figures, each on its own careful side. Greatest (what must be broken, what a fuse-link must stand):
// fully charged, the battery's least internal resistance, copper at 20 degC, joints new and clean, fuse-links
// and the way back of no resistance; a charging unit gives 1.3 times its greatest cold output wherever the
// short is (rectifier short-circuit ceiling, from memory). Least (what must still clear in time): a quarter
// charged, aged battery, copper at its insulation class, joints at end of life, fuse-links hot, and the way
// back through the worst-placed mass.
#pragma once

#include "base/outcome.h"
#include "model/harness.h"
#include "solve/reach.h"
#include "solve/solve.h"

#include <vector>

namespace stoutloom::solve {

constexpr double generator_short_factor = 1.3;

enum class ShortPlace { from, middle, to };
struct ShortCurrent {
    model::CableIndex cable{};
    ShortPlace place = ShortPlace::from;
    model::DeviceIndex source{};
    double greatest_a = 0, least_a = 0;
    /// Share of `greatest_a` that comes through this cable from its `from` side and from its `to` side (a
    /// short at the `from` end sees only what comes from `to`, and the other way round).
    double through_from_a = 0, through_to_a = 0;
};
struct TerminalShort {
    model::TerminalIndex terminal{};
    model::DeviceIndex source{};
    double greatest_a = 0, least_a = 0;
};
/// Between a stud and a part in its reach. A source that meets only one of the two by itself is taken
/// together with the other batteries between, each as full or as flat as makes the current greater.
struct ReachShort {
    InReach between;
    model::DeviceIndex source{};
    double greatest_a = 0;
    bool of_all_batteries = false; // taken together with the others: the figure is the whole current
};
struct ShortCurrents {
    std::vector<ShortCurrent> cables;     // cable, place, source; only where the source reaches
    std::vector<TerminalShort> terminals; // terminal, source; only where the source reaches
    std::vector<ReachShort> in_reach;     // source, stud, part; only at different volts
};

/// All switches and relays that ever close count as closed. Cables on the ground side are left out. A battery
/// whose negative is itself live (one of a set in series) is taken together with all the others, its own name
/// given. Errors: a section beyond the tables.
base::Outcome<ShortCurrents, Unsolved> short_currents(const model::Harness& harness);

} // namespace stoutloom::solve
