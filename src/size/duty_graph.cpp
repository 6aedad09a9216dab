#include "size/duty_graph.h"

#include "size/requirements.h"

#include <algorithm>
#include <queue>

namespace stoutloom::size {
namespace {

std::size_t at(int node) {
    return static_cast<std::size_t>(node);
}

bool is_wire(const model::Harness& harness, const solve::Branch& branch) {
    if (branch.owner != solve::Owner::device)
        return true;
    const model::DeviceKind kind = harness.devices[branch.index].kind();
    return kind == model::DeviceKind::fuse_link || kind == model::DeviceKind::shunt ||
           branch.part == "contact" || branch.part == "metal" || branch.part == "seat";
}

Wire wire_of(const model::Harness& harness, const solve::Branch& branch) {
    Wire wire{.a = branch.a,
              .b = branch.b,
              .kind = WireKind::fixed,
              .index = branch.index,
              .ohm = branch.ohm,
              .block = -1,
              .incidental = branch.owner == solve::Owner::incidental,
              .allowed_a = std::nullopt};
    if (branch.owner == solve::Owner::incidental) {
        const model::Incidental& path = harness.incidentals[branch.index];
        if (!accepted(harness, "incidental-current", path.id))
            wire.allowed_a = path.rating_a ? path.rating_a->value
                                           : model::limit_in_force(harness, "incidental-current").value;
    }
    if (branch.owner == solve::Owner::cable)
        wire.kind = WireKind::cable;
    else if (branch.owner == solve::Owner::device &&
             harness.devices[branch.index].kind() == model::DeviceKind::fuse_link)
        wire.kind = WireKind::fuse_link;
    return wire;
}

/// Wires at each node.
std::vector<std::vector<std::size_t>> neighbours(const DutyGraph& graph) {
    std::vector<std::vector<std::size_t>> at_node(at(graph.nodes));
    for (std::size_t w = 0; w < graph.wires.size(); ++w) {
        at_node[at(graph.wires[w].a)].push_back(w);
        at_node[at(graph.wires[w].b)].push_back(w);
    }
    return at_node;
}

/// Nodes that wires join to `start` without the wires for which `closed` says so.
template <class Closed>
std::vector<bool> reach(const DutyGraph& graph, const std::vector<std::vector<std::size_t>>& at_node,
                        int start, Closed closed) {
    std::vector<bool> seen(at(graph.nodes), false);
    std::queue<int> open;
    seen[at(start)] = true;
    open.push(start);
    while (!open.empty()) {
        const int node = open.front();
        open.pop();
        for (const std::size_t w : at_node[at(node)]) {
            if (closed(w))
                continue;
            const int other = graph.wires[w].a == node ? graph.wires[w].b : graph.wires[w].a;
            if (seen[at(other)])
                continue;
            seen[at(other)] = true;
            open.push(other);
        }
    }
    return seen;
}

void number_components(DutyGraph& graph, const std::vector<std::vector<std::size_t>>& at_node) {
    graph.component.assign(at(graph.nodes), -1);
    int count = 0;
    for (int node = 0; node < graph.nodes; ++node) {
        if (graph.component[at(node)] >= 0)
            continue;
        const std::vector<bool> seen = reach(graph, at_node, node, [](std::size_t) { return false; });
        for (int other = 0; other < graph.nodes; ++other)
            if (seen[at(other)])
                graph.component[at(other)] = count;
        ++count;
    }
}

/// Loops: wires that stay joined when one of them is taken out. Two wires of which each is on a loop, and
/// which share a node, may be two blocks or one; taking them as one is sound (its currents are bounded
/// together), so blocks here are the connected pieces of the graph of wires without its bridges.
void find_blocks(DutyGraph& graph, const std::vector<std::vector<std::size_t>>& at_node) {
    std::vector<bool> on_loop(graph.wires.size(), false);
    for (std::size_t w = 0; w < graph.wires.size(); ++w)
        on_loop[w] = reach(graph, at_node, graph.wires[w].a,
                           [&](std::size_t other) { return other == w; })[at(graph.wires[w].b)];
    for (std::size_t w = 0; w < graph.wires.size(); ++w) {
        if (!on_loop[w] || graph.wires[w].block >= 0)
            continue;
        const std::vector<bool> seen =
            reach(graph, at_node, graph.wires[w].a, [&](std::size_t other) { return !on_loop[other]; });
        Block block;
        for (std::size_t other = 0; other < graph.wires.size(); ++other)
            if (on_loop[other] && seen[at(graph.wires[other].a)]) {
                graph.wires[other].block = static_cast<int>(graph.blocks.size());
                block.wires.push_back(other);
            }
        for (int node = 0; node < graph.nodes; ++node)
            if (seen[at(node)])
                block.nodes.push_back(node);
        graph.blocks.push_back(std::move(block));
    }
}

/// Current that leaves the marked nodes into appliances.
std::vector<Share> drawn_from(const DutyGraph& graph, const std::vector<bool>& marked) {
    std::vector<Share> shares;
    for (std::size_t k = 0; k < graph.appliances.size(); ++k) {
        const int sign = static_cast<int>(marked[at(graph.appliances[k].plus)]) -
                         static_cast<int>(marked[at(graph.appliances[k].minus)]);
        if (sign != 0)
            shares.push_back({k, sign});
    }
    return shares;
}

std::vector<Share> negated(std::vector<Share> shares) {
    for (Share& share : shares)
        share.sign = -share.sign;
    return shares;
}

void write_laws(DutyGraph& graph, const std::vector<std::vector<std::size_t>>& at_node) {
    graph.bridge.resize(graph.wires.size());
    for (std::size_t w = 0; w < graph.wires.size(); ++w) {
        const Wire& wire = graph.wires[w];
        if (wire.block >= 0)
            continue;
        const auto without = [&](std::size_t other) { return other == w; };
        graph.bridge[w].beyond_b = drawn_from(graph, reach(graph, at_node, wire.b, without));
        graph.bridge[w].beyond_a = negated(drawn_from(graph, reach(graph, at_node, wire.a, without)));
    }
    for (const Block& block : graph.blocks) {
        std::vector<int> hangs(at(graph.nodes), -1);
        const auto in_block = [&](std::size_t w) {
            return std::binary_search(block.wires.begin(), block.wires.end(), w);
        };
        for (const int node : block.nodes) {
            const std::vector<bool> seen = reach(graph, at_node, node, in_block);
            for (int other = 0; other < graph.nodes; ++other)
                if (seen[at(other)])
                    hangs[at(other)] = node;
        }
        graph.hangs_at.push_back(std::move(hangs));
    }
    const int components =
        graph.component.empty() ? 0 : *std::max_element(graph.component.begin(), graph.component.end()) + 1;
    for (int c = 0; c < components; ++c) {
        std::vector<bool> marked(at(graph.nodes));
        for (int node = 0; node < graph.nodes; ++node)
            marked[at(node)] = graph.component[at(node)] == c;
        graph.balance.push_back(drawn_from(graph, marked));
    }
}

/// A consumer or starter between the live side and the return of a source.
void mark_supplied(DutyGraph& graph) {
    const auto is_source = [](const Appliance& appliance) {
        return appliance.port && (appliance.port->kind == solve::PortKind::battery ||
                                  appliance.port->kind == solve::PortKind::generator);
    };
    for (Appliance& appliance : graph.appliances) {
        if (!appliance.port || appliance.port->kind != solve::PortKind::consumer)
            continue;
        for (const Appliance& source : graph.appliances)
            if (is_source(source) &&
                graph.component[at(source.plus)] == graph.component[at(appliance.plus)] &&
                graph.component[at(source.minus)] == graph.component[at(appliance.minus)])
                appliance.supplied = true;
    }
}

} // namespace

std::optional<Way> DutyGraph::way(int from, int to) const {
    const auto at_node = neighbours(*this);
    std::vector<std::optional<std::size_t>> came_by(at(nodes));
    std::vector<bool> seen(at(nodes), false);
    std::queue<int> open;
    open.push(to);
    seen[at(to)] = true;
    while (!open.empty() && !seen[at(from)]) {
        const int node = open.front();
        open.pop();
        for (const std::size_t w : at_node[at(node)]) {
            const int other = wires[w].a == node ? wires[w].b : wires[w].a;
            if (seen[at(other)])
                continue;
            seen[at(other)] = true;
            came_by[at(other)] = w;
            open.push(other);
        }
    }
    if (!seen[at(from)])
        return std::nullopt;
    Way legs;
    for (int node = from; node != to;) {
        const std::size_t w = *came_by[at(node)];
        const int next = wires[w].a == node ? wires[w].b : wires[w].a;
        if (wires[w].block < 0)
            legs.push_back({.wire = w, .sign = wires[w].a == node ? 1 : -1});
        else if (!legs.empty() && !legs.back().wire && legs.back().block == at(wires[w].block))
            legs.back().to = next;
        else
            legs.push_back(
                {.wire = std::nullopt, .sign = 1, .block = at(wires[w].block), .from = node, .to = next});
        node = next;
    }
    return legs;
}

DutyGraph duty_graph(const model::Harness& harness, const model::Duty& duty,
                     const solve::Variation& variation) {
    solve::Network network = solve::build_network(harness, duty, variation);
    solve::find_islands(network); // a sense point out of reach falls back here as it does in the solver
    DutyGraph graph;
    graph.nodes = network.nodes;
    graph.node_of = network.node_of;
    for (const solve::Branch& branch : network.branches) {
        if (is_wire(harness, branch)) {
            graph.wires.push_back(wire_of(harness, branch));
        } else {
            graph.appliances.push_back({.port = std::nullopt,
                                        .ohm = branch.ohm,
                                        .plus = branch.a,
                                        .minus = branch.b,
                                        .device = static_cast<model::DeviceIndex>(branch.index),
                                        .supplied = false});
        }
    }
    for (const solve::Port& port : network.ports)
        graph.appliances.push_back({.port = port,
                                    .ohm = 0,
                                    .plus = port.plus,
                                    .minus = port.minus,
                                    .device = port.device,
                                    .supplied = false});
    const auto at_node = neighbours(graph);
    number_components(graph, at_node);
    find_blocks(graph, at_node);
    write_laws(graph, at_node);
    mark_supplied(graph);
    return graph;
}

} // namespace stoutloom::size
