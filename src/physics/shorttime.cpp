// Pulses: temperature at their end, time to a limit, the pause they need, and the damage curve.
#include "physics/shorttime.h"

#include "physics/transient.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>

namespace stoutloom::physics {
namespace {

constexpr double for_ever_s = 1e8; // three years: longer than any cable's time constant by four powers of ten

Warmth warmth_at_start(const Lumps& lumps, double start_degc) {
    return settled_warmth(lumps, std::max(start_degc, lumps.balance.ambient_degc));
}

/// One period from a state, and what the state is a period later.
struct Period {
    Warmth next;
    double peak_degc;
};
struct Rhythm {
    double current_a, on_s, off_s;
};
Period one_period(const Lumps& lumps, const Warmth& start, const Rhythm& rhythm) {
    constexpr double no_stop = copper_melts_degc;
    const Run on = run_pulse(lumps, start, {rhythm.current_a, rhythm.on_s, no_stop});
    if (on.stopped)
        return {on.end, copper_melts_degc};
    return {run_pulse(lumps, on.end, {0, rhythm.off_s, no_stop}).end, on.hottest_degc};
}

/// Peak of the rhythm once it repeats itself: Newton on next(start) = start; a search that does not settle is
/// burnt.
double lasting_peak_degc(const Lumps& lumps, const Rhythm& rhythm, Warmth start) {
    constexpr double nudge_k = 0.05;
    const double floor_degc = lumps.balance.ambient_degc;
    for (int round = 0; round < 25; ++round) {
        const Period here = one_period(lumps, start, rhythm);
        const double fc = here.next.copper_degc - start.copper_degc;
        const double fw = here.next.wall_degc - start.wall_degc;
        if (here.peak_degc >= copper_melts_degc)
            return copper_melts_degc;
        if (std::max(std::abs(fc), std::abs(fw)) < 2e-3)
            return here.peak_degc + 2e-3;
        const Period by_copper = one_period(lumps, {start.copper_degc + nudge_k, start.wall_degc}, rhythm);
        const double a = (by_copper.next.copper_degc - here.next.copper_degc) / nudge_k - 1;
        const double c = (by_copper.next.wall_degc - here.next.wall_degc) / nudge_k;
        double b = 0;
        double d = -1;
        if (lumps.wall_j_per_km > 0) {
            const Period by_wall = one_period(lumps, {start.copper_degc, start.wall_degc + nudge_k}, rhythm);
            b = (by_wall.next.copper_degc - here.next.copper_degc) / nudge_k;
            d = (by_wall.next.wall_degc - here.next.wall_degc) / nudge_k - 1;
        }
        const double determinant = a * d - b * c;
        if (!(std::abs(determinant) > 1e-12))
            return copper_melts_degc;
        start.copper_degc = std::max(floor_degc, start.copper_degc - (d * fc - b * fw) / determinant);
        start.wall_degc = std::max(floor_degc, start.wall_degc - (a * fw - c * fc) / determinant);
    }
    return copper_melts_degc;
}

} // namespace

double temperature_after_degc(const Stretch& stretch, const Pulse& pulse) {
    const auto two = lumps(stretch);
    if (!two || !std::isfinite(pulse.start_degc) || !std::isfinite(pulse.current_a) ||
        std::isnan(pulse.duration_s))
        return copper_melts_degc;
    return run_pulse(*two, warmth_at_start(*two, pulse.start_degc),
                     {pulse.current_a, std::clamp(pulse.duration_s, 0.0, for_ever_s), copper_melts_degc})
        .hottest_degc;
}

std::optional<double> time_to_temperature_s(const Stretch& stretch, double start_degc, double current_a,
                                            double limit_degc) {
    const auto two = lumps(stretch);
    if (!two || !std::isfinite(start_degc) || !std::isfinite(current_a) || std::isnan(limit_degc))
        return 0;
    const auto rise_k = settled_surface_rise_k(two->balance, current_a);
    const Warmth start = warmth_at_start(*two, start_degc);
    if (start.copper_degc >= limit_degc)
        return 0;
    if (rise_k && conductor_at_rise_degc(two->balance, *rise_k) <= limit_degc)
        return std::nullopt;
    const Run run = run_pulse(*two, start, {current_a, for_ever_s, limit_degc});
    if (!run.stopped)
        return std::nullopt;
    return run.time_s;
}

std::size_t HarmTimes::Hash::operator()(const Key& key) const {
    std::size_t mixed = 0;
    for (const double one : key)
        mixed = (mixed ^ std::hash<double>{}(one)) * 0x9e3779b97f4a7c15ULL;
    return mixed;
}

std::optional<double> HarmTimes::ask(const Stretch& stretch, double start_degc, double current_a,
                                     double limit_degc) {
    constexpr std::size_t most_kept = 200'000;
    const Conductor& conductor = stretch.conductor;
    const Surroundings& around = stretch.around;
    const Key key = {conductor.section_mm2,
                     conductor.r20_ohm_per_m,
                     conductor.conductor_diameter_m,
                     conductor.outer_diameter_m,
                     stretch.insulation.class_degc,
                     stretch.insulation.thermal_resistivity_km_per_w,
                     around.ambient_degc,
                     static_cast<double>(around.mounting),
                     static_cast<double>(around.loaded_cables),
                     around.radiant_k,
                     start_degc,
                     current_a,
                     limit_degc};
    if (const auto found = known_.find(key); found != known_.end())
        return found->second;
    if (known_.size() >= most_kept)
        known_.clear();
    return known_[key] = time_to_temperature_s(stretch, start_degc, current_a, limit_degc);
}

double allowed_duty_fraction(const Stretch& stretch, double current_a, double on_s) {
    const auto two = lumps(stretch);
    if (!two || !std::isfinite(current_a) || !std::isfinite(on_s) || on_s <= 0)
        return 0;
    const double limit_degc = stretch.insulation.class_degc;
    if (two->balance.ambient_degc >= limit_degc)
        return 0;
    if (std::abs(current_a) <= ampacity_a(stretch))
        return 1;
    const Warmth cold{two->balance.ambient_degc, two->balance.ambient_degc};
    if (run_pulse(*two, cold, {current_a, on_s, limit_degc}).stopped)
        return 0;
    double low = 0;
    double high = 1;
    Warmth guess = settled_warmth(*two, (two->balance.ambient_degc + limit_degc) / 2);
    while (high - low > 1e-4) {
        const double fraction = (low + high) / 2;
        const Rhythm rhythm{current_a, on_s, std::min(on_s * (1 / fraction - 1), for_ever_s)};
        (lasting_peak_degc(*two, rhythm, guess) <= limit_degc ? low : high) = fraction;
    }
    return low;
}

double current_for_time_a(const Stretch& stretch, double start_degc, double limit_degc, double time_s) {
    const auto two = lumps(stretch);
    if (!two || !std::isfinite(start_degc) || !std::isfinite(limit_degc) || std::isnan(time_s))
        return 0;
    const Warmth start = warmth_at_start(*two, start_degc);
    if (start.copper_degc >= limit_degc)
        return 0;
    const double asked_s = std::clamp(time_s, 1e-6, for_ever_s);
    const auto too_much = [&](double current_a) {
        return run_pulse(*two, start, {current_a, asked_s, std::min(limit_degc, copper_melts_degc)}).stopped;
    };
    double low = current_at_temperature_a(stretch, limit_degc);
    double high = low + stretch.conductor.section_mm2 * 500 / std::sqrt(asked_s);
    while (!too_much(high)) {
        low = high;
        high *= 2;
        if (!std::isfinite(high))
            return low;
    }
    while (high - low > 1e-6 * high) {
        const double middle = (low + high) / 2;
        (too_much(middle) ? high : low) = middle;
    }
    return low; // the side that does not reach the limit
}

} // namespace stoutloom::physics
