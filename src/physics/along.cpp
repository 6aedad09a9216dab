// The fin equation over a route: one unknown temperature where two stretches meet, a tridiagonal system.
#include "physics/along.h"

#include "physics/heat_balance.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::physics {
namespace {

constexpr double copper_w_per_m_k = 385;
constexpr double warmed_rise_k = 10; // of a tangent for what its neighbours warm

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
// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): units in the names
Fin fin_at(const HeatBalance& balance, const RouteStretch& part, double current_a, double rise_k) {
    const double i2r20 = current_a * current_a * balance.r20_ohm_per_m;
    const double conductance = copper_w_per_m_k * part.stretch.conductor.section_mm2 * 1e-6;
    const double degc = conductor_at_rise_degc(balance, rise_k);
    double slope = -i2r20 * 0.00393;
    if (rise_k > 0) {
        const double surface_slope = 1.25 * heat_at_rise_w_per_m(balance, rise_k) / rise_k;
        slope += 1 / (balance.wall_km_per_w + 1 / surface_slope);
    }
    if (!(slope > 0))
        return {part.length_m, degc, HUGE_VAL, conductance};
    const double surplus = heat_at_rise_w_per_m(balance, rise_k) - i2r20 * copper_factor(degc);
    return {part.length_m, degc - surplus / slope, std::sqrt(conductance / slope), conductance};
}

/// The route in pieces, with what each would settle at alone.
struct Settled {
    std::vector<RouteStretch> route;
    std::vector<HeatBalance> balances;
    std::vector<double> rises_k;
    std::vector<std::size_t> stretch; // which stretch a piece belongs to
};

/// Lengths of the pieces of one stretch, in order. Near its ends the temperature changes and one tangent is
/// too flat for all of it: there the pieces are short against the reach.
std::vector<double> piece_lengths_m(const Fin& whole) {
    std::vector<double> from_an_end;
    for (const double reaches : {0.25, 0.35, 0.5, 0.9})
        from_an_end.push_back(reaches * whole.reach_m);
    double both_ends_m = 0;
    std::size_t taken = 0;
    while (taken < from_an_end.size() && both_ends_m + 2 * from_an_end[taken] < whole.length_m)
        both_ends_m += 2 * from_an_end[taken++];
    std::vector<double> lengths(from_an_end.begin(),
                                from_an_end.begin() + static_cast<std::ptrdiff_t>(taken));
    lengths.push_back(whole.length_m - both_ends_m);
    while (taken > 0)
        lengths.push_back(from_an_end[--taken]);
    return lengths;
}

base::Outcome<Settled, Runaway> settled(std::span<const RouteStretch> route, double current_a,
                                        const StudHeat& studs) {
    const auto runaway = [&](std::string why) {
        return base::failure(Runaway{.current_a = current_a, .message = std::move(why)});
    };
    const bool even = route.size() == 1 && !studs.first_degc && !studs.last_degc;
    Settled made;
    for (std::size_t i = 0; i < route.size(); ++i) {
        RouteStretch part = route[i];
        const auto balance = heat_balance(part.stretch);
        if (!balance || !std::isfinite(current_a) || !std::isfinite(part.length_m) || part.length_m < 0)
            return runaway("a figure of the route is not a number");
        const auto rise_k = settled_surface_rise_k(*balance, current_a);
        if (!rise_k)
            return runaway("a stretch has no steady temperature below the melting point of copper");
        constexpr double least_length_m = 1e-4;
        part.length_m = std::max(part.length_m, least_length_m);
        Fin whole = fin_at(*balance, part, current_a, std::max(*rise_k, warmed_rise_k));
        if (even)
            whole.reach_m = HUGE_VAL;
        for (const double piece_m : piece_lengths_m(whole)) {
            part.length_m = piece_m;
            made.route.push_back(part);
            made.balances.push_back(*balance);
            made.rises_k.push_back(*rise_k);
            made.stretch.push_back(i);
        }
    }
    if (made.route.empty())
        return runaway("the cable has no route");
    return made;
}

/// Surface rise at a temperature; below the air the surface takes heat up by the same law.
double rise_at_k(const HeatBalance& balance, double degc) {
    const double total_k = degc - balance.ambient_degc;
    return std::copysign(surface_rise_k(balance, std::abs(total_k), balance.wall_km_per_w), total_k);
}

/// Where the tangents touch, and down to which temperature each piece may lie for them to stay below the law.
struct Touch {
    std::vector<double> rises_k, least_degc;
};

/// Above the air the law bends upwards, below it downwards: a tangent at rise s crosses it again at -3.12 s,
/// the root of x^(5/4) = 1/4 + 5/4 x. Touching no lower than this it stays below the law all the way.
double touching_k(const HeatBalance& balance, double wanted_rise_k, double least_degc) {
    constexpr double crosses_at = 3.1;
    return std::max(wanted_rise_k, -rise_at_k(balance, least_degc) / crosses_at);
}

std::vector<Fin> fins_at(const Settled& at, const Touch& touch, double current_a) {
    std::vector<Fin> fins;
    for (std::size_t i = 0; i < at.route.size(); ++i) {
        const double rise_k = touching_k(at.balances[i], touch.rises_k[i], touch.least_degc[i]);
        fins.push_back(fin_at(at.balances[i], at.route[i], current_a, rise_k));
        // Below its rest a tangent can lean the wrong way; the one at rest never does while current flows.
        if (!fins.back().restores())
            fins.back() = fin_at(at.balances[i], at.route[i], current_a, std::max(rise_k, at.rises_k[i]));
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

struct PieceWarmth {
    double peak_degc, mean_degc, least_degc;
};

/// Between its ends a piece lies under its rest by p e^(x/u) + q e^(-x/u).
PieceWarmth warmth_between(const Fin& fin, double first_degc, double last_degc) {
    const double hotter = std::max(first_degc, last_degc);
    const double cooler = std::min(first_degc, last_degc);
    if (!fin.restores() || !(fin.length_m > 0))
        return {.peak_degc = hotter, .mean_degc = (first_degc + last_degc) / 2, .least_degc = cooler};
    const double lengths = fin.lengths();
    const double a = fin.rest_degc - first_degc;
    const double b = fin.rest_degc - last_degc;
    PieceWarmth warmth{.peak_degc = hotter,
                       .mean_degc = fin.rest_degc - (a + b) * std::tanh(lengths / 2) / lengths,
                       .least_degc = cooler};
    if (lengths > 60) {
        warmth.peak_degc = std::max(hotter, fin.rest_degc);
        warmth.least_degc = std::min(cooler, fin.rest_degc);
        return warmth;
    }
    const double sinh2 = 2 * std::sinh(lengths);
    const double p = (b - a * std::exp(-lengths)) / sinh2;
    const double q = (a * std::exp(lengths) - b) / sinh2;
    if (!(p * q > 0))
        return warmth;
    const double place = 0.5 * std::log(q / p);
    if (place > 0 && place < lengths) {
        const double turning_degc = fin.rest_degc - std::copysign(2 * std::sqrt(p * q), p);
        warmth.peak_degc = std::max(hotter, turning_degc);
        warmth.least_degc = std::min(cooler, turning_degc);
    }
    return warmth;
}

std::vector<PieceWarmth> warmth_of(const std::vector<Fin>& fins, const StudHeat& studs) {
    const std::vector<double> degc = meeting_points(fins, studs);
    std::vector<PieceWarmth> warmth;
    for (std::size_t i = 0; i < fins.size(); ++i)
        warmth.push_back(warmth_between(fins[i], degc[i], degc[i + 1]));
    return warmth;
}

/// Nowhere is the route cooler than the coolest stretch by itself or the coolest stud.
Touch first_touch(const Settled& at, const StudHeat& studs) {
    double least_degc = std::min(studs.first_degc.value_or(HUGE_VAL), studs.last_degc.value_or(HUGE_VAL));
    for (std::size_t i = 0; i < at.route.size(); ++i)
        least_degc = std::min(least_degc, conductor_at_rise_degc(at.balances[i], at.rises_k[i]));
    return {.rises_k = at.rises_k, .least_degc = std::vector<double>(at.route.size(), least_degc)};
}

/// Closer to an answer: at each piece's mean, allowing for the next answer to be cooler by a margin.
Touch closer_touch(const Settled& at, const std::vector<PieceWarmth>& warmth) {
    Touch touch;
    for (std::size_t i = 0; i < warmth.size(); ++i) {
        const double under_air_k = std::max(at.balances[i].ambient_degc - warmth[i].least_degc, 0.0);
        touch.rises_k.push_back(rise_at_k(at.balances[i], warmth[i].mean_degc));
        touch.least_degc.push_back(warmth[i].least_degc - 1 - 0.25 * under_air_k);
    }
    return touch;
}

bool within(const Touch& touch, const std::vector<PieceWarmth>& warmth) {
    for (std::size_t i = 0; i < warmth.size(); ++i)
        if (warmth[i].least_degc < touch.least_degc[i])
            return false;
    return true;
}

/// Temperatures by piece, none below the full balance.
std::vector<PieceWarmth> least_warmth(const Settled& at, double current_a, const StudHeat& studs) {
    Touch touch = first_touch(at, studs);
    std::vector<PieceWarmth> least = warmth_of(fins_at(at, touch, current_a), studs);
    const auto lower_by = [&](const std::vector<PieceWarmth>& other) {
        for (std::size_t i = 0; i < least.size(); ++i) {
            least[i].peak_degc = std::min(least[i].peak_degc, other[i].peak_degc);
            least[i].mean_degc = std::min(least[i].mean_degc, other[i].mean_degc);
        }
    };
    if (least.size() == 1)
        return least;
    for (double& rise_k : touch.rises_k)
        rise_k = std::max(rise_k, warmed_rise_k);
    std::vector<PieceWarmth> latest = warmth_of(fins_at(at, touch, current_a), studs);
    lower_by(latest);
    constexpr int refinements = 4;
    for (int round = 0; round < refinements; ++round) {
        touch = closer_touch(at, latest);
        latest = warmth_of(fins_at(at, touch, current_a), studs);
        if (within(touch, latest)) // otherwise a tangent may cross the law, and nothing is proven
            lower_by(latest);
    }
    return least;
}

std::vector<StretchWarmth> by_stretch(const Settled& at, const std::vector<PieceWarmth>& pieces) {
    std::vector<StretchWarmth> warmth(at.stretch.back() + 1, {.peak_degc = -HUGE_VAL, .mean_degc = 0});
    std::vector<double> length_m(warmth.size(), 0.0);
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        StretchWarmth& whole = warmth[at.stretch[i]];
        whole.peak_degc = std::max(whole.peak_degc, pieces[i].peak_degc);
        whole.mean_degc += pieces[i].mean_degc * at.route[i].length_m;
        length_m[at.stretch[i]] += at.route[i].length_m;
    }
    for (std::size_t i = 0; i < warmth.size(); ++i)
        warmth[i].mean_degc /= length_m[i];
    return warmth;
}

struct Bracket {
    double low_a, high_a; // stands, does not stand
};

/// Greatest current that stands, to a millionth. Heat goes with the square of the current, so the guess is on
/// a straight line over the squares, every third time halfway.
template <class OverClass> double last_standing_a(Bracket bracket, OverClass over_class_k) {
    double under_k = over_class_k(bracket.low_a);
    double over_k = over_class_k(bracket.high_a);
    for (int step = 0; bracket.high_a - bracket.low_a > 1e-6 * bracket.high_a; ++step) {
        const double width_a = bracket.high_a - bracket.low_a;
        double share = 0.5;
        if (step % 3 != 2 && std::isfinite(over_k - under_k) && over_k > under_k)
            share = -under_k / (over_k - under_k);
        const double low2 = bracket.low_a * bracket.low_a;
        const double high2 = bracket.high_a * bracket.high_a;
        double guess_a = std::sqrt(low2 + share * (high2 - low2));
        // A little to the side on which the bracket is wider, so that both its ends come close.
        const double aside_a = std::max(3e-7 * bracket.high_a, 0.02 * width_a);
        guess_a += guess_a - bracket.low_a < bracket.high_a - guess_a ? aside_a : -aside_a;
        guess_a = std::clamp(guess_a, bracket.low_a + 0.01 * width_a, bracket.high_a - 0.01 * width_a);
        const double k = over_class_k(guess_a);
        (k <= 0 ? bracket.low_a : bracket.high_a) = guess_a;
        (k <= 0 ? under_k : over_k) = k;
    }
    return bracket.low_a;
}

} // namespace

base::Outcome<std::vector<StretchWarmth>, Runaway> route_warmth(std::span<const RouteStretch> route,
                                                                double current_a, const StudHeat& studs) {
    const auto at = settled(route, current_a, studs);
    if (!at)
        return base::failure(Runaway{at.error()});
    return by_stretch(*at, least_warmth(*at, current_a, studs));
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
    // Air at the class stays out of the question: no neighbour's cooling is credited against it.
    if (!(low > 0))
        return 0;
    if (route.size() == 1 && !studs.first_degc && !studs.last_degc)
        return std::isfinite(route.front().length_m) && route.front().length_m >= 0 ? low : 0;
    const auto over_class_k = [&](double current_a) {
        const auto warmth = route_warmth(route, current_a, studs);
        double peak_degc = warmth ? -HUGE_VAL : HUGE_VAL;
        for (std::size_t i = 0; warmth && i < warmth->size(); ++i)
            peak_degc = std::max(peak_degc, (*warmth)[i].peak_degc);
        return peak_degc - class_degc * (1 + 1e-9);
    };
    // Cool studs can carry even the coolest stretch past its own figure, yet that is not counted on.
    if (over_class_k(high) <= 0)
        return high;
    if (!(over_class_k(low) <= 0))
        low = 0;
    return last_standing_a({.low_a = low, .high_a = high}, over_class_k);
}

} // namespace stoutloom::physics
