// Steady temperature and ampacity of one cable: the public face of the heat balance.
#include "physics/thermal.h"

#include "physics/heat_balance.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace stoutloom::physics {
namespace {

Runaway no_steady_temperature(double current_a) {
    return {current_a,
            fmt::format("{:.4g} A has no steady temperature: the conductor would pass the melting point of "
                        "copper ({:.0f} degC) before it sheds what it makes",
                        std::abs(current_a), copper_melts_degc)};
}

Runaway not_a_number(double current_a) {
    return {current_a, "no temperature can be told: a current, ambient or dimension is not a usable number"};
}

double current_for(const HeatBalance& balance, double conductor_degc) {
    if (!std::isfinite(conductor_degc) || conductor_degc <= balance.ambient_degc)
        return 0;
    const double s = surface_rise_k(balance, conductor_degc - balance.ambient_degc, balance.wall_km_per_w);
    return std::sqrt(heat_at_rise_w_per_m(balance, s) /
                     (balance.r20_ohm_per_m * copper_factor(conductor_degc)));
}

} // namespace

std::string_view mounting_name(Mounting mounting) {
    switch (mounting) {
    case Mounting::clear:
        return "clear";
    case Mounting::clipped:
        return "clipped";
    case Mounting::conduit:
        return "conduit";
    }
    return "clipped";
}

SurfaceLaw surface_law(Mounting mounting) {
    if (mounting == Mounting::clear)
        return {.z = 0.21, .e = 3.94, .g = 0.60};
    return {.z = 1.69, .e = 0.63, .g = 0.25};
}

base::Outcome<double, Runaway> steady_temperature_degc(const Stretch& stretch, double current_a) {
    const auto balance = heat_balance(stretch);
    if (!balance || !std::isfinite(current_a))
        return base::failure(not_a_number(current_a));
    const auto rise_k = settled_surface_rise_k(*balance, current_a);
    if (!rise_k)
        return base::failure(no_steady_temperature(current_a));
    return conductor_at_rise_degc(*balance, *rise_k);
}

double current_at_temperature_a(const Stretch& stretch, double conductor_degc) {
    const auto balance = heat_balance(stretch);
    return balance ? current_for(*balance, conductor_degc) : 0;
}

double ampacity_a(const Stretch& stretch) {
    return current_at_temperature_a(stretch, stretch.insulation.class_degc);
}

double current_in_arrangement_a(const Conductor& conductor, const Arrangement& arrangement) {
    const Stretch stretch{
        .conductor = conductor,
        .insulation = {.text = {},
                       .class_degc = arrangement.conductor_degc,
                       .thermal_resistivity_km_per_w = arrangement.thermal_resistivity_km_per_w},
        .around = {.ambient_degc = arrangement.ambient_degc,
                   .mounting = Mounting::clear,
                   .loaded_cables = 1,
                   .radiant_k = 0}};
    auto balance = heat_balance(stretch);
    if (!balance)
        return 0;
    const double outer_m = conductor.outer_diameter_m;
    const double h = arrangement.law.z / std::pow(outer_m, arrangement.law.g) + arrangement.law.e;
    balance->surface_w_per_m_k54 = std::numbers::pi * outer_m * h;
    return current_for(*balance, arrangement.conductor_degc);
}

base::Outcome<HeatPath, Runaway> heat_path(const Stretch& stretch, double current_a) {
    const auto balance = heat_balance(stretch);
    if (!balance || !std::isfinite(current_a))
        return base::failure(not_a_number(current_a));
    const auto rise_k = settled_surface_rise_k(*balance, current_a);
    if (!rise_k)
        return base::failure(no_steady_temperature(current_a));
    const double conductor_degc = conductor_at_rise_degc(*balance, *rise_k);
    const double grouping = grouping_factor(stretch.around.loaded_cables).factor;
    const double enclosure = enclosure_factor(stretch.around.mounting).factor;
    const double factor2 = grouping * grouping * enclosure * enclosure;
    const double outer_m = stretch.conductor.outer_diameter_m;
    const double h = balance->surface_w_per_m_k54 / (std::numbers::pi * outer_m * factor2);
    const double quarter = std::sqrt(std::sqrt(*rise_k));
    return HeatPath{.conductor_degc = conductor_degc,
                    .surface_degc = balance->ambient_degc + *rise_k,
                    .ambient_degc = balance->ambient_degc,
                    .loss_w_per_m = heat_at_rise_w_per_m(*balance, *rise_k),
                    .resistance_ohm_per_m = resistance_ohm_per_m(stretch.conductor, conductor_degc),
                    .wall_km_per_w = balance->wall_km_per_w * factor2,
                    .surface_km_per_w = 1 / (std::numbers::pi * outer_m * h * quarter),
                    .h_w_per_m2k54 = h,
                    .grouping_factor = grouping,
                    .enclosure_factor = enclosure};
}

} // namespace stoutloom::physics
