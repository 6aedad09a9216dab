// Two lumps in time: the copper, and the wall in the middle of its own resistance. Internal to the room.
//
//   Cc dTc/dt = I^2 R(Tc) - (Tc - Tw) / (t1/2)
//   Cw dTw/dt = (Tc - Tw) / (t1/2) - q ,  q from  Tw - Ta = s + q t1/2 , q = k s^(5/4)
// Cc = 3.45 J/(K m mm2) S; Cw = 1.7 J/(K cm3) times the wall's area (PVC, IEC 60853-2). A bare conductor has
// one lump. Integrated by the embedded pair of Bogacki and Shampine (orders 3 and 2), step held by 2e-5 K
// error per step.
#pragma once

#include "physics/heat_balance.h"

#include <optional>

namespace stoutloom::physics {

struct Warmth {
    double copper_degc = 0;
    double wall_degc = 0;
};

struct Lumps {
    HeatBalance balance;
    double copper_j_per_km = 0;
    double wall_j_per_km = 0; // 0: bare
    double step_ceiling_s = 0;
};
std::optional<Lumps> lumps(const Stretch& stretch);
/// The state a conductor of this temperature has when it has been so for long.
Warmth settled_warmth(const Lumps& lumps, double copper_degc);

struct Run {
    Warmth end;
    double time_s = 0;       // when it ended
    double hottest_degc = 0; // of the copper on the way
    bool stopped = false;    // by the copper passing `stop_degc`
    bool settled = false;    // nothing moves any more
};
struct Drive {
    double current_a, duration_s, stop_degc;
};
/// Runs `duration_s` at a current, or until the copper first passes `stop_degc` (then time_s and end are at
/// that crossing), or until nothing moves any more (time_s is then the whole duration).
Run run_pulse(const Lumps& lumps, Warmth start, const Drive& drive);

} // namespace stoutloom::physics
