// The greatest current of every cable over all choices of what is switched on, without trying them all.
//
// In one regime of the sources (which batteries charge at their acceptance, which units hold their set point
// or sit at their ceiling) every current is a sum of what the consumers draw, each between nothing and the
// most it can draw at the volts it can get. The greatest such sum, subject to the regime really holding,
// bounds the cable's current; the greatest over all regimes bounds it in the duty. The combination at which
// the sum is greatest is re-solved: a combination that really gives the bound proves it tight, otherwise both
// are told.
#pragma once

#include "base/outcome.h"
#include "model/harness.h"
#include "solve/solve.h"

#include <vector>

namespace stoutloom::solve {

struct WorstCurrent {
    double bound_a = 0; // magnitude that no combination exceeds, and never less than the witness
    double witness_a =
        0; // sign as CableState::current_a; the combination below at its own cable temperatures
    double witness_degc = 0;
    bool runaway = false;                    // the witness has no steady temperature: it burns
    std::vector<model::DeviceIndex> running; // every consumer that runs in the witness
    /// Bound and witness agree within `share`.
    bool attained(double share = 1e-3) const;
};

struct WorstCombination {
    std::vector<WorstCurrent> cables;        // by CableIndex
    std::vector<model::DeviceIndex> choices; // consumers that may be on or off in the duty
    std::size_t regimes = 0;                 // regimes of the sources that some combination may bring about
};

/// Consumers with `switchable` may be on or off if they run by themselves or on request in the duty; those
/// the duty lists as off stay off, the others run as the duty has it. The bound is told for the cables cold
/// and at the temperatures they have with everything on, and the greater kept; between and beyond those two
/// temperatures a shift of current between parallel paths is not bounded, only re-solved for the witness.
/// Errors: no operating point for a witness; more than two thousand regimes; a battery connected in reverse.
base::Outcome<WorstCombination, Unsolved>
worst_combination(const model::Harness& harness, const model::Duty& duty, const Variation& variation = {});

/// Whether a consumer is one that may be on or off in a duty.
bool is_choice(const model::Harness& harness, const model::Duty& duty, model::DeviceIndex consumer);

} // namespace stoutloom::solve
