// Heat along the copper: textbook limit cases, and the full balance solved here by finite differences.
#include "physics/shorttime.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

namespace stoutloom {
namespace {

using physics::Stretch;

Stretch stretch(double section_mm2, double ambient_degc) {
    const auto conductor = physics::conductor_for(section_mm2);
    REQUIRE(conductor.has_value());
    return {.conductor = *conductor,
            .insulation = {.class_degc = 125},
            .around = {.ambient_degc = ambient_degc,
                       .mounting = physics::Mounting::clipped,
                       .loaded_cables = 1,
                       .radiant_k = 0}};
}

/// Peak of k S T'' + I^2 R(T) - q(T) = 0 between held ends: 400 nodes, Newton with the tridiagonal solved in
/// place.
double peak_by_differences(const Stretch& s, double current_a, const physics::HotEnds& ends) {
    const std::size_t n = 400;
    const double h = ends.length_m / static_cast<double>(n);
    const double conductance = 385 * s.conductor.section_mm2 * 1e-6 / (h * h);
    const auto net = [&](double t) { // heat made less heat shed at a conductor temperature
        const double shed_a = t > s.around.ambient_degc ? physics::current_at_temperature_a(s, t) : 0;
        const double r = physics::resistance_ohm_per_m(s.conductor, t);
        return (current_a * current_a - shed_a * shed_a) * r;
    };
    // From the steady temperature down: from below the first steps can fall into the dead band under ambient.
    std::vector<double> t(n + 1, physics::steady_temperature_degc(s, current_a).value_or(0));
    t.front() = ends.first_end_degc;
    t.back() = ends.second_end_degc;
    for (int round = 0; round < 60; ++round) {
        std::vector<double> c(n + 1), d(n + 1);
        double moved = 0;
        for (std::size_t i = 1; i < n; ++i) {
            const double slope = (net(t[i] + 1e-4) - net(t[i])) / 1e-4;
            const double diagonal = -2 * conductance + slope;
            const double residual = conductance * (t[i - 1] - 2 * t[i] + t[i + 1]) + net(t[i]);
            const double pivot = diagonal - (i > 1 ? conductance * c[i - 1] : 0);
            c[i] = conductance / pivot;
            d[i] = (-residual - (i > 1 ? conductance * d[i - 1] : 0)) / pivot;
        }
        double change = 0;
        for (std::size_t i = n - 1; i >= 1; --i) {
            change = d[i] - (i + 1 < n ? c[i] * change : 0);
            t[i] += change;
            moved = std::max(moved, std::abs(change));
        }
        if (moved < 1e-9)
            break;
    }
    return *std::max_element(t.begin(), t.end());
}

} // namespace

TEST_CASE("a stretch between cool ends never shows less than the full balance and hardly more") {
    for (const double section_mm2 : {6.0, 25.0, 70.0}) {
        const Stretch s = stretch(section_mm2, 95);
        const double current_a = 0.9 * physics::ampacity_a(s);
        const double steady = *physics::steady_temperature_degc(s, current_a);
        for (const double length_m : {0.1, 0.3, 0.6, 1.2, 3.0}) {
            const physics::HotEnds ends{.length_m = length_m, .first_end_degc = 80, .second_end_degc = 95};
            const double told = physics::peak_with_hot_ends_degc(s, current_a, ends);
            const double full = peak_by_differences(s, current_a, ends);
            CAPTURE(section_mm2);
            CAPTURE(length_m);
            CHECK(told >= full - 1e-3);
            CHECK(told <= full + 0.12 * (steady - full) + 0.2);
            CHECK(told <= steady + 1e-9);
        }
    }
}

TEST_CASE("textbook limits of the fin") {
    const Stretch s = stretch(35, 60);
    const double current_a = 0.8 * physics::ampacity_a(s);
    const double steady = *physics::steady_temperature_degc(s, current_a);
    // Long fin: the middle does not feel its ends. Short fin: nothing but the ends.
    CHECK(physics::peak_with_hot_ends_degc(s, current_a, {50, 40, 40}) ==
          doctest::Approx(steady).epsilon(1e-9));
    CHECK(physics::peak_with_hot_ends_degc(s, current_a, {1e-4, 70, 70}) ==
          doctest::Approx(70).epsilon(1e-5));
    CHECK(physics::peak_with_hot_ends_degc(s, current_a, {0, 70, 65}) == 70);
    // Insulated tip: by symmetry the middle of twice the length, deficit = end deficit / cosh(L / u). Two
    // lengths must give one and the same u.
    const double end = steady - 5;
    const auto u_from = [&](double length_m) {
        const double middle = physics::peak_with_hot_ends_degc(s, current_a, {2 * length_m, end, end});
        return length_m / std::acosh(5 / (steady - middle));
    };
    CHECK(u_from(0.3) == doctest::Approx(u_from(0.9)).epsilon(1e-6));
    // And that u is the textbook's sqrt(k S / g), g = dq/dT - dp/dT found here by differences.
    const double step = 1e-3;
    const auto shed = [&](double t) {
        return std::pow(physics::current_at_temperature_a(s, t), 2) *
               physics::resistance_ohm_per_m(s.conductor, t);
    };
    const double g = (shed(steady + step) - shed(steady - step)) / (2 * step) -
                     current_a * current_a * s.conductor.r20_ohm_per_m * 0.00393;
    CHECK(u_from(0.5) == doctest::Approx(std::sqrt(385 * 35e-6 / g)).epsilon(1e-4));
    // A hot end is itself the peak.
    CHECK(physics::peak_with_hot_ends_degc(s, current_a, {1, 150, 60}) == 150);
}

TEST_CASE("the reach of a hot end is what the textbook gives and what builders see") {
    const Stretch s = stretch(50, 60);
    const double current_a = physics::ampacity_a(s);
    const auto path = physics::heat_path(s, current_a);
    REQUIRE(path.has_value());
    CHECK(physics::fin_length_m(s, current_a) ==
          doctest::Approx(std::sqrt(385 * 50e-6 * (path->wall_km_per_w + path->surface_km_per_w)))
              .epsilon(1e-9));
    CHECK(physics::fin_length_m(s, 0) > 0.1);
    CHECK(physics::fin_length_m(s, 0) < 1.0);
    CHECK(std::isfinite(physics::fin_length_m(s, 1e9)));
}

TEST_CASE("a stretch that cannot settle burns whatever its ends") {
    const Stretch s = stretch(6, 60);
    CHECK(physics::peak_with_hot_ends_degc(s, 1e5, {1, 60, 60}) == 1083);
    CHECK(physics::peak_with_hot_ends_degc(s, std::numeric_limits<double>::quiet_NaN(), {1, 60, 60}) == 1083);
}

} // namespace stoutloom
