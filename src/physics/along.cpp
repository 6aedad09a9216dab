// The fin equation over a route: one unknown temperature where two stretches meet, a tridiagonal system.
#include "physics/along.h"

#include "physics/heat_balance.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::physics {
namespace {

constexpr double copper_w_per_m_k = 385;

/// One stretch under a tangent: it would settle at `rest_degc`, and departures from there die away by 1/e in
/// `reach_m` (infinite where nothing restores them: then heat is only conducted).
struct Fin {
    double length_m, rest_degc, reach_m, conductance_w_m_per_k;

    bool restores() const { return std::isfinite(reach_m); }
    double lengths() const { return length_m / reach_m; }
    /// Heat flow into the stretch at an end, per kelvin of that end, and (with a minus) per kelvin of the
    /// other.
    double own_w_per_k() const {
        return restores() ? conductance_w_m_per_k / reach_m / std::tanh(lengths())
                          : conductance_w_m_per_k / length_m;
    }
    double other_w_per_k() const {
        if (!restores())
            return conductance_w_m_per_k / length_m;
        return lengths() > 300 ? 0 : conductance_w_m_per_k / reach_m / std::sinh(lengths());
    }
};

/// The tangent to heat shed less heat made, at a surface rise.
Fin fin_at(const HeatBalance& balance, const RouteStretch& part, double current_a, double surface_rise) {
    const double i2r20 = current_a * current_a * balance.r20_ohm_per_m;
    const double conductance = copper_w_per_m_k * part.stretch.conductor.section_mm2 * 1e-6;
    const double degc = conductor_at_rise_degc(balance, surface_rise);
    double slope = -i2r20 * 0.00393;
    if (surface_rise > 0) {
        const double surface_slope = 1.25 * heat_at_rise_w_per_m(balance, surface_rise) / surface_rise;
        slope += 1 / (balance.wall_km_per_w + 1 / surface_slope);
    }
    if (!(slope > 0))
        return {part.length_m, degc, HUGE_VAL, conductance};
    const double surplus = heat_at_rise_w_per_m(balance, surface_rise) - i2r20 * copper_factor(degc);
    return {part.length_m, degc - surplus / slope, std::sqrt(conductance / slope), conductance};
}

/// The route with what each stretch would settle at alone.
struct Settled {
    std::vector<RouteStretch> route;
    std::vector<HeatBalance> balances;
    std::vector<double> rises_k;
};

base::Outcome<Settled, Runaway> settled(std::span<const RouteStretch> route, double current_a) {
    const auto runaway = [&](std::string why) {
        return base::failure(Runaway{.current_a = current_a, .message = std::move(why)});
    };
    Settled made;
    for (const RouteStretch& part : route) {
        const auto balance = heat_balance(part.stretch);
        if (!balance || !std::isfinite(current_a) || !std::isfinite(part.length_m) || part.length_m < 0)
            return runaway("a figure of the route is not a number");
        const auto rise_k = settled_surface_rise_k(*balance, current_a);
        if (!rise_k)
            return runaway("a stretch has no steady temperature below the melting point of copper");
        constexpr double least_length_m = 1e-4;
        made.route.push_back(part);
        made.route.back().length_m = std::max(part.length_m, least_length_m);
        made.balances.push_back(*balance);
        made.rises_k.push_back(*rise_k);
    }
    if (made.route.empty())
        return runaway("the cable has no route");
    return made;
}

std::vector<Fin> fins_at(const Settled& at, const std::vector<double>& rises_k, double current_a) {
    std::vector<Fin> fins;
    for (std::size_t i = 0; i < at.route.size(); ++i) {
        fins.push_back(fin_at(at.balances[i], at.route[i], current_a, rises_k[i]));
        // Below its rest a tangent can lean the wrong way; the one at rest never does while current flows.
        if (!fins.back().restores())
            fins.back() = fin_at(at.balances[i], at.route[i], current_a, at.rises_k[i]);
    }
    return fins;
}

/// Temperatures of the ends and of every meeting point.
std::vector<double> meeting_points(const std::vector<Fin>& fins, const StudHeat& studs) {
    const std::size_t n = fins.size() + 1;
    std::vector<double> diagonal(n, 0.0), right(n, 0.0), beside(n, 0.0); // beside[i]: between i and i + 1
    for (std::size_t i = 0; i < fins.size(); ++i) {
        const double own = fins[i].own_w_per_k();
        const double other = fins[i].other_w_per_k();
        diagonal[i] += own;
        diagonal[i + 1] += own;
        beside[i] = -other;
        if (!fins[i].restores())
            continue;
        right[i] += (own - other) * fins[i].rest_degc;
        right[i + 1] += (own - other) * fins[i].rest_degc;
    }
    const auto hold = [&](std::size_t i, double degc) {
        if (i > 0) {
            right[i - 1] -= beside[i - 1] * degc;
            beside[i - 1] = 0;
        }
        if (i + 1 < n) {
            right[i + 1] -= beside[i] * degc;
            beside[i] = 0;
        }
        diagonal[i] = 1;
        right[i] = degc;
    };
    if (studs.first_degc)
        hold(0, *studs.first_degc);
    if (studs.last_degc)
        hold(n - 1, *studs.last_degc);
    const bool anchored =
        studs.first_degc || studs.last_degc ||
        std::any_of(fins.begin(), fins.end(), [](const Fin& fin) { return fin.restores(); });
    if (!anchored) { // nothing flows and nothing restores: every part is at its own rest, the hottest counts
        const auto hottest = std::max_element(fins.begin(), fins.end(), [](const Fin& one, const Fin& other) {
            return one.rest_degc < other.rest_degc;
        });
        std::vector<double> all(n, hottest->rest_degc);
        return all;
    }
    for (std::size_t i = 1; i < n; ++i) {
        const double share = beside[i - 1] / diagonal[i - 1];
        diagonal[i] -= share * beside[i - 1];
        right[i] -= share * right[i - 1];
    }
    std::vector<double> degc(n);
    for (std::size_t i = n; i-- > 0;)
        degc[i] = (right[i] - (i + 1 < n ? beside[i] * degc[i + 1] : 0)) / diagonal[i];
    return degc;
}

/// Between its ends a stretch lies under its rest by p e^(x/u) + q e^(-x/u).
StretchWarmth warmth_between(const Fin& fin, double first_degc, double last_degc) {
    const double hotter = std::max(first_degc, last_degc);
    if (!fin.restores() || !(fin.length_m > 0))
        return {.peak_degc = hotter, .mean_degc = (first_degc + last_degc) / 2};
    const double lengths = fin.lengths();
    const double a = fin.rest_degc - first_degc;
    const double b = fin.rest_degc - last_degc;
    StretchWarmth warmth{.peak_degc = hotter,
                         .mean_degc = fin.rest_degc - (a + b) * std::tanh(lengths / 2) / lengths};
    if (lengths > 60) {
        warmth.peak_degc = std::max(hotter, fin.rest_degc);
        return warmth;
    }
    const double sinh2 = 2 * std::sinh(lengths);
    const double p = (b - a * std::exp(-lengths)) / sinh2;
    const double q = (a * std::exp(lengths) - b) / sinh2;
    if (p <= 0 || q <= 0)
        return warmth;
    const double place = 0.5 * std::log(q / p);
    if (place > 0 && place < lengths)
        warmth.peak_degc = std::max(hotter, fin.rest_degc - 2 * std::sqrt(p * q));
    return warmth;
}

std::vector<StretchWarmth> warmth_of(const std::vector<Fin>& fins, const StudHeat& studs) {
    const std::vector<double> degc = meeting_points(fins, studs);
    std::vector<StretchWarmth> warmth;
    for (std::size_t i = 0; i < fins.size(); ++i)
        warmth.push_back(warmth_between(fins[i], degc[i], degc[i + 1]));
    return warmth;
}

} // namespace

base::Outcome<std::vector<StretchWarmth>, Runaway> route_warmth(std::span<const RouteStretch> route,
                                                                double current_a, const StudHeat& studs) {
    const auto at = settled(route, current_a);
    if (!at)
        return base::failure(Runaway{at.error()});
    std::vector<StretchWarmth> warmth = warmth_of(fins_at(*at, at->rises_k, current_a), studs);
    const auto lower_by = [&](const std::vector<double>& rises_k) {
        const std::vector<StretchWarmth> other = warmth_of(fins_at(*at, rises_k, current_a), studs);
        for (std::size_t i = 0; i < warmth.size(); ++i) {
            warmth[i].peak_degc = std::min(warmth[i].peak_degc, other[i].peak_degc);
            warmth[i].mean_degc = std::min(warmth[i].mean_degc, other[i].mean_degc);
        }
    };
    constexpr double warmed_rise_k = 10;
    std::vector<double> rises_k = at->rises_k;
    for (double& rise_k : rises_k)
        rise_k = std::max(rise_k, warmed_rise_k);
    lower_by(rises_k);
    constexpr int refinements = 3;
    for (int round = 0; round < refinements; ++round) {
        for (std::size_t i = 0; i < rises_k.size(); ++i)
            rises_k[i] = surface_rise_k(at->balances[i], warmth[i].mean_degc - at->balances[i].ambient_degc,
                                        at->balances[i].wall_km_per_w);
        lower_by(rises_k);
    }
    return warmth;
}

double route_ampacity_a(std::span<const RouteStretch> route, const StudHeat& studs) {
    if (route.empty())
        return 0;
    const double class_degc = route.front().stretch.insulation.class_degc;
    double low = HUGE_VAL;
    double high = 0;
    for (const RouteStretch& part : route) {
        const double alone_a = ampacity_a(part.stretch);
        low = std::min(low, alone_a);
        high = std::max(high, alone_a);
    }
    for (const auto& stud : {studs.first_degc, studs.last_degc})
        if (stud && !(*stud < class_degc))
            return 0;
    const auto stands = [&](double current_a) {
        const auto warmth = route_warmth(route, current_a, studs);
        return warmth && std::all_of(warmth->begin(), warmth->end(), [&](const StretchWarmth& part) {
                   return part.peak_degc <= class_degc * (1 + 1e-9);
               });
    };
    // Air at the class stays out of the question: no neighbour's cooling is credited against it.
    if (!(low > 0))
        return 0;
    // Cool studs can carry even the coolest stretch past its own figure, yet that is not counted on.
    if (stands(high))
        return high;
    if (!stands(low))
        low = 0;
    while (high - low > 1e-6 * high) {
        const double middle = (low + high) / 2;
        (stands(middle) ? low : high) = middle;
    }
    return low;
}

} // namespace stoutloom::physics
