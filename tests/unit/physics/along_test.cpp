// A route as a whole: heat that flows along the copper between stretches and from studs, against the full
// balance solved here by finite differences and against the textbook's limits.
#include "physics/along.h"
#include "physics/shorttime.h"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

namespace stoutloom {
namespace {

using physics::RouteStretch;
using physics::StudHeat;

RouteStretch part(double section_mm2, double ambient_degc, double length_m) {
    const auto conductor = physics::conductor_for(section_mm2);
    REQUIRE(conductor.has_value());
    return {.stretch = {.conductor = *conductor,
                        .insulation = {.class_degc = 125},
                        .around = {.ambient_degc = ambient_degc,
                                   .mounting = physics::Mounting::clipped,
                                   .loaded_cables = 1,
                                   .radiant_k = 0}},
            .length_m = length_m};
}

/// Peak and mean of k S T'' + I^2 R(T) - q(T) = 0 over the route, no heat through an end without a stud:
/// cells of equal length in each stretch, Newton with the tridiagonal solved in place.
struct Full {
    double peak_degc = 0;
    std::vector<double> mean_degc;
};
Full by_differences(const std::vector<RouteStretch>& route, double current_a, const StudHeat& studs) {
    constexpr std::size_t cells_each = 200;
    const std::size_t n = cells_each * route.size();
    const auto of = [&](std::size_t i) -> const RouteStretch& { return route[i / cells_each]; };
    const auto width = [&](std::size_t i) { return of(i).length_m / cells_each; };
    const double ks = 385 * route[0].stretch.conductor.section_mm2 * 1e-6;
    std::vector<double> t(n);
    for (std::size_t i = 0; i < n; ++i)
        t[i] = *physics::steady_temperature_degc(of(i).stretch, current_a);
    const auto net = [&](std::size_t i, double degc) {
        const auto& s = of(i).stretch;
        // Below the air the surface takes heat up by the law by which it sheds it above.
        const double over_k = std::abs(degc - s.around.ambient_degc);
        const double mirrored_degc = s.around.ambient_degc + over_k;
        const double shed_a = physics::current_at_temperature_a(s, mirrored_degc);
        const double shed_w_per_m =
            std::copysign(shed_a * shed_a * physics::resistance_ohm_per_m(s.conductor, mirrored_degc),
                          degc - s.around.ambient_degc);
        return (current_a * current_a * physics::resistance_ohm_per_m(s.conductor, degc) - shed_w_per_m) *
               width(i);
    };
    const auto between = [&](std::size_t i) { return ks / (0.5 * (width(i) + width(i + 1))); };
    for (int round = 0; round < 80; ++round) {
        std::vector<double> c(n), d(n);
        for (std::size_t i = 0; i < n; ++i) {
            const double left = i > 0 ? between(i - 1) : 0;
            const double right = i + 1 < n ? between(i) : 0;
            double flow =
                (i > 0 ? left * (t[i - 1] - t[i]) : 0) + (i + 1 < n ? right * (t[i + 1] - t[i]) : 0);
            double held = 0;
            if (i == 0 && studs.first_degc)
                held = 2 * ks / width(i), flow += held * (*studs.first_degc - t[i]);
            if (i + 1 == n && studs.last_degc)
                held = 2 * ks / width(i), flow += held * (*studs.last_degc - t[i]);
            const double slope = (net(i, t[i] + 1e-4) - net(i, t[i])) / 1e-4;
            const double pivot = slope - left - right - held - left * (i > 0 ? c[i - 1] : 0);
            c[i] = right / pivot;
            d[i] = (-(flow + net(i, t[i])) - left * (i > 0 ? d[i - 1] : 0)) / pivot;
        }
        double change = 0, moved = 0;
        for (std::size_t i = n; i-- > 0;) {
            change = d[i] - (i + 1 < n ? c[i] * change : 0);
            t[i] += change;
            moved = std::max(moved, std::abs(change));
        }
        if (moved < 1e-9)
            break;
    }
    Full full{.peak_degc = std::max(studs.first_degc.value_or(-300), studs.last_degc.value_or(-300)),
              .mean_degc = std::vector<double>(route.size(), 0.0)};
    for (std::size_t i = 0; i < n; ++i) {
        full.peak_degc = std::max(full.peak_degc, t[i]);
        full.mean_degc[i / cells_each] += t[i] / cells_each;
    }
    return full;
}

double peak_of(const std::vector<RouteStretch>& route, double current_a, const StudHeat& studs) {
    const auto warmth = physics::route_warmth(route, current_a, studs);
    REQUIRE(warmth.has_value());
    double peak = -300;
    for (const auto& one : *warmth)
        peak = std::max(peak, one.peak_degc);
    return peak;
}

} // namespace

TEST_CASE("one stretch with nothing at its ends is the steady temperature and the plain ampacity") {
    const std::vector<RouteStretch> route = {part(25, 60, 2)};
    const double steady = *physics::steady_temperature_degc(route[0].stretch, 100);
    CHECK(peak_of(route, 100, {}) == doctest::Approx(steady).epsilon(1e-9));
    CHECK(physics::route_ampacity_a(route, {}) ==
          doctest::Approx(physics::ampacity_a(route[0].stretch)).epsilon(2e-6));
}

TEST_CASE("a short hot stretch is neither ignored nor punished beyond the full balance") {
    for (const double section_mm2 : {6.0, 25.0, 95.0}) {
        for (const double length_m : {0.05, 0.1, 0.2, 0.4, 1.0}) {
            const std::vector<RouteStretch> route = {
                part(section_mm2, 50, 1.5), part(section_mm2, 105, length_m), part(section_mm2, 60, 0.8)};
            const double current_a = physics::ampacity_a(route[1].stretch);
            const double alone = *physics::steady_temperature_degc(route[1].stretch, current_a);
            const double told = peak_of(route, current_a, {});
            const Full full = by_differences(route, current_a, {});
            CAPTURE(section_mm2);
            CAPTURE(length_m);
            CHECK(told >= full.peak_degc - 2e-2); // the cells' own error
            CHECK(told <= full.peak_degc + 0.05 * (alone - full.peak_degc) + 0.1);
        }
    }
}

TEST_CASE("where two long stretches meet the temperature is that of two long fins") {
    // Textbook: each long fin takes g (T - rest) with g = sqrt(k S slope). One material, so the joint
    // temperature is the mean weighted with g, that is with 1 / reach.
    const std::vector<RouteStretch> route = {part(35, 90, 20), part(35, 40, 20)};
    const double current_a = 120;
    const auto warmth = physics::route_warmth(route, current_a, {});
    REQUIRE(warmth.has_value());
    const double hot = *physics::steady_temperature_degc(route[0].stretch, current_a);
    const double cool = *physics::steady_temperature_degc(route[1].stretch, current_a);
    CHECK((*warmth)[0].peak_degc == doctest::Approx(hot).epsilon(1e-6));
    const double joint = (*warmth)[1].peak_degc;
    CHECK(joint > cool + 0.4 * (hot - cool));
    CHECK(joint < cool + 0.6 * (hot - cool));
    CHECK(joint == doctest::Approx(by_differences(route, current_a, {}).peak_degc).epsilon(0.5)); // same side
}

TEST_CASE("a hot stud is felt over a reach and no further") {
    const std::vector<RouteStretch> route = {part(50, 70, 3)};
    const StudHeat stud{.first_degc = 120, .last_degc = {}};
    const double current_a = 100;
    const double rest = *physics::steady_temperature_degc(route[0].stretch, current_a);
    const auto warmth = physics::route_warmth(route, current_a, stud);
    REQUIRE(warmth.has_value());
    CHECK((*warmth)[0].peak_degc == 120); // the stud itself
    const Full full = by_differences(route, current_a, stud);
    CHECK((*warmth)[0].mean_degc >= full.mean_degc[0] - 2e-2);
    CHECK((*warmth)[0].mean_degc <= full.mean_degc[0] + 0.05 * (full.mean_degc[0] - rest) + 0.1);
    // Long fin: the stud's excess integrates to excess x sqrt(k S / g), g the extra heat shed per kelvin of
    // excess. The law bends upwards, so g lies between its slope at rest and its secant to the stud.
    const double ks = 385 * 50e-6;
    const auto surplus = [&](double degc) {
        const double shed_a = physics::current_at_temperature_a(route[0].stretch, degc);
        return (shed_a * shed_a - current_a * current_a) *
               physics::resistance_ohm_per_m(route[0].stretch.conductor, degc);
    };
    const double reach_m = ((*warmth)[0].mean_degc - rest) * 3 / (120 - rest);
    CHECK(reach_m >= std::sqrt(ks * (120 - rest) / surplus(120)));
    CHECK(reach_m <= std::sqrt(ks / surplus(rest + 1)));
}

TEST_CASE("with no current a hot stud dies away all the same") {
    const std::vector<RouteStretch> route = {part(50, 40, 4)};
    const StudHeat stud{.first_degc = 120, .last_degc = {}};
    const auto warmth = physics::route_warmth(route, 0, stud);
    REQUIRE(warmth.has_value());
    const Full full = by_differences(route, 0, stud);
    CHECK((*warmth)[0].mean_degc >= full.mean_degc[0] - 2e-2);
    CHECK((*warmth)[0].mean_degc < 80);
}

TEST_CASE("ampacity falls from the cool figure to the hot figure as the hot stretch grows") {
    const auto with = [](double length_m) {
        return physics::route_ampacity_a(
            std::vector<RouteStretch>{part(16, 50, 2), part(16, 100, length_m), part(16, 50, 2)}, {});
    };
    const double cool = physics::ampacity_a(part(16, 50, 1).stretch);
    const double hot = physics::ampacity_a(part(16, 100, 1).stretch);
    double before = cool;
    for (const double length_m : {0.01, 0.05, 0.1, 0.2, 0.4, 0.8, 2.0, 5.0}) {
        const double now = with(length_m);
        CHECK(now <= before);
        CHECK(now >= hot * (1 - 2e-6));
        before = now;
    }
    CHECK(with(0.01) > 0.9 * cool);
    CHECK(with(5) == doctest::Approx(hot).epsilon(1e-3));
}

TEST_CASE("studs under the class take nothing away and studs at the class take all") {
    const std::vector<RouteStretch> route = {part(25, 80, 2)};
    const double plain = physics::route_ampacity_a(route, {});
    CHECK(physics::route_ampacity_a(route, {.first_degc = 124, .last_degc = {}}) ==
          doctest::Approx(plain).epsilon(2e-6));
    CHECK(physics::route_ampacity_a(route, {.first_degc = 40, .last_degc = 40}) <= plain); // no gift
    CHECK(physics::route_ampacity_a(route, {.first_degc = 125, .last_degc = {}}) == 0);
    CHECK(physics::route_ampacity_a(route, {.first_degc = {}, .last_degc = NAN}) == 0);
    CHECK(physics::route_ampacity_a(std::vector<RouteStretch>{part(25, 80, 2), part(25, 125, 0.05)}, {}) ==
          0);
}

TEST_CASE("what runs away or is no number has no warmth") {
    CHECK_FALSE(physics::route_warmth(std::vector<RouteStretch>{part(1.5, 60, 1)}, 300, {}).has_value());
    CHECK_FALSE(physics::route_warmth(std::vector<RouteStretch>{part(1.5, 60, NAN)}, 1, {}).has_value());
    CHECK_FALSE(physics::route_warmth(std::vector<RouteStretch>{part(1.5, 60, 1)}, NAN, {}).has_value());
    CHECK_FALSE(physics::route_warmth({}, 1, {}).has_value());
    CHECK(physics::route_warmth(std::vector<RouteStretch>{part(1.5, 60, 0)}, 1, {}).has_value());
}

} // namespace stoutloom
