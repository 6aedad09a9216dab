// Heating in time: adiabatic fault heating, the lumped model with loss for cranking and inrush, and the hot
// end (fin).
#pragma once

#include "physics/thermal.h"

#include <array>
#include <optional>
#include <unordered_map>

namespace stoutloom::physics {

/// k in I^2 t = k^2 S^2, A s^0.5 / mm2:  k = 226 sqrt(ln((234.5 + Tf) / (234.5 + Ti))), copper, IEC
/// 60364-5-54 annex A. 0 where the final temperature is not above the initial one.
double adiabatic_k(double initial_degc, double final_degc);
/// Least section that stands `current_a` for `time_s`; infinite for k = 0.
double adiabatic_section_mm2(double current_a, double time_s, double k);
/// Temperature after I^2 t with no loss. Capped at the melting point of copper, 1083 degC: "at least this".
double adiabatic_final_degc(double initial_degc, double section_mm2, double i2t_a2s);
/// Short-time limit of the wall by its class: 160 degC for PVC classes (up to 105 degC), 250 degC for
/// cross-linked and higher classes (IEC 60364-4-43 table 43A), never below the class itself.
double short_time_limit_degc(const base::Insulation& insulation);

struct Pulse {
    double start_degc; // conductor temperature when it begins
    double current_a;
    double duration_s;
};
/// Greatest conductor temperature in a pulse. Two lumps: the copper (3.45 J/(K m mm2)) makes the heat, the
/// wall (1.7 J/(K cm3), PVC, IEC 60853-2) stands in the middle of T1, then T4 sheds. At rest this is IEC
/// 60287; in a short pulse it tends to the adiabatic form from below, since the wall warms only through half
/// of T1. The wall starts at the profile it would have at a steady `start_degc`. A start below ambient counts
/// as ambient. Never below the start. 1083 degC means "at least this: burnt" (also for figures that are not
/// numbers).
double temperature_after_degc(const Stretch& stretch, const Pulse& pulse);
/// Time until `limit_degc`; nothing if it never gets there. 0 if it starts there (or a figure is not a
/// number).
std::optional<double> time_to_temperature_s(const Stretch& stretch, double start_degc, double current_a,
                                            double limit_degc);
/// Remembers the times it was asked for: sizing asks the same cable at the same currents again for every
/// choice of the others. Not for two threads at once.
class HarmTimes {
  public:
    /// As time_to_temperature_s.
    std::optional<double> ask(const Stretch& stretch, double start_degc, double current_a, double limit_degc);

  private:
    using Key = std::array<double, 13>; // all that the time hangs on
    struct Hash {
        std::size_t operator()(const Key& key) const;
    };
    std::unordered_map<Key, std::optional<double>, Hash> known_;
};
/// On-fraction of a repeated pulse of `on_s` seconds whose peak just meets the class temperature, 1 = all
/// day, 0 = not even once from cold. Rounded down to 1e-4.
double allowed_duty_fraction(const Stretch& stretch, double current_a, double on_s);

/// Current at which the conductor reaches `limit_degc` exactly after `time_s`: one point of the damage curve.
/// 0 where the start is at the limit already.
double current_for_time_a(const Stretch& stretch, double start_degc, double limit_degc, double time_s);

/// A stretch of `length_m` between two ends held at given temperatures, heat flowing along the copper (fin
/// equation, 385 W/(m K), copper at 150 degC). Greatest conductor temperature in it: a hotter end itself;
/// between cooler ends
///   T(x) = Ts - [a sinh((L-x)/u) + b sinh(x/u)] / sinh(L/u),  a, b = what the ends lie below the steady Ts
/// with u from the slope of the heat balance at Ts, which never tells less than the full balance would.
struct HotEnds {
    double length_m;
    double first_end_degc, second_end_degc;
};
double peak_with_hot_ends_degc(const Stretch& stretch, double current_a, const HotEnds& ends);
/// Distance over which an end's heat dies away by 1/e: sqrt(conductivity * section * (T1 + T4)), T4 at the
/// steady surface rise but not under 10 K. About 0.3 to 1 m for feed cables.
double fin_length_m(const Stretch& stretch, double current_a);

} // namespace stoutloom::physics
