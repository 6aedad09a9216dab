// Heat along the copper: what a hot or cool end does to a short stretch.
#include "physics/heat_balance.h"
#include "physics/shorttime.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::physics {
namespace {

constexpr double copper_w_per_m_k = 385;

/// The slope of (heat shed - heat made) over conductor temperature, at a surface rise.
// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): units in the names
double restoring_w_per_m_k(const HeatBalance& balance, double surface_rise_k, double current_a) {
    const double i2r20 = current_a * current_a * balance.r20_ohm_per_m;
    if (surface_rise_k <= 0)
        return 0;
    const double surface_slope = 1.25 * heat_at_rise_w_per_m(balance, surface_rise_k) / surface_rise_k;
    return 1 / (balance.wall_km_per_w + 1 / surface_slope) - i2r20 * 0.00393;
}

} // namespace

double peak_with_hot_ends_degc(const Stretch& stretch, double current_a, const HotEnds& ends) {
    const auto balance = heat_balance(stretch);
    if (!balance || !std::isfinite(current_a) || !std::isfinite(ends.first_end_degc) ||
        !std::isfinite(ends.second_end_degc) || std::isnan(ends.length_m))
        return copper_melts_degc;
    const auto rise_k = settled_surface_rise_k(*balance, current_a);
    if (!rise_k)
        return copper_melts_degc;
    const double steady_degc = conductor_at_rise_degc(*balance, *rise_k);
    const double hotter_end_degc = std::max(ends.first_end_degc, ends.second_end_degc);
    // Above its steady temperature the copper sheds more than it makes: no peak can lie between the ends.
    if (hotter_end_degc >= steady_degc || ends.length_m <= 0)
        return hotter_end_degc;

    const double slope = restoring_w_per_m_k(*balance, *rise_k, current_a);
    const double conductance = copper_w_per_m_k * stretch.conductor.section_mm2 * 1e-6;
    if (!(slope > 0))
        return steady_degc;
    const double u = std::sqrt(conductance / slope);
    const double lengths = ends.length_m / u;
    if (lengths > 60)
        return steady_degc; // cosh beyond any use: the middle does not feel the ends
    const double a = steady_degc - ends.first_end_degc;
    const double b = steady_degc - ends.second_end_degc;
    // deficit(x) = p e^(x/u) + q e^(-x/u); its least value is 2 sqrt(p q) where that lies between the ends.
    const double sinh2 = 2 * std::sinh(lengths);
    const double p = (b - a * std::exp(-lengths)) / sinh2;
    const double q = (a * std::exp(lengths) - b) / sinh2;
    if (p <= 0 || q <= 0)
        return hotter_end_degc;
    const double place = 0.5 * std::log(q / p);
    if (place <= 0 || place >= lengths)
        return hotter_end_degc;
    return steady_degc - 2 * std::sqrt(p * q);
}

double fin_length_m(const Stretch& stretch, double current_a) {
    const auto balance = heat_balance(stretch);
    if (!balance || !std::isfinite(current_a))
        return 0;
    const auto settled_k = settled_surface_rise_k(*balance, current_a);
    const double rise_k = std::max(settled_k.value_or(10), 10.0);
    const double to_air = rise_k / heat_at_rise_w_per_m(*balance, rise_k);
    return std::sqrt(copper_w_per_m_k * stretch.conductor.section_mm2 * 1e-6 *
                     (balance->wall_km_per_w + to_air));
}

} // namespace stoutloom::physics
