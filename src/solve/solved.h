// A network at its operating point, with everything faults and decks start from. Room-internal.
#pragma once

#include "solve/linear.h"
#include "solve/network.h"
#include "solve/ports.h"

#include <optional>

namespace stoutloom::solve {

struct CableHeat {
    std::vector<double> segment_degc; // by segment
    bool runaway = false;
};

struct Solved {
    Network network;
    Islands islands;
    std::vector<CableParts> parts; // by CableIndex
    std::vector<CableHeat> heat;   // by CableIndex
    std::optional<LinearNetwork> linear;
    PortPicture picture;
    PortAnswer answer;
    std::vector<double> node_v; // against the node's local zero
    int rounds = 0, changes = 0;

    double branch_a(int branch) const; // 0 for -1
};

/// Network and cable temperatures together, to a fixed point.
base::Outcome<Solved, Unsolved> solve_network(const model::Harness& harness, const model::Duty& duty,
                                              const Variation& variation);
/// One pass at the resistances the network holds. Fills linear, picture, answer and node_v.
base::Outcome<void, Unsolved> solve_electrically(const model::Harness& harness, Solved& solved);
/// Names for a disagreement among ports.
Unsolved unsolved_by(const model::Harness& harness, const PortPicture& picture,
                     const Disagreement& disagreement);
/// What a caller reads: volts by terminal, currents, temperatures.
OperatingPoint operating_point_of(const model::Harness& harness, const model::Duty& duty,
                                  const Variation& variation, const Solved& solved);

} // namespace stoutloom::solve
