// What a fuse-link of a type and rating does: when it opens, what it carries, what it costs in volts.
#include "physics/fuselink.h"

#include "physics/fuse_table.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace stoutloom::physics {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();

double log_log(double x, double x0, double y0, double x1, double y1) {
    return y0 * std::pow(y1 / y0, std::log(x / x0) / std::log(x1 / x0));
}

/// One edge of the band at a multiple of rating. `edge` picks min_s or max_s of a gate.
double edge_s(std::span<const FuseGate> gates, double multiple, double FuseGate::*edge) {
    const FuseGate& last = gates.back();
    if (multiple >= last.multiple) {
        const double ratio = last.multiple / multiple;
        return last.*edge * ratio * ratio;
    }
    for (std::size_t i = gates.size() - 1; i > 0; --i) {
        const FuseGate &low = gates[i - 1], &high = gates[i];
        if (multiple < low.multiple)
            continue;
        if (!std::isfinite(low.*edge) || !std::isfinite(high.*edge))
            return never;
        return log_log(multiple, low.multiple, low.*edge, high.multiple, high.*edge);
    }
    return never;
}

} // namespace

const FuseType* fuse_type_by_name(std::string_view name) {
    const auto types = fuse_types();
    const auto found =
        std::find_if(types.begin(), types.end(), [&](const FuseType& t) { return t.name == name; });
    return found == types.end() ? nullptr : &*found;
}

double breaking_capacity_at_a(const FuseType& type, double system_v) {
    if (!(system_v <= type.rated_voltage_v))
        return 0;
    if (type.name == "stud-cube" && system_v <= 14)
        return 10000;
    if (type.name == "stud-cube" && system_v <= 32)
        return 5000;
    return type.breaking_capacity_a;
}

double ambient_factor(const FuseType& type, double ambient_degc) {
    const auto rows = ambient_rows(type);
    if (std::isnan(ambient_degc))
        return 0;
    if (ambient_degc <= rows.front().ambient_degc)
        return rows.front().factor;
    std::size_t high = 1;
    while (high + 1 < rows.size() && rows[high].ambient_degc < ambient_degc)
        ++high;
    const AmbientRow &a = rows[high - 1], &b = rows[high];
    const double slope = (b.factor - a.factor) / (b.ambient_degc - a.ambient_degc);
    return std::max(0.0, a.factor + slope * (ambient_degc - a.ambient_degc));
}

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): units in the names
OperatingBand operating_band(const FuseType& type, double rating_a, double current_a, double ambient_degc) {
    const double multiple = std::abs(current_a) / rating_a;
    if (!(rating_a > 0) || !std::isfinite(multiple) || std::isnan(ambient_degc))
        return {0, never};
    const double factor = ambient_factor(type, ambient_degc);
    const double hot_multiple =
        factor > 0 ? multiple / std::min(factor, 1.0) : type.gates.back().multiple * 1e3;
    const double cold_multiple = multiple / std::max(factor, 1.0);
    const double fastest_s = edge_s(type.gates, hot_multiple, &FuseGate::min_s);
    const double slowest_s = edge_s(type.gates, cold_multiple, &FuseGate::max_s);
    return {std::min(fastest_s, slowest_s), slowest_s};
}

double least_fusing_current_a(const FuseType& type, double rating_a, double ambient_degc) {
    const auto sure = std::find_if(type.gates.begin(), type.gates.end(),
                                   [](const FuseGate& gate) { return std::isfinite(gate.max_s); });
    return rating_a * sure->multiple * std::max(ambient_factor(type, ambient_degc), 1.0);
}

double continuous_current_a(const FuseType& type, double rating_a, double ambient_degc) {
    return rating_a * type.continuous_fraction * ambient_factor(type, ambient_degc);
}

FuseResistance fuse_resistance(const FuseType& type, double rating_a) {
    if (!(rating_a > 0))
        return {0, 0, true};
    if (type.name == "C" || type.name == "F") {
        const auto rows = blade_resistance_rows();
        const double held = std::clamp(rating_a, rows.front().rating_a, rows.back().rating_a);
        std::size_t high = 1;
        while (high + 1 < rows.size() && rows[high].rating_a < held)
            ++high;
        const FuseResistanceRow &a = rows[high - 1], &b = rows[high];
        const double cold_ohm = log_log(held, a.rating_a, a.cold_ohm, b.rating_a, b.cold_ohm);
        const double drop_v = log_log(held, a.rating_a, a.drop_at_rating_v, b.rating_a, b.drop_at_rating_v);
        const bool in_table = rating_a == a.rating_a || rating_a == b.rating_a;
        return {cold_ohm, drop_v / held, !in_table || type.name != "C"};
    }
    // Own estimates from the usual 70 to 100 mV (blade, cartridge) and 60 to 100 mV (strip) at rated current.
    if (type.name == "E" || type.name == "A" || type.name == "B")
        return {0.060 / rating_a, 0.085 / rating_a, true};
    return {0.050 / rating_a, 0.080 / rating_a, true};
}

} // namespace stoutloom::physics
