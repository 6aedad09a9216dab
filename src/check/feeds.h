// Room-internal: the ways from sources to cables, for topology_of. What each way means stands in
// check/paths.h.
#pragma once

#include "check/paths.h"

namespace stoutloom::check {

/// Fills `starter_cable`. Needs nodes, links and sides.
void mark_starter_cables(const model::Harness& harness, Topology& topology);
/// Fills `feeds`. Needs nodes, links, components and sides.
void find_feeds(const model::Harness& harness, Topology& topology);

} // namespace stoutloom::check
