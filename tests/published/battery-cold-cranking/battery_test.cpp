// What the cold-cranking definitions bound, and the resistance assumed near 25 degC.
#include "physics/source.h"
#include "published/tables.h"

#include <doctest/doctest.h>

namespace stoutloom {

TEST_CASE("the assumed internal resistance lies under what the cold-cranking tests allow at -18 degC") {
    // The whole drop at I_cc and -18 degC is at most 12.4 - 7.2 (SAE J537) or 12.4 - 7.5 V (EN 50342-1); near
    // 25 degC the resistance is roughly half.
    published::Ratios ratios("assumed resistance over half of what the test allows");
    for (const published::Row& row : published::rows_of("battery-cold-cranking")) {
        const double allowed_ohm = (row.number("charged_v") - row.number("held_v")) / 600;
        const auto resistance = physics::battery_resistance_ohm(12, 600);
        ratios.add(resistance.typical_ohm, allowed_ohm / 2);
        CHECK(resistance.typical_ohm < allowed_ohm);
        CHECK(resistance.typical_ohm == doctest::Approx(allowed_ohm / 2).epsilon(0.20));
        CHECK(resistance.low_ohm < resistance.typical_ohm);
        CHECK(resistance.high_ohm > resistance.typical_ohm);
    }
    CHECK(ratios.cells() == 2);
}

TEST_CASE("a dead short at a healthy battery is four to five times its cold-cranking amperes") {
    // Common practice, from memory; and 540 A EN gives 4.8 to 5.6 mohm, 850 A AGM 3.1 to 3.5 mohm.
    const auto resistance = physics::battery_resistance_ohm(12, 540);
    CHECK(resistance.low_ohm >= 0.0048 * 0.99);
    CHECK(resistance.low_ohm <= 0.0056);
    const double emf_v = physics::battery_emf_v(physics::BatteryKind::flooded, 12, 1);
    CHECK(emf_v / resistance.low_ohm / 540 >= 4);
    CHECK(emf_v / resistance.low_ohm / 540 <= 5);
    const auto large = physics::battery_resistance_ohm(12, 850);
    CHECK(large.low_ohm > 0.0030);
    CHECK(large.typical_ohm < 0.0035);
    // Two in series: twice the volts, twice the ohms.
    CHECK(physics::battery_resistance_ohm(24, 540).typical_ohm ==
          doctest::Approx(2 * resistance.typical_ohm));
}

TEST_CASE("open-circuit volts of a rested battery") {
    using physics::BatteryKind;
    struct Point {
        double charge_fraction, volts_v;
    };
    // Flooded: 12.7 full, 12.5 at 75 %, 12.2 at half, 12.0 at 25 %, 11.8 empty; from memory.
    for (const Point& point :
         {Point{1, 12.7}, Point{0.75, 12.5}, Point{0.5, 12.2}, Point{0.25, 12.0}, Point{0, 11.8}}) {
        CHECK(physics::battery_emf_v(BatteryKind::flooded, 12, point.charge_fraction) ==
              doctest::Approx(point.volts_v));
        CHECK(physics::battery_emf_v(BatteryKind::flooded, 24, point.charge_fraction) ==
              doctest::Approx(2 * point.volts_v));
        const double lift_v =
            physics::battery_emf_v(BatteryKind::agm, 12, point.charge_fraction) - point.volts_v;
        CHECK(lift_v >= 0.1 - 1e-9); // absorbed glass mat: 0.1 to 0.2 V over it
        CHECK(lift_v <= 0.2);
    }
    for (const BatteryKind kind :
         {BatteryKind::flooded, BatteryKind::agm, BatteryKind::gel, BatteryKind::lithium}) {
        double before = 0;
        for (int percent = 0; percent <= 100; ++percent) {
            const double volts = physics::battery_emf_v(kind, 12, percent / 100.0);
            CHECK(volts > before);
            before = volts;
        }
        CHECK(physics::battery_emf_v(kind, 12, 2) == before); // beyond full is full
    }
}

TEST_CASE("charge acceptance against the published shares of capacity") {
    using physics::BatteryKind;
    // Per cent of 20 h capacity in amperes, half empty, warm: flooded up to 25 (read), mat and gel 35 to 50,
    // lithium 50 to 100 (both from memory): the greatest of each, since it loads the cables.
    CHECK(physics::battery_acceptance_a(BatteryKind::flooded, 100, 0.5) == doctest::Approx(25));
    CHECK(physics::battery_acceptance_a(BatteryKind::agm, 100, 0.5) == doctest::Approx(50));
    CHECK(physics::battery_acceptance_a(BatteryKind::gel, 100, 0.5) == doctest::Approx(50));
    CHECK(physics::battery_acceptance_a(BatteryKind::lithium, 100, 0.5) == doctest::Approx(100));
    CHECK(physics::battery_acceptance_a(BatteryKind::flooded, 100, 1.0) == doctest::Approx(2));
    CHECK(physics::battery_acceptance_a(BatteryKind::flooded, 100, 0.9) < 25);
}

} // namespace stoutloom
