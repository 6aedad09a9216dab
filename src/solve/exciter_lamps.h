// Charge lamps: consumers whose way to negative leads through a unit's exciter. Room-internal.
#pragma once

#include "model/harness.h"

#include <optional>

namespace stoutloom::solve {

/// Resistance of a consumer whose negative side hangs on an exciter's lead, over cables and posts; nothing
/// for every other consumer. In series with a rotor no filament keeps its power or its current: it is a
/// resistance that takes its amount at nominal volts.
std::optional<double> exciter_lamp_ohm(const model::Harness& harness, model::DeviceIndex consumer);

} // namespace stoutloom::solve
