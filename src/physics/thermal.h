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
    conduit  // in a closed loom, sleeve or conduit
};
std::string_view mounting_name(Mounting mounting);

/// What is around one stretch of cable.
struct Surroundings {
    double ambient_degc;
    Mounting mounting;
    int loaded_cables;   // cables of the loom that carry load here, this one included; 1 = alone
    double radiant_k;    // added ambient from sun or a hot pipe nearby
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

/// Conductor temperature at a steady current. The whole conductor's current; parallel runs are the caller's.
///   I^2 R(T) (T1 + T4) = T - Ta ; T1 = rho/(2 pi) ln(De/dc) ; T4 = 1/(pi De h dTs^(1/4)) ; h = Z/De^g + E
base::Outcome<double, Runaway> steady_temperature_degc(const Stretch& stretch, double current_a);

/// Current at which the conductor reaches its insulation's class temperature; 0 if the ambient is already there.
double ampacity_a(const Stretch& stretch);
/// The same for any conductor temperature.
double current_at_temperature_a(const Stretch& stretch, double conductor_degc);

/// The numbers behind one answer, for a worked explanation that a pocket calculator can follow.
struct HeatPath {
    double conductor_degc, surface_degc, ambient_degc;
    double loss_w_per_m, resistance_ohm_per_m;
    double wall_km_per_w;    // T1
    double surface_km_per_w; // T4
    double h_w_per_m2k54;    // h
    double grouping_factor;  // 1 alone
};
base::Outcome<HeatPath, Runaway> heat_path(const Stretch& stretch, double current_a);

/// Factor on ampacity for `loaded_cables` in one loom, and where it comes from.
struct Grouping {
    double factor;
    std::string source;
};
Grouping grouping_factor(int loaded_cables);

/// Installed-condition margin on every ampacity: marine tables sit 10 to 20 % below the free-air model.
constexpr double default_installed_margin_fraction = 0.87;
constexpr std::string_view installed_margin_reason =
    "published marine and building tables sit 10 to 20 % under the still-air model: dust, bends, lacing, old cable";

} // namespace stoutloom::physics
