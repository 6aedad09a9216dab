// Laws the heat balance must keep whatever the tables say, and the figures nobody may get through.
#include "base/quantity.h"
#include "physics/thermal.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <numbers>

namespace stoutloom {
namespace {

using physics::Mounting;
using physics::Stretch;

constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();

Stretch stretch(double section_mm2, double class_degc, double ambient_degc,
                Mounting mounting = Mounting::clipped) {
    const auto conductor = physics::conductor_for(section_mm2);
    REQUIRE(conductor.has_value());
    return {
        .conductor = *conductor,
        .insulation = {.class_degc = class_degc},
        .around = {.ambient_degc = ambient_degc, .mounting = mounting, .loaded_cables = 1, .radiant_k = 0}};
}

/// The iteration the standard itself gives (IEC 60287-2-1): x = dTs^(1/4), x <- ((Tc - Ta) / (1 + K
/// x))^(1/4), start 2.
double by_the_standards_iteration(const Stretch& s, const physics::SurfaceLaw& law) {
    const double outer_m = s.conductor.outer_diameter_m;
    const double rise_k = s.insulation.class_degc - s.around.ambient_degc;
    const double h = law.z / std::pow(outer_m, law.g) + law.e;
    const double t1 = s.insulation.thermal_resistivity_km_per_w / (2 * std::numbers::pi) *
                      std::log(outer_m / s.conductor.conductor_diameter_m);
    const double k = std::numbers::pi * outer_m * h * t1;
    double x = 2;
    for (int round = 0; round < 200; ++round)
        x = std::pow(rise_k / (1 + k * x), 0.25);
    const double t4 = 1 / (std::numbers::pi * outer_m * h * x);
    const double r = s.conductor.r20_ohm_per_m * (1 + 0.00393 * (s.insulation.class_degc - 20));
    return std::sqrt(rise_k / (r * (t1 + t4)));
}

} // namespace

TEST_CASE("ampacity equals the iteration that the standard prescribes") {
    auto random = testing::random_source("the standard's iteration");
    std::uniform_real_distribution<double> log_section(std::log(0.25), std::log(230)), ambient(-40, 120),
        above(3, 160);
    for (int round = 0; round < 3000; ++round) {
        const double ambient_degc = ambient(random);
        const Mounting mounting = round % 2 == 0 ? Mounting::clear : Mounting::clipped;
        const Stretch s =
            stretch(std::exp(log_section(random)), ambient_degc + above(random), ambient_degc, mounting);
        const physics::SurfaceLaw law = mounting == Mounting::clear ? physics::SurfaceLaw{0.21, 3.94, 0.60}
                                                                    : physics::SurfaceLaw{1.69, 0.63, 0.25};
        CHECK(physics::ampacity_a(s) == doctest::Approx(by_the_standards_iteration(s, law)).epsilon(1e-9));
    }
}

TEST_CASE("temperature from current and current from temperature undo each other") {
    auto random = testing::random_source("there and back");
    std::uniform_real_distribution<double> log_section(std::log(0.25), std::log(230)), ambient(-40, 150),
        share(0.01, 1);
    for (int round = 0; round < 3000; ++round) {
        Stretch s =
            stretch(std::exp(log_section(random)), 200, ambient(random), static_cast<Mounting>(round % 3));
        s.around.loaded_cables = 1 + round % 50;
        const double asked_degc = s.around.ambient_degc + share(random) * (900 - s.around.ambient_degc);
        const double current_a = physics::current_at_temperature_a(s, asked_degc);
        const auto told = physics::steady_temperature_degc(s, current_a);
        REQUIRE(told.has_value());
        CHECK(std::abs(*told - asked_degc) <= 1e-9 * (asked_degc + 235));
        CHECK(physics::steady_temperature_degc(s, -current_a).value_or(0) == *told);
    }
}

TEST_CASE("the worked heat path closes on itself") {
    Stretch s = stretch(50, 125, 60, Mounting::conduit);
    s.around.loaded_cables = 5;
    s.around.radiant_k = 12;
    const auto path = physics::heat_path(s, 80);
    REQUIRE(path.has_value());
    CHECK(path->ambient_degc == 72);
    CHECK(path->enclosure_factor == 0.77);
    CHECK(path->grouping_factor == 0.60);
    const double factor2 = std::pow(0.77 * 0.60, 2);
    CHECK(path->loss_w_per_m == doctest::Approx(80 * 80 * path->resistance_ohm_per_m).epsilon(1e-9));
    CHECK(path->conductor_degc - 72 ==
          doctest::Approx(path->loss_w_per_m * (path->wall_km_per_w + path->surface_km_per_w) / factor2)
              .epsilon(1e-9));
    CHECK(path->surface_degc ==
          doctest::Approx(path->conductor_degc - path->loss_w_per_m * path->wall_km_per_w / factor2)
              .epsilon(1e-9));
    CHECK(path->conductor_degc == doctest::Approx(*physics::steady_temperature_degc(s, 80)).epsilon(1e-12));
}

TEST_CASE("more copper is never hotter within a family of tables") {
    for (const Mounting mounting : {Mounting::clear, Mounting::clipped, Mounting::conduit}) {
        double before_a = 0;
        for (double section_mm2 = 0.23; section_mm2 < 239; section_mm2 *= 1.003) {
            if (!base::awg_name(section_mm2).empty())
                continue;
            const double ampacity = physics::ampacity_a(stretch(section_mm2, 105, 40, mounting));
            CHECK(ampacity > before_a);
            before_a = ampacity;
        }
        before_a = 0;
        for (int gauge = 18; gauge >= -3; --gauge) {
            const double ampacity =
                physics::ampacity_a(stretch(base::awg_section_mm2(gauge), 105, 40, mounting));
            CHECK(ampacity > before_a);
            before_a = ampacity;
        }
    }
}

TEST_CASE("gauge and metric tables tell nearly the same between each other") {
    // Nominal stranded copper (gauge) against the greatest resistance allowed (metric): up to 7 % in
    // resistance, hence 3.5 % in current, and the walls differ.
    for (int gauge = 18; gauge >= -3; --gauge) {
        const double section_mm2 = base::awg_section_mm2(gauge);
        const double by_gauge = physics::ampacity_a(stretch(section_mm2, 105, 40));
        const double by_metric = physics::ampacity_a(stretch(section_mm2 * 1.001, 105, 40));
        CAPTURE(gauge);
        CHECK(by_metric < by_gauge * 1.03);
        CHECK(by_metric > by_gauge * 0.92);
    }
}

TEST_CASE("more ambient never gives more current and company never helps") {
    for (const double section_mm2 : {0.5, 2.5, 10.0, 50.0, 120.0}) {
        for (const Mounting mounting : {Mounting::clear, Mounting::clipped, Mounting::conduit}) {
            double before_a = std::numeric_limits<double>::infinity();
            for (double ambient_degc = -60; ambient_degc < 130; ambient_degc += 0.5) {
                const double ampacity =
                    physics::ampacity_a(stretch(section_mm2, 105, ambient_degc, mounting));
                CHECK(ampacity <= before_a);
                if (ambient_degc >= 105)
                    CHECK(ampacity == 0);
                before_a = ampacity;
            }
            before_a = std::numeric_limits<double>::infinity();
            for (int cables = 1; cables < 60; ++cables) {
                Stretch s = stretch(section_mm2, 105, 40, mounting);
                s.around.loaded_cables = cables;
                CHECK(physics::ampacity_a(s) <= before_a);
                before_a = physics::ampacity_a(s);
            }
        }
        CHECK(physics::ampacity_a(stretch(section_mm2, 105, 40, Mounting::clipped)) <=
              physics::ampacity_a(stretch(section_mm2, 105, 40, Mounting::clear)));
        Stretch sunny = stretch(section_mm2, 105, 40);
        sunny.around.radiant_k = 20;
        CHECK(physics::ampacity_a(sunny) == physics::ampacity_a(stretch(section_mm2, 105, 60)));
        sunny.around.radiant_k = -20; // shade is no cooling
        CHECK(physics::ampacity_a(sunny) == physics::ampacity_a(stretch(section_mm2, 105, 40)));
    }
}

TEST_CASE("more current is always hotter up to where no steady temperature exists") {
    const Stretch s = stretch(16, 105, 40);
    double before_degc = 40;
    double current_a = 0.01;
    bool ran_away = false;
    for (; current_a < 1e5; current_a *= 1.02) {
        const auto told = physics::steady_temperature_degc(s, current_a);
        if (!told) {
            ran_away = true;
            CHECK(told.error().message.find("no steady temperature") != std::string::npos);
            break;
        }
        CHECK(*told > before_degc);
        CHECK(*told <= 1083.0001);
        before_degc = *told;
    }
    CHECK(ran_away);
    CHECK_FALSE(physics::steady_temperature_degc(s, 1e30).has_value());
    CHECK(*physics::steady_temperature_degc(s, 0) == 40);
}

TEST_CASE("figures that are not numbers carry nothing") {
    for (const double bad : {not_a_number, std::numeric_limits<double>::infinity()}) {
        Stretch s = stretch(16, 105, 40);
        CHECK_FALSE(physics::steady_temperature_degc(s, bad).has_value());
        CHECK_FALSE(physics::heat_path(s, bad).has_value());
        CHECK(physics::current_at_temperature_a(s, bad) == 0);
        s.around.ambient_degc = bad;
        CHECK(physics::ampacity_a(s) == 0);
        CHECK_FALSE(physics::steady_temperature_degc(s, 10).has_value());
        s = stretch(16, bad, 40);
        CHECK(physics::ampacity_a(s) == 0);
        s = stretch(16, 105, 40);
        s.conductor.outer_diameter_m = bad;
        CHECK(physics::ampacity_a(s) == 0);
        s = stretch(16, 105, 40);
        s.conductor.r20_ohm_per_m = bad;
        CHECK(physics::ampacity_a(s) == 0);
        s = stretch(16, 105, 40);
        s.around.radiant_k = bad;
        CHECK(physics::ampacity_a(s) == 0);
    }
    Stretch s = stretch(16, 105, 40);
    s.conductor.outer_diameter_m = s.conductor.conductor_diameter_m / 2;
    CHECK(physics::ampacity_a(s) == 0);
}

} // namespace stoutloom
