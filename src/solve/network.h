// The network of one duty: nodes, resistive branches, and ports (sources and consumers with a bent
// characteristic).
//
// Room-internal. A port injects a current into its plus node and draws it from its minus node; how much
// follows a falling piecewise-linear law of the volts at its sense nodes (its own nodes but for a
// remote-sensing regulator).
#pragma once

#include "base/outcome.h"
#include "model/harness.h"
#include "solve/cable_parts.h"
#include "solve/solve.h"

#include <string>
#include <vector>

namespace stoutloom::solve {

enum class Owner { cable, device, incidental };
struct Branch {
    int a = 0, b = 0; // current positive from a to b
    double ohm = 0;
    Owner owner = Owner::device;
    std::size_t index = 0; // of the cable, device or incidental
    std::string_view part; // "cable", "path", "contact", "link", "coil", "metal", "seat", "exciter", "sense",
                           // "leak", "element"
};

/// One straight piece of a law: current out of plus = alpha_a - beta_s * volts, for volts up to `upto_v`.
struct Piece {
    double alpha_a = 0;
    double beta_s = 0;
    double upto_v = 0; // infinite for the last
};
enum class PortKind { battery, generator, rectifier, consumer, fault };
struct Port {
    PortKind kind = PortKind::consumer;
    int plus = 0, minus = 0;
    int sense_plus = 0, sense_minus = 0;
    bool in_linear = true;          // its base piece is part of the factored network
    std::vector<Piece> pieces = {}; // rising in volts; currents fall (or stay) from piece to piece
    std::size_t base = 0;           // piece that is part of the linear network
    std::size_t start = 0;          // piece tried first
    double power_w = 0;             // > 0: constant power, its current re-told from the volts
    double asked_a = 0;             // consumer: current it asks for at or above its fold (power: at nominal)
    double fold_v = 0;              // consumer: resistance below this
    model::DeviceIndex device{};
};

struct Network {
    std::vector<int> node_of; // by TerminalIndex
    int nodes = 0;
    int reference = 0;
    std::vector<Branch> branches;
    std::vector<Port> ports;
    std::vector<int> cable_branch, incidental_branch,
        device_branch;                // -1: none (open, or both ends on one node)
    std::vector<int> device_port;     // -1: none
    std::vector<int> node_stands_for; // first terminal of each node
};

/// Cables get their resistance later, with their temperature. Precondition: indices in `variation` are valid.
Network build_network(const model::Harness& harness, const model::Duty& duty, const Variation& variation);

/// Parts of the network that hang together by branches and ports; each has a local reference node of 0 V.
struct Islands {
    std::vector<int> of;         // island of each node
    std::vector<int> local_zero; // by island
    int main = 0;                // the reference's
};
/// A regulator whose sense point lies in another island than itself falls back on its own studs.
Islands find_islands(Network& network);

/// A consumer of a given current or power, with its fold; used by the network and by the deck.
Port consumer_port(double asked_a, double power_w, double fold_v);
/// Sets the asked current of a constant-power port.
void set_power_current(Port& port, double current_a);

} // namespace stoutloom::solve
