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
    double current_a = 0;      // magnitude
    double temperature_degc = 0;
};

struct Facts {
    const model::Harness* harness = nullptr;
    std::vector<SolvedDuty> duties;            // by DutyIndex
    std::vector<solve::CableRating> ratings;   // by CableIndex
    std::vector<WorstDuty> worst;              // by CableIndex, continuous duties
    Topology topology;
    std::vector<LandingVerdict> landings;
};

Facts gather(const model::Harness& harness);

} // namespace stoutloom::check
