// Fault heating with no loss: the k formula and what follows from it.
#include "physics/heat_balance.h"
#include "physics/shorttime.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace stoutloom::physics {
namespace {
constexpr double k_copper = 226; // sqrt(Qc (B + 20) / rho20), IEC 60949 figures for copper
constexpr double beta_degc = 234.5;
} // namespace

double adiabatic_k(double initial_degc, double final_degc) {
    if (!(final_degc > initial_degc) || !(initial_degc > -beta_degc))
        return 0;
    return k_copper * std::sqrt(std::log((beta_degc + final_degc) / (beta_degc + initial_degc)));
}

double adiabatic_section_mm2(double current_a, double time_s, double k) {
    if (!(k > 0) || std::isnan(current_a) || std::isnan(time_s))
        return std::numeric_limits<double>::infinity();
    return std::abs(current_a) * std::sqrt(std::max(time_s, 0.0)) / k;
}

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): units in the names
double adiabatic_final_degc(double initial_degc, double section_mm2, double i2t_a2s) {
    const double per_area = k_copper * section_mm2;
    const double final_degc =
        (beta_degc + initial_degc) * std::exp(i2t_a2s / (per_area * per_area)) - beta_degc;
    if (!(final_degc < copper_melts_degc))
        return copper_melts_degc;
    return final_degc;
}

double short_time_limit_degc(const base::Insulation& insulation) {
    const double by_class = insulation.class_degc <= 105 ? 160 : 250;
    return std::max(by_class, insulation.class_degc);
}

} // namespace stoutloom::physics
