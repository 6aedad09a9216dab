// 33 CFR 183.425 table 5 (the figures ABYC E-11 prints): single conductors outside and inside engine spaces.
// Run through the quick calculation, as `stoutloom cable --mounting clear` would.
#include "base/insulation.h"
#include "published/tables.h"
#include "report/cable_card.h"

#include <doctest/doctest.h>

#include <limits>

namespace stoutloom {
namespace {

struct Band {
    double low, high;
};
constexpr double none = std::numeric_limits<double>::infinity();

Band band_for(double section_mm2, double class_degc) {
    const bool heavy = section_mm2 > 13;
    if (class_degc == 200)
        return {1.30, 1.60};
    if (class_degc >= 90)
        return heavy ? Band{1.12, 1.28} : Band{1.05, 1.36};
    return heavy ? Band{1.04, 1.19} : Band{1.00, none};
}

double ampacity_a(const published::Row& row, physics::Mounting mounting) {
    const auto insulation = base::parse_insulation(row.text("class_degc") + " degC");
    REQUIRE(insulation.has_value());
    const auto answer =
        report::work_out_cable({.current_a = std::nullopt,
                                .length_m = std::nullopt,
                                .section_mm2 = published::section_mm2(row.text("size"), row.text("unit")),
                                .ambient_degc = row.number("ambient_degc"),
                                .insulation = *insulation,
                                .mounting = mounting,
                                .loaded_cables = 1,
                                .margin_fraction = 1,
                                .drop_limit_v = std::nullopt,
                                .nominal_v = 12,
                                .overrides = {}});
    REQUIRE(answer.has_value());
    return answer->ampacity_a;
}

} // namespace

TEST_CASE("the marine table outside engine spaces") {
    published::Ratios outside("33 CFR 183.425 table 5, outside engine space, clear");
    published::Ratios clipped("the same, clipped (report only)");
    for (const published::Row& row : published::rows_of("marine-single-conductor")) {
        if (row.number("ambient_degc") != 30)
            continue;
        const double amps = row.number("amps");
        const double computed_a = ampacity_a(row, physics::Mounting::clear);
        const Band band =
            band_for(published::section_mm2(row.text("size"), row.text("unit")), row.number("class_degc"));
        outside.add(computed_a, amps);
        clipped.add(ampacity_a(row, physics::Mounting::clipped), amps);
        CAPTURE(row.text("size"));
        CAPTURE(row.text("class_degc"));
        CHECK(computed_a >= band.low * (amps - 2.5));
        CHECK(computed_a <= band.high * (amps + 2.5));
    }
    CHECK(outside.cells() == 70);
}

TEST_CASE("the marine table inside engine spaces") {
    // The table multiplies by 0.85, which is sqrt(55 K / 75 K). The surface coefficient falls with the fourth
    // root of the rise besides, so the model drops by up to (55 / 75)^(1/8) = 0.96 more: the lower edge is
    // let down by that.
    published::Ratios inside("ABYC E-11 inside engine space, 105 degC, clear");
    for (const published::Row& row : published::rows_of("marine-single-conductor")) {
        if (row.number("ambient_degc") != 50)
            continue;
        const double amps = row.number("amps");
        const double computed_a = ampacity_a(row, physics::Mounting::clear);
        const Band band =
            band_for(published::section_mm2(row.text("size"), row.text("unit")), row.number("class_degc"));
        inside.add(computed_a, amps);
        CAPTURE(row.text("size"));
        CHECK(computed_a >= 0.96 * band.low * (amps - 2.5));
        CHECK(computed_a <= band.high * (amps + 2.5));
    }
    CHECK(inside.cells() == 10);
}

} // namespace stoutloom
