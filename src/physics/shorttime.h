// Heating in time: adiabatic fault heating, the lumped model with loss for cranking and inrush, and the hot end (fin).
#pragma once

#include "physics/thermal.h"

#include <optional>

namespace stoutloom::physics {

/// k in I^2 t = k^2 S^2, A s^0.5 / mm2:  k = 226 sqrt(ln((234.5 + Tf) / (234.5 + Ti))), copper, IEC 60364-5-54 annex A.
double adiabatic_k(double initial_degc, double final_degc);
/// Least section that stands `current_a` for `time_s`.
double adiabatic_section_mm2(double current_a, double time_s, double k);
/// Temperature after I^2 t with no loss.
double adiabatic_final_degc(double initial_degc, double section_mm2, double i2t_a2s);
/// Short-time limit of the wall by its class: 160 degC for PVC classes (up to 105 degC), 250 degC for cross-linked
/// and higher classes (IEC 60364-4-43 table 43A), never below the class itself.
double short_time_limit_degc(const base::Insulation& insulation);

struct Pulse {
    double start_degc;   // conductor temperature when it begins
    double current_a;
    double duration_s;
};
/// Conductor temperature at the end of a pulse: copper heat capacity 3.45 J/(K m mm2) and half the wall's, losing heat
/// through T1 + T4. Never below the start or ambient by heating.
double temperature_after_degc(const Stretch& stretch, const Pulse& pulse);
/// Time until `limit_degc`; nothing if it never gets there.
std::optional<double> time_to_temperature_s(const Stretch& stretch, double start_degc, double current_a,
                                            double limit_degc);
/// On-fraction of a repeated pulse of `on_s` seconds whose peak just meets the class temperature, 1 = all day.
double allowed_duty_fraction(const Stretch& stretch, double current_a, double on_s);

/// Current at which the conductor reaches `limit_degc` exactly after `time_s`: one point of the damage curve.
double current_for_time_a(const Stretch& stretch, double start_degc, double limit_degc, double time_s);

/// A stretch of `length_m` between two ends held at given temperatures, heat flowing along the copper (fin equation,
/// 401 W/(m K)). Greatest conductor temperature in it.
struct HotEnds {
    double length_m;
    double first_end_degc, second_end_degc;
};
double peak_with_hot_ends_degc(const Stretch& stretch, double current_a, const HotEnds& ends);
/// Distance over which an end's heat dies away by 1/e: sqrt(conductivity * section * (T1 + T4)).
double fin_length_m(const Stretch& stretch, double current_a);

} // namespace stoutloom::physics
