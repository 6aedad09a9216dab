// The one heat path every answer of this room uses: copper, wall, surface, air. Internal to the room.
//
//   heat through wall and surface  q = k s^(5/4)            s = surface rise over ambient, K; k = pi De h f^2
//   conductor                      T = Ta + s + q t1        t1 = rho/(2 pi) ln(De/dc) / f^2
//   balance                        I^2 R(T) = q
// f = 1 for a cable alone. A cable in a bundle or a conduit warms as one alone that carries I / f, which is
// the same as both thermal resistances divided by f^2. Along s both T and q rise, and I = sqrt(q / R(T))
// rises with them (heat grows at least as fast as the rise over ambient, R slower), so there is one root.
#pragma once

#include "physics/thermal.h"

#include <optional>

namespace stoutloom::physics {

/// Copper melts here; no temperature above is ever told. An answer of this value means "at least this:
/// burnt".
constexpr double copper_melts_degc = 1083;

struct HeatBalance {
    double r20_ohm_per_m = 0;
    double wall_km_per_w = 0;       // t1
    double surface_w_per_m_k54 = 0; // k
    double ambient_degc = 0;
};
/// Nothing when a figure is missing its number (NaN, infinity, negative diameters): the caller answers on the
/// safe side.
std::optional<HeatBalance> heat_balance(const Stretch& stretch);

double copper_factor(double degc);                                              // R(T) / R20
double heat_at_rise_w_per_m(const HeatBalance& balance, double surface_rise_k); // k s^(5/4)
/// Surface rise whose heat flow spans `total_rise_k` over surface and `wall_km_per_w`; the root of
/// s + k s^(5/4) wall = total. Zero for a total at or below zero.
double surface_rise_k(const HeatBalance& balance, double total_rise_k, double wall_km_per_w);
/// Surface rise at which the conductor sheds what it makes; nothing below the melting point.
std::optional<double> settled_surface_rise_k(const HeatBalance& balance, double current_a);
double conductor_at_rise_degc(const HeatBalance& balance, double surface_rise_k);

} // namespace stoutloom::physics
