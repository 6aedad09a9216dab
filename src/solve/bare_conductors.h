// The conductors of a harness alone, without sources and loads, for currents of faults: every contact that
// ever closes is closed. Room-internal.
#pragma once

#include "base/outcome.h"
#include "solve/network.h"

namespace stoutloom::solve {

/// A fuse-link of no resistance would make two nodes of one; a microohm is less than any joint.
constexpr double nothing_ohm = 1e-6;

/// Greatest current: copper at 20 degC, joints new and clean, fuse-links of no resistance. Least: copper at
/// its class, joints at the end of their life, fuse-links hot.
enum class Side { greatest, least };
/// Errors: a section beyond the tables.
base::Outcome<Network, Unsolved> bare_conductors(const model::Harness& harness, Side side);

} // namespace stoutloom::solve
