// The solver's own fixed assumptions, in one place, each with its reason. Every figure that a file can give
// beats them.
#pragma once

#include "model/harness.h"

#include <vector>

namespace stoutloom::solve {

/// A charging unit regulates to its set point less this times its current, so that two units on one stud
/// share in a definite way. 18 mV at 180 A; far under the tolerance of any regulator. Common practice, no
/// source.
constexpr double generator_droop_ohm = 1e-4;
/// Bracket of a case-return unit on the metal it is bolted to. Common practice, no source.
constexpr double seat_resistance_ohm = 2e-4;
/// A leak across every source and consumer, so that no regime leaves a part of the network undefined (1.4 uA
/// at 14 V).
constexpr double leak_ohm = 1e6;
/// Current and power consumers turn into a resistance below this share of nominal volts; they ask no more
/// than that resistance takes. A dead feed then gives nothing, and the network keeps one solution.
constexpr double consumer_fold_fraction = 0.5;
/// The same for a starter: it still turns at 4 V of a 12 V system.
constexpr double starter_fold_fraction = 1.0 / 3.0;
/// Hold-in coil of a 12 V starter's solenoid, from terminal 50 to its return: about 10 A, from memory.
constexpr double starter_coil_ohm = 1.2;
/// The exciter diodes of a turning unit hold L (D+) at the output's volts through this; from memory.
constexpr double exciter_diode_ohm = 0.5;
/// A sense stud that hangs loose finds its own output through this (one maker's fallback; others run away).
constexpr double sense_fallback_ohm = 1000.0;
/// The rectifier conducts backwards when the battery is connected in reverse: two diodes in series.
constexpr double rectifier_threshold_v = 1.4;
constexpr double rectifier_ohm = 0.005;
/// A unit that pushes against nothing (its sense lost, its feed open) is held by its avalanche diodes: the
/// suppressed load dump of ISO 16750-2, 35 V in 12 V systems and 58 V in 24 V ones (from memory), through
/// this.
constexpr double avalanche_v(double nominal_v) {
    return nominal_v <= 12 ? 35.0 * nominal_v / 12 : 58.0 * nominal_v / 24;
}
constexpr double avalanche_ohm = 0.02;
/// A cable without a steady temperature is held at this, well beyond any wall, so that the rest can still be
/// told.
constexpr double runaway_degc = 300.0;
/// Fuse-link whose rating is still to be chosen.
constexpr double unrated_fuse_link_ohm = 3e-4;

/// Shaft speeds that stand for the named speeds where a unit's curve must be read between them.
constexpr double idle_shaft_rpm = 1800.0;
constexpr double cruise_shaft_rpm = 4500.0;
constexpr double rated_shaft_rpm = 6000.0;
constexpr double assumed_pulley_ratio = 2.5;
/// Output at idle over rated where the file gives none: 35 to 40 A of 90 A, 75 A of 175 A. Common practice,
/// no source.
constexpr double assumed_idle_fraction = 0.40;

/// Worst case: cut lengths run over by this (service loops, routing round corners); common practice, no
/// source.
constexpr double worst_length_factor = 1.05;
/// Worst case: regulator above or below its set point by this at 12 V (a boat unit's manual: 14.4 V +/- 0.3
/// V).
constexpr double worst_set_point_v = 0.3;

/// The assumptions above that touch this harness, for the record of the check.
std::vector<model::Assumption> solver_assumptions(const model::Harness& harness);

} // namespace stoutloom::solve
