// Pulses against a reference integration written here from the equations, against IEC 60287 at rest and IEC
// 60949 at once.
#include "physics/shorttime.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <chrono>
#include <cmath>
#include <limits>
#include <numbers>

namespace stoutloom {
namespace {

using physics::Mounting;
using physics::Stretch;

Stretch stretch(double section_mm2, double class_degc, double ambient_degc,
                Mounting mounting = Mounting::clipped) {
    const auto conductor = physics::conductor_for(section_mm2);
    REQUIRE(conductor.has_value());
    return {
        .conductor = *conductor,
        .insulation = {.class_degc = class_degc},
        .around = {.ambient_degc = ambient_degc, .mounting = mounting, .loaded_cables = 1, .radiant_k = 0}};
}

/// Two lumps, classical Runge-Kutta of order four with a small fixed step, surface rise by plain bisection.
struct Reference {
    double copper_j, wall_j, half_wall, surface, r20, ambient, current;

    Reference(const Stretch& s, const physics::SurfaceLaw& law, double current_a) {
        const double outer = s.conductor.outer_diameter_m, inner = s.conductor.conductor_diameter_m;
        copper_j = 3.45 * s.conductor.section_mm2;
        wall_j = 1.7e6 * std::numbers::pi / 4 * (outer * outer - inner * inner);
        half_wall = 5.0 / (2 * std::numbers::pi) * std::log(outer / inner) / 2;
        surface = std::numbers::pi * outer * (law.z / std::pow(outer, law.g) + law.e);
        r20 = s.conductor.r20_ohm_per_m;
        ambient = s.around.ambient_degc;
        current = current_a;
    }
    double shed(double wall_degc) const {
        double low = 0, high = std::max(wall_degc - ambient, 0.0);
        for (int i = 0; i < 45; ++i) {
            const double s = (low + high) / 2;
            (s + surface * std::pow(s, 1.25) * half_wall < wall_degc - ambient ? low : high) = s;
        }
        return surface * std::pow(low, 1.25);
    }
    std::pair<double, double> slope(double tc, double tw) const {
        const double into = (tc - tw) / half_wall;
        return {(current * current * r20 * (1 + 0.00393 * (tc - 20)) - into) / copper_j,
                (into - shed(tw)) / wall_j};
    }
    std::pair<double, double> run(double tc, double tw, double time_s, int steps) const {
        const double h = time_s / steps;
        for (int i = 0; i < steps; ++i) {
            const auto [a1, b1] = slope(tc, tw);
            const auto [a2, b2] = slope(tc + a1 * h / 2, tw + b1 * h / 2);
            const auto [a3, b3] = slope(tc + a2 * h / 2, tw + b2 * h / 2);
            const auto [a4, b4] = slope(tc + a3 * h, tw + b3 * h);
            tc += h / 6 * (a1 + 2 * a2 + 2 * a3 + a4);
            tw += h / 6 * (b1 + 2 * b2 + 2 * b3 + b4);
        }
        return {tc, tw};
    }
};

constexpr physics::SurfaceLaw clipped{1.69, 0.63, 0.25};

} // namespace

TEST_CASE("pulses from cold against a fine reference integration") {
    for (const double section_mm2 : {1.5, 10.0, 50.0, 120.0}) {
        const Stretch s = stretch(section_mm2, 125, 40);
        const double rated_a = physics::ampacity_a(s);
        for (const double overload : {0.7, 1.0, 2.0, 4.0}) {
            for (const double time_s : {0.5, 5.0, 60.0, 900.0}) {
                const Reference reference(s, clipped, overload * rated_a);
                const double expected = reference.run(40, 40, time_s, 2500).first;
                if (expected > 1000)
                    continue;
                const double told = physics::temperature_after_degc(
                    s, {.start_degc = 40, .current_a = overload * rated_a, .duration_s = time_s});
                CAPTURE(section_mm2);
                CAPTURE(overload);
                CAPTURE(time_s);
                CHECK(std::abs(told - expected) < 2e-3 + 2e-5 * (expected - 40));
                const auto back = physics::time_to_temperature_s(s, 40, overload * rated_a, expected - 0.01);
                REQUIRE(back.has_value());
                CHECK(*back <= time_s);
                const double there = reference.run(40, 40, *back, 2500).first;
                CHECK(std::abs(there - (expected - 0.01)) < 5e-3 + 2e-5 * (expected - 40));
            }
        }
    }
}

TEST_CASE("a long pulse ends at the steady temperature and a short one at the adiabatic") {
    const Stretch s = stretch(35, 105, 30);
    const double rated_a = physics::ampacity_a(s);
    CHECK(physics::temperature_after_degc(s, {.start_degc = 30, .current_a = rated_a, .duration_s = 1e6}) ==
          doctest::Approx(105).epsilon(1e-5));
    // 20 ms: no heat has left the copper. The cable's own resistance is over pure copper's, so a little
    // hotter.
    const double adiabatic = physics::adiabatic_final_degc(30, 35, std::pow(6000, 2) * 0.02);
    const double told =
        physics::temperature_after_degc(s, {.start_degc = 30, .current_a = 6000, .duration_s = 0.02});
    const double copper = s.conductor.r20_ohm_per_m * 35 / 0.017241;
    CHECK(told - 30 > (adiabatic - 30) * 1.0);
    CHECK(told - 30 == doctest::Approx((adiabatic - 30) * copper).epsilon(0.02));
}

TEST_CASE("the damage curve lies between the adiabatic law and IEC 60949 with heat loss") {
    // IEC 60949 lets I grow by sqrt(1 + X sqrt(t/S) + Y t/S) over the adiabatic; X = 0.29, Y = 0.06 for
    // copper in PVC up to 3 kV (from memory). Ours must not be kinder than that where it applies, nor than 2
    // % under the adiabatic once the cable's own resistance is put in.
    for (const double section_mm2 : {6.0, 16.0, 50.0, 95.0}) {
        const Stretch s = stretch(section_mm2, 105, 30);
        const double copper = s.conductor.r20_ohm_per_m * section_mm2 / 0.017241;
        for (const double time_s : {0.05, 0.2, 1.0, 5.0}) {
            const double told_a = physics::current_for_time_a(s, 70, 160, time_s);
            const double adiabatic_a =
                physics::adiabatic_k(70, 160) * section_mm2 / std::sqrt(time_s * copper);
            const double loss =
                std::sqrt(1 + 0.29 * std::sqrt(time_s / section_mm2) + 0.06 * time_s / section_mm2);
            CAPTURE(section_mm2);
            CAPTURE(time_s);
            CHECK(told_a >= adiabatic_a * 0.98);
            // From 6 mm2 at 5 s on the standard's formula leaves its own range (epsilon up to about 1.1).
            if (loss < 1.12)
                CHECK(told_a <= adiabatic_a * loss * 1.02);
        }
    }
}

TEST_CASE("the damage curve falls with time and tends to the steady current") {
    const Stretch s = stretch(25, 105, 30);
    double before_a = std::numeric_limits<double>::infinity();
    for (double time_s = 0.01; time_s < 2e5; time_s *= 2) {
        const double told_a = physics::current_for_time_a(s, 30, 160, time_s);
        CHECK(told_a <= before_a * (1 + 1e-9)); // equal once it is the steady current
        const double there =
            physics::temperature_after_degc(s, {.start_degc = 30, .current_a = told_a, .duration_s = time_s});
        CHECK(there <= 160.0001); // what the steps of the integration may add
        CHECK(there > 159.9);
        before_a = told_a;
    }
    CHECK(before_a == doctest::Approx(physics::current_at_temperature_a(s, 160)).epsilon(1e-3));
    CHECK(physics::current_for_time_a(s, 160, 160, 1) == 0);
}

TEST_CASE("a current that never gets there has no time") {
    const Stretch s = stretch(25, 105, 30);
    const double rated_a = physics::ampacity_a(s);
    CHECK_FALSE(physics::time_to_temperature_s(s, 30, rated_a * 0.999, 105).has_value());
    CHECK(physics::time_to_temperature_s(s, 30, rated_a * 1.01, 105).has_value());
    CHECK(physics::time_to_temperature_s(s, 110, rated_a, 105) == 0);
    CHECK(physics::time_to_temperature_s(s, 30, 1e6, 105).value_or(1) < 1e-3);
    // A warm start is sooner there.
    CHECK(*physics::time_to_temperature_s(s, 80, rated_a * 2, 105) <
          *physics::time_to_temperature_s(s, 30, rated_a * 2, 105));
    // A hot start with a weak current answers with the start.
    CHECK(physics::temperature_after_degc(s, {.start_degc = 90, .current_a = 1, .duration_s = 600}) == 90);
}

TEST_CASE("the allowed duty holds when it is lived through and a little more does not") {
    for (const double section_mm2 : {10.0, 50.0}) {
        const Stretch s = stretch(section_mm2, 105, 40);
        const double rated_a = physics::ampacity_a(s);
        for (const double on_s : {1.0, 15.0, 60.0}) {
            const double current_a = 1.8 * rated_a;
            const double fraction = physics::allowed_duty_fraction(s, current_a, on_s);
            CAPTURE(section_mm2);
            CAPTURE(on_s);
            REQUIRE(fraction > 0);
            REQUIRE(fraction < 1);
            const auto lived = [&](double share) {
                const Reference on(s, clipped, current_a), off(s, clipped, 0);
                double tc = 40, tw = 40, peak = 40;
                const double off_s = on_s * (1 / share - 1);
                const int periods = static_cast<int>(4000 / (on_s + off_s)) + 20;
                for (int i = 0; i < periods; ++i) {
                    std::tie(tc, tw) = on.run(tc, tw, on_s, 6 + static_cast<int>(on_s));
                    peak = tc;
                    std::tie(tc, tw) = off.run(tc, tw, off_s, 6 + static_cast<int>(off_s));
                }
                return peak;
            };
            CHECK(lived(fraction) <= 105.02);
            CHECK(lived(fraction * 1.03) > 105.0);
        }
        CHECK(physics::allowed_duty_fraction(s, rated_a * 0.999, 10) == 1);
        CHECK(physics::allowed_duty_fraction(s, rated_a * 30, 60) == 0);
    }
}

TEST_CASE("figures that are not numbers end burnt") {
    const double bad = std::numeric_limits<double>::quiet_NaN();
    const Stretch s = stretch(25, 105, 30);
    CHECK(physics::temperature_after_degc(s, {.start_degc = 30, .current_a = bad, .duration_s = 1}) == 1083);
    CHECK(physics::temperature_after_degc(s, {.start_degc = bad, .current_a = 10, .duration_s = 1}) == 1083);
    CHECK(physics::temperature_after_degc(s, {.start_degc = 30, .current_a = 10, .duration_s = bad}) == 1083);
    CHECK(physics::time_to_temperature_s(s, 30, bad, 105) == 0);
    CHECK(physics::current_for_time_a(s, 30, bad, 1) == 0);
    CHECK(physics::allowed_duty_fraction(s, bad, 1) == 0);
    CHECK(physics::temperature_after_degc(s, {.start_degc = 30, .current_a = 1e9, .duration_s = 1}) == 1083);
    CHECK(physics::adiabatic_k(100, 90) == 0);
    CHECK(std::isinf(physics::adiabatic_section_mm2(100, 1, 0)));
    CHECK(physics::adiabatic_final_degc(20, 10, bad) == 1083);
}

TEST_CASE("short-time limits by the kind of wall") {
    // IEC 60364-4-43 table 43A: PVC 160 degC, cross-linked 250 degC.
    CHECK(physics::short_time_limit_degc({.class_degc = 70}) == 160);
    CHECK(physics::short_time_limit_degc({.class_degc = 105}) == 160);
    CHECK(physics::short_time_limit_degc({.class_degc = 125}) == 250);
    CHECK(physics::short_time_limit_degc({.class_degc = 300}) == 300);
}

} // namespace stoutloom
