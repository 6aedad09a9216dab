// How the current of a source or consumer follows its volts, over intervals: both ways round. Room-internal.
#pragma once

#include "size/duty_graph.h"
#include "size/interval.h"

namespace stoutloom::size {

/// A bound that no volts or amperes of a harness reach; stands for "not known".
constexpr double unknown_bound = 1e5;

/// Current taken from plus to minus for volts (at the sense studs) in an interval. Sources give negative
/// currents.
Interval current_for(const Appliance& appliance, Interval volts_v);
/// Volts for which the current can lie in an interval.
Interval volts_for(const Appliance& appliance, Interval current_a);

} // namespace stoutloom::size
