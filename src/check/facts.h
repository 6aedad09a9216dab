// Everything the rules may know, computed once: solved duties, ratings, topology, keying.
#pragma once

#include "base/outcome.h"
#include "check/keying.h"
#include "check/paths.h"
#include "model/harness.h"
#include "solve/ratings.h"
#include "solve/solve.h"

#include <optional>
#include <string>
#include <vector>

namespace stoutloom::check {

/// One duty, solved or not. `point` is empty when `unsolved` says why.
struct SolvedDuty {
    model::DutyIndex duty{};
    std::optional<solve::OperatingPoint> point;
    std::optional<solve::Unsolved> unsolved;
};

/// The duty in which a cable is worst off, by temperature for continuous duties.
struct WorstDuty {
    std::optional<model::DutyIndex> duty;
    double current_a = 0; // magnitude
    double temperature_degc = 0;
    bool runaway = false; // no steady temperature exists
};

struct Facts {
    const model::Harness* harness = nullptr;
    std::vector<SolvedDuty> duties;          // by DutyIndex
    std::vector<solve::CableRating> ratings; // by CableIndex
    std::vector<WorstDuty> worst;            // by CableIndex, continuous duties
    Topology topology;
    std::vector<LandingVerdict> landings;
};

/// Solves every duty, rates every cable, follows every path and decides every landing. The harness must
/// outlive the facts. Never fails: what could not be had is recorded as such.
Facts gather(const model::Harness& harness);

/// What a wrong assembly of a landing would do, from the rewired network: short circuits, reversed or dead
/// parts, a unit without its battery, cables without protection. Fills `consequence` and `harmful`.
void add_consequence(const model::Harness& harness, const Facts& facts, WrongAssembly& wrong);

/// Continuous duties that were solved, and those of limited duration.
bool is_continuous(const model::Duty& duty);
bool engine_running(const model::Duty& duty);

} // namespace stoutloom::check
