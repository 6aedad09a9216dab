// Integration of the two lumps; every loop ends: steps have a floor, and their number a ceiling that counts
// as burnt.
#include "physics/transient.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace stoutloom::physics {
namespace {

constexpr double copper_j_per_k_m_mm2 = 3.45; // IEC 60949
constexpr double wall_j_per_k_m3 = 1.7e6;     // PVC, IEC 60853-2; polyethylene and rubber hold more
constexpr double error_per_step_k = 2e-5;
constexpr double still_k_per_s = 1e-9;
// Ten step errors: nearer than this the steps themselves dither round the steady state.
constexpr double at_rest_k = 2e-4;
constexpr int most_steps = 2'000'000;

struct Slope {
    double copper_k_per_s, wall_k_per_s;
};

Slope slope(const Lumps& lumps, const Warmth& at, double i2r20) {
    const HeatBalance& balance = lumps.balance;
    const double made = i2r20 * copper_factor(at.copper_degc);
    if (lumps.wall_j_per_km <= 0) {
        const double rise_k = at.copper_degc - balance.ambient_degc;
        return {(made - heat_at_rise_w_per_m(balance, std::max(rise_k, 0.0))) / lumps.copper_j_per_km, 0};
    }
    const double half_wall = balance.wall_km_per_w / 2;
    const double into_wall = (at.copper_degc - at.wall_degc) / half_wall;
    const double s = surface_rise_k(balance, at.wall_degc - balance.ambient_degc, half_wall);
    const double shed = heat_at_rise_w_per_m(balance, s);
    return {(made - into_wall) / lumps.copper_j_per_km, (into_wall - shed) / lumps.wall_j_per_km};
}

Warmth moved(const Warmth& from, const Slope& by, double time_s) {
    return {from.copper_degc + by.copper_k_per_s * time_s, from.wall_degc + by.wall_k_per_s * time_s};
}

struct Step {
    Warmth end;
    Slope end_slope;
    double error_k;
};

Step try_step(const Lumps& lumps, const Warmth& from, const Slope& k1, double i2r20, double h) {
    const Slope k2 = slope(lumps, moved(from, k1, h / 2), i2r20);
    const Slope k3 = slope(lumps, moved(from, k2, 0.75 * h), i2r20);
    const auto mix = [](double a, double b, double c) { return (2 * a + 3 * b + 4 * c) / 9; };
    const Slope mean{mix(k1.copper_k_per_s, k2.copper_k_per_s, k3.copper_k_per_s),
                     mix(k1.wall_k_per_s, k2.wall_k_per_s, k3.wall_k_per_s)};
    const Warmth end = moved(from, mean, h);
    const Slope k4 = slope(lumps, end, i2r20);
    const auto error = [h](double a, double b, double c, double d) {
        return std::abs(h * (-5.0 / 72 * a + b / 12 + c / 9 - d / 8));
    };
    return {end, k4,
            std::max(error(k1.copper_k_per_s, k2.copper_k_per_s, k3.copper_k_per_s, k4.copper_k_per_s),
                     error(k1.wall_k_per_s, k2.wall_k_per_s, k3.wall_k_per_s, k4.wall_k_per_s))};
}

Run burnt(double time_s) {
    return {.end = {copper_melts_degc, copper_melts_degc},
            .time_s = time_s,
            .hottest_degc = copper_melts_degc,
            .stopped = true};
}

/// Where within an accepted step the copper passes `stop_degc`: the step is taken again, ever shorter, and
/// the last state that is still under it is told.
// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): units in the names
Run crossing(const Lumps& lumps, const Run& before, const Slope& k1, double i2r20, double h,
             double stop_degc) {
    double low_s = 0;
    double high_s = h;
    Warmth end = before.end;
    for (int halving = 0; halving < 50 && high_s - low_s > 1e-12 * before.time_s; ++halving) {
        const double middle_s = (low_s + high_s) / 2;
        const Warmth there = try_step(lumps, before.end, k1, i2r20, middle_s).end;
        if (there.copper_degc >= stop_degc) {
            high_s = middle_s;
        } else {
            low_s = middle_s;
            end = there;
        }
    }
    return {.end = end, .time_s = before.time_s + low_s, .hottest_degc = stop_degc, .stopped = true};
}

} // namespace

std::optional<Lumps> lumps(const Stretch& stretch) {
    const auto balance = heat_balance(stretch);
    const Conductor& made = stretch.conductor;
    if (!balance || !std::isfinite(made.section_mm2) || made.section_mm2 <= 0)
        return std::nullopt;
    Lumps result{.balance = *balance, .copper_j_per_km = copper_j_per_k_m_mm2 * made.section_mm2};
    const double wall_m2 = std::numbers::pi / 4 *
                           (made.outer_diameter_m * made.outer_diameter_m -
                            made.conductor_diameter_m * made.conductor_diameter_m);
    if (balance->wall_km_per_w > 0)
        result.wall_j_per_km = wall_j_per_k_m3 * wall_m2;
    // A film of lacquer is no lump: its own time constant would only shorten every step.
    if (result.wall_j_per_km < 0.01 * result.copper_j_per_km)
        result.wall_j_per_km = 0;
    return result;
}

Warmth settled_warmth(const Lumps& lumps, double copper_degc) {
    const HeatBalance& balance = lumps.balance;
    const double s = surface_rise_k(balance, copper_degc - balance.ambient_degc, balance.wall_km_per_w);
    return {copper_degc, copper_degc - heat_at_rise_w_per_m(balance, s) * balance.wall_km_per_w / 2};
}

Run run_pulse(const Lumps& lumps, Warmth start, const Drive& drive) {
    const auto [current_a, duration_s, stop_degc] = drive;
    const double i2r20 = current_a * current_a * lumps.balance.r20_ohm_per_m;
    if (!std::isfinite(i2r20) || !std::isfinite(start.copper_degc))
        return burnt(0);
    Run run{.end = start, .hottest_degc = start.copper_degc};
    if (start.copper_degc >= stop_degc || start.copper_degc >= copper_melts_degc) {
        run.stopped = true;
        return run;
    }
    Slope k1 = slope(lumps, start, i2r20);
    double h = std::min(duration_s, 1e-3);
    const double ceiling_degc = std::min(stop_degc, copper_melts_degc);
    // Only a rest below the ceiling ends the run early: one above it has to pass it first.
    std::optional<Warmth> rest;
    if (const auto rise_k = settled_surface_rise_k(lumps.balance, current_a))
        if (const double there_degc = conductor_at_rise_degc(lumps.balance, *rise_k);
            there_degc < ceiling_degc)
            rest = settled_warmth(lumps, there_degc);
    const auto at_rest = [&](const Warmth& at) {
        return rest && std::abs(at.copper_degc - rest->copper_degc) < at_rest_k &&
               (lumps.wall_j_per_km <= 0 || std::abs(at.wall_degc - rest->wall_degc) < at_rest_k);
    };
    for (int step = 0; run.time_s < duration_s; ++step) {
        if (step >= most_steps)
            return burnt(run.time_s);
        h = std::min(h, duration_s - run.time_s);
        const Step tried = try_step(lumps, run.end, k1, i2r20, h);
        const double scale = 0.9 * std::cbrt(error_per_step_k / std::max(tried.error_k, 1e-12));
        const double floor_s = std::max(1e-9, run.time_s * 1e-15);
        if (tried.error_k > error_per_step_k && h > floor_s) {
            h *= std::clamp(scale, 0.1, 0.9);
            continue;
        }
        if (tried.end.copper_degc >= ceiling_degc)
            return crossing(lumps, run, k1, i2r20, h, ceiling_degc);
        run.end = tried.end;
        run.time_s = duration_s - run.time_s <= h ? duration_s : run.time_s + h;
        run.hottest_degc = std::max(run.hottest_degc, run.end.copper_degc);
        k1 = tried.end_slope;
        if (at_rest(run.end) ||
            (std::abs(k1.copper_k_per_s) < still_k_per_s && std::abs(k1.wall_k_per_s) < still_k_per_s)) {
            run.hottest_degc = std::max(run.hottest_degc, rest ? rest->copper_degc : 0.0);
            run.settled = true;
            run.time_s = duration_s;
            break;
        }
        h *= std::clamp(scale, 0.2, 4.0);
    }
    return run;
}

} // namespace stoutloom::physics
