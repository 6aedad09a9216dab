// One insulated cable in still air: temperature from current and current from temperature, after IEC 60287.
#pragma once

#include "base/insulation.h"
#include "base/outcome.h"
#include "physics/conductor.h"

#include <string>
#include <string_view>

namespace stoutloom::physics {

enum class Mounting {
    clear,   // single cable in free air: Z 0.21, E 3.94, g 0.60
    clipped, // clipped to a surface: Z 1.69, E 0.63, g 0.25
    conduit  // in a closed loom, sleeve or conduit on a surface: clipped, at 0.77 of its current
};
std::string_view mounting_name(Mounting mounting);

/// h = Z / De^g + E in W/(m2 K^(5/4)), De in m: constants of IEC 60287-2-1 table 3 (black surface).
struct SurfaceLaw {
    double z, e, g;
};
SurfaceLaw surface_law(Mounting mounting);

/// What is around one stretch of cable.
struct Surroundings {
    double ambient_degc;
    Mounting mounting;
    int loaded_cables; // cables of the loom that carry load here, this one included; 1 = alone
    double radiant_k;  // added ambient from sun or a hot pipe nearby; below zero counts as zero
};

struct Stretch {
    Conductor conductor;
    base::Insulation insulation;
    Surroundings around;
};

/// Why no temperature can be told: the loss grows faster than the surface sheds it.
struct Runaway {
    double current_a;
    std::string message;
};

/// Conductor temperature at a steady current (its magnitude counts). The whole conductor's current; parallel
/// runs are the caller's.
///   I^2 R(T) (T1 + T4) = T - Ta ; T1 = rho/(2 pi) ln(De/dc) ; T4 = 1/(pi De h dTs^(1/4)) ; h = Z/De^g + E
/// In a bundle or conduit I stands for I / (grouping factor * enclosure factor). Errors: no steady
/// temperature below the melting point of copper; a figure that is not a number.
base::Outcome<double, Runaway> steady_temperature_degc(const Stretch& stretch, double current_a);

/// Current at which the conductor reaches its insulation's class temperature; 0 if the ambient is already
/// there or a figure is not a number.
double ampacity_a(const Stretch& stretch);
/// The same for any conductor temperature.
double current_at_temperature_a(const Stretch& stretch, double conductor_degc);
/// The same for an arrangement of which the surface constants are known: single, alone, in still air.
struct Arrangement {
    SurfaceLaw law;
    double thermal_resistivity_km_per_w;
    double ambient_degc, conductor_degc;
};
double current_in_arrangement_a(const Conductor& conductor, const Arrangement& arrangement);

/// The numbers behind one answer, for a worked explanation that a pocket calculator can follow:
///   T - Ta = loss (T1 + T4) / (grouping * enclosure)^2 ; surface = T - loss T1 / (grouping * enclosure)^2
struct HeatPath {
    double conductor_degc, surface_degc, ambient_degc; // ambient with the radiant step
    double loss_w_per_m, resistance_ohm_per_m;
    double wall_km_per_w;    // T1
    double surface_km_per_w; // T4, alone
    double h_w_per_m2k54;    // h
    double grouping_factor;  // 1 alone
    double enclosure_factor; // 1 unless in a conduit
};
base::Outcome<HeatPath, Runaway> heat_path(const Stretch& stretch, double current_a);

/// Factor on ampacity for `loaded_cables` in one loom, and where it comes from.
struct Grouping {
    double factor;
    std::string source;
};
Grouping grouping_factor(int loaded_cables);
/// Factor on ampacity of the enclosure: conduit 0.77, the least ratio of reference method B (conduit on a
/// wall) to C (clipped direct) in IEC 60364-5-52 table B.52.4 / B.52.5 as read in BS 7671 4D1A and 4E1A; 1
/// otherwise.
Grouping enclosure_factor(Mounting mounting);

/// Installed-condition margin on every ampacity: marine tables sit 10 to 20 % below the free-air model.
constexpr double default_installed_margin_fraction = 0.87;
constexpr std::string_view installed_margin_reason =
    "published marine and building tables sit 10 to 20 % under the still-air model: dust, bends, lacing, old "
    "cable";

} // namespace stoutloom::physics
