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

/// A branch at another resistance than the network holds; infinite: it is open.
struct ChangedOhm {
    int branch = 0;
    double ohm = 0;
};
/// What an answer is read off: a solved network, or the same one with a fault in it.
struct Sight {
    const Network& network;
    const std::vector<int>& island_of; // by node
    int main_island = 0;
    const PortPicture& picture; // fault ports included
    const PortAnswer& answer;
    const std::vector<double>& node_v;
    const std::vector<ChangedOhm>& changed;

    bool is_open(int branch) const;    // true for -1
    double branch_a(int branch) const; // 0 for -1
};
/// Volts by terminal, what floats, what each part does. Cables and incidental paths are left to the caller.
void read_parts(const model::Harness& harness, const model::Duty& duty, const Variation& variation,
                const Sight& sight, OperatingPoint& point);

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
