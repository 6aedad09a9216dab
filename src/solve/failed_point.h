// The whole operating point of one failure, from the healthy factor: the cables whose current has changed
// at their new temperature, and all that hangs loose told as floating. Room-internal.
#pragma once

#include "solve/failures.h"
#include "solve/faulted.h"
#include "solve/temperatures.h"

#include <optional>
#include <vector>

namespace stoutloom::solve {

/// A duty's healthy answer, as far as every failure of it needs the same.
struct HealthyDuty {
    const model::Harness& harness;
    const model::Duty& duty;
    const Variation& variation;
    const Solved& solved;
    const OperatingPoint& point;
    std::optional<ShortDuty> pulse; // a short duty, every cable as warm as its zone before it
};
/// Branches that a failed part takes away.
std::vector<int> branches_of(const model::Harness& harness, const Network& network, const Failure& failure);
/// What a failure does to the network.
struct Broken {
    Failure failure;
    std::vector<int> opened;  // branches
    std::vector<Port> faults; // what the network was settled with
    int dead_port = -1;
    std::vector<ChangedOhm> changed; // opened ones and the cable with a run less
};
/// Precondition: `faulted` was last settled with these faults. Settles it again where cables warm or cool.
OperatingPoint failed_point(const HealthyDuty& healthy, Broken broken, Faulted& faulted);

} // namespace stoutloom::solve
