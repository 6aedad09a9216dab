// Two small flow problems on graphs: how much fits through a network, and whether a set of lower and upper
// bounds can be met at least cost. Keying, fuse cuts and return paths are asked as flows.
#pragma once

#include <optional>
#include <span>
#include <vector>

namespace stoutloom::check {

/// A two-way pipe between nodes; capacity may be infinite.
struct Pipe {
    int a = 0, b = 0;
    double capacity = 0;
};
struct GreatestFlow {
    double value = 0;             // infinite when an infinite path joins the two nodes
    std::vector<std::size_t> cut; // pipes of a least cut, in pipe order; empty when the value is infinite
};
/// Shortest augmenting paths (Edmonds and Karp), so the end is certain for any real capacities.
/// Precondition: nodes within 0..node_count-1. from == to gives infinity.
GreatestFlow greatest_flow(int node_count, std::span<const Pipe> pipes, int from, int to);

/// A one-way arc with a least and a greatest whole flow and a cost >= 0 per unit.
struct Arc {
    int from = 0, to = 0;
    int least = 0, greatest = 0;
    int cost = 0;
};
/// Whole flows, one per arc, that meet every bound and conserve flow at every node (a circulation), at least
/// total cost; nothing when no such flow exists. Lower bounds become demands, met by successive shortest
/// paths.
std::optional<std::vector<int>> cheapest_circulation(int node_count, std::span<const Arc> arcs);

} // namespace stoutloom::check
