// Graph questions about a network: which branches lie on no loop, and what hangs together by plain
// conductors. Room-internal.
#pragma once

#include "solve/network.h"

#include <vector>

namespace stoutloom::solve {

/// By branch: true if its removal parts the network less the listed branches, counting every port as an edge.
/// No current flows in such a branch.
std::vector<bool> bridges(const Network& network, const std::vector<int>& without_branches = {});

/// By node: component over cables, contacts, fuse-links, shunts, metal and seats, without the listed
/// branches. Loads, coils, leaks and incidental paths join nothing here.
std::vector<int> conductor_components(const Network& network, const std::vector<int>& without_branches);
/// The same over every branch, leaks and incidental paths too: what still has some volts against what.
std::vector<int> islands_without(const Network& network, const std::vector<int>& without_branches);

} // namespace stoutloom::solve
