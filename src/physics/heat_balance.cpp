// Roots of the heat balance: each is sought by Newton from the side on which it cannot overshoot.
#include "physics/heat_balance.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stoutloom::physics {
namespace {

double five_quarters(double s) {
    return s * std::sqrt(std::sqrt(s));
}

// A step of Newton this small leaves an error of its square.
constexpr double nearly = 1e-9;

} // namespace

std::optional<HeatBalance> heat_balance(const Stretch& stretch) {
    const Conductor& made = stretch.conductor;
    const double rho = stretch.insulation.thermal_resistivity_km_per_w;
    const double radiant_k = stretch.around.radiant_k;
    const double ambient_degc = stretch.around.ambient_degc + std::max(radiant_k, 0.0);
    const double ratio = made.outer_diameter_m / made.conductor_diameter_m;
    if (!std::isfinite(ambient_degc) || !std::isfinite(radiant_k) || !std::isfinite(rho) || rho < 0 ||
        !std::isfinite(made.r20_ohm_per_m) || made.r20_ohm_per_m <= 0 || !std::isfinite(ratio) || ratio < 1 ||
        !std::isfinite(made.outer_diameter_m) || made.outer_diameter_m <= 0 || ambient_degc <= -234)
        return std::nullopt;
    const SurfaceLaw law = surface_law(stretch.around.mounting);
    const double factor = grouping_factor(stretch.around.loaded_cables).factor *
                          enclosure_factor(stretch.around.mounting).factor;
    const double h = law.z / std::pow(made.outer_diameter_m, law.g) + law.e;
    return HeatBalance{.r20_ohm_per_m = made.r20_ohm_per_m,
                       .wall_km_per_w = rho / (2 * std::numbers::pi) * std::log(ratio) / (factor * factor),
                       .surface_w_per_m_k54 = std::numbers::pi * made.outer_diameter_m * h * factor * factor,
                       .ambient_degc = ambient_degc};
}

double copper_factor(double degc) {
    return 1 + 0.00393 * (degc - 20);
}

double heat_at_rise_w_per_m(const HeatBalance& balance, double surface_rise_k) {
    return balance.surface_w_per_m_k54 * five_quarters(surface_rise_k);
}

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): units in the names
double surface_rise_k(const HeatBalance& balance, double total_rise_k, double wall_km_per_w) {
    if (!(total_rise_k > 0))
        return 0;
    const double k = balance.surface_w_per_m_k54 * wall_km_per_w;
    const auto newton = [&](double s) {
        const double quarter = std::sqrt(std::sqrt(s));
        return s - (s + k * s * quarter - total_rise_k) / (1 + 1.25 * k * quarter);
    };
    // s + k s^(5/4) bends upwards and rises: the first guess lies under the root, the step from it over the
    // root, and from there each step stays over it and comes nearer.
    double s = newton(total_rise_k / (1 + k * std::sqrt(std::sqrt(total_rise_k))));
    for (int step = 0; step < 60; ++step) {
        const double next = newton(s);
        if (!(next < s))
            break;
        const bool settled = s - next <= nearly * s;
        s = next;
        if (settled)
            break;
    }
    return s;
}

double conductor_at_rise_degc(const HeatBalance& balance, double surface_rise_k) {
    return balance.ambient_degc + surface_rise_k +
           heat_at_rise_w_per_m(balance, surface_rise_k) * balance.wall_km_per_w;
}

std::optional<double> settled_surface_rise_k(const HeatBalance& balance, double current_a) {
    constexpr double per_k = 0.00393;
    if (!std::isfinite(current_a) || balance.ambient_degc >= copper_melts_degc)
        return std::nullopt;
    const double i2r20 = current_a * current_a * balance.r20_ohm_per_m;
    if (i2r20 == 0)
        return 0.0;
    // Heat shed less heat made over the surface rise s: (1 - i2r20 per_k t1) k s^(5/4) - i2r20 (at air +
    // per_k s). Where the first bracket is not above zero it never turns positive. Otherwise it bends
    // upwards, is below zero at s = 0, and Newton from above its root stays above and comes nearer.
    const double bent = (1 - i2r20 * per_k * balance.wall_km_per_w) * balance.surface_w_per_m_k54;
    if (!(bent > 0))
        return std::nullopt;
    const double at_air = i2r20 * copper_factor(balance.ambient_degc);
    const auto surplus = [&](double s) { return bent * five_quarters(s) - at_air - i2r20 * per_k * s; };
    double s = copper_melts_degc - balance.ambient_degc; // a surface as hot as melting copper
    if (!(surplus(s) >= 0))
        return std::nullopt;
    for (int step = 0; step < 100; ++step) {
        const double next = s - surplus(s) / (1.25 * bent * std::sqrt(std::sqrt(s)) - i2r20 * per_k);
        if (!(next < s))
            break;
        const bool settled = s - next <= nearly * s;
        s = next;
        if (settled)
            break;
    }
    if (!(conductor_at_rise_degc(balance, s) < copper_melts_degc))
        return std::nullopt;
    return s;
}

} // namespace stoutloom::physics
