// The network of one duty as a graph of wires, with what a proof over many sections needs: which wires are
// bridges, and which hang together in loops. Room-internal; built from the solver's own network, so the two
// cannot disagree.
//
// Wires are whatever joins two nodes by metal (cables, fuse-links, contacts, masses, incidental paths).
// Appliances are whatever lies between the live side and the return: sources, consumers, coils, leaks. In a
// wire that is a bridge of the graph of wires, Kirchhoff's current law alone gives the current from those of
// the appliances behind it.
#pragma once

#include "model/harness.h"
#include "solve/network.h"

#include <optional>
#include <vector>

namespace stoutloom::size {

enum class WireKind { cable, fuse_link, fixed };
struct Wire {
    int a = 0, b = 0; // current positive from a to b
    WireKind kind = WireKind::fixed;
    std::size_t index = 0;           // of the cable or device
    double ohm = 0;                  // fixed ones
    int block = -1;                  // loop it belongs to; -1: a bridge
    bool incidental = false;         // `index` is that of an incidental path
    std::optional<double> allowed_a; // incidental path: rule incidental-current, in every duty
};

/// One thing between two nodes whose current follows its volts.
struct Appliance {
    std::optional<solve::Port> port; // otherwise a resistance
    double ohm = 0;
    int plus = 0, minus = 0;
    std::optional<model::DeviceIndex> device;
    bool supplied = false; // consumer or starter whose studs wires join to those of a source
};

/// A set of wires that hang together in loops.
struct Block {
    std::vector<std::size_t> wires;
    std::vector<int> nodes;
};

/// A term of Kirchhoff's current law: the appliance's current, taken from plus to minus through it, times the
/// sign.
struct Share {
    std::size_t appliance = 0;
    int sign = 1;
};
/// Current of a bridge, told from either side of it.
struct BridgeLaw {
    std::vector<Share> beyond_b, beyond_a;
};

/// A leg of a way between two nodes: over a bridge (with or against its sense) or through a block.
struct Leg {
    std::optional<std::size_t> wire; // a bridge
    int sign = 1;
    std::size_t block = 0; // otherwise
    int from = 0, to = 0;  // nodes of the block
};
using Way = std::vector<Leg>;

struct DutyGraph {
    int nodes = 0;
    std::vector<Wire> wires;
    std::vector<Appliance> appliances;
    std::vector<Block> blocks;
    std::vector<int> component;              // by node, over wires
    std::vector<BridgeLaw> bridge;           // by wire; empty for wires of a block
    std::vector<std::vector<int>> hangs_at;  // by block, by node: the block's node it hangs at; -1 elsewhere
    std::vector<std::vector<Share>> balance; // by component: sum of currents is zero
    std::vector<int> node_of;                // by TerminalIndex

    /// Nothing if no wires join the two.
    std::optional<Way> way(int from, int to) const;
};

DutyGraph duty_graph(const model::Harness& harness, const model::Duty& duty,
                     const solve::Variation& variation);

} // namespace stoutloom::size
