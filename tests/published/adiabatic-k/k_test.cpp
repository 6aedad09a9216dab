// k of IEC 60364-5-54 annex A against the printed table, each insulation by its two temperatures.
#include "physics/shorttime.h"
#include "published/tables.h"

#include <doctest/doctest.h>

#include <cmath>

namespace stoutloom {

TEST_CASE("adiabatic k by the printed table") {
    published::Ratios ratios("adiabatic k, BS 7671 and IEC 60364-5-54");
    for (const published::Row& row : published::rows_of("adiabatic-k")) {
        const double k = physics::adiabatic_k(row.number("initial_degc"), row.number("final_degc"));
        ratios.add(k, row.number("k"));
        CAPTURE(row.text("insulation"));
        CHECK(std::abs(k - row.number("k")) <= 0.5); // printed as whole numbers
    }
    CHECK(ratios.cells() == 7);
}

TEST_CASE("least sections of three published short-circuit examples") {
    // From three short pages on cable sizing: 10 kA 0.4 s PVC, 12 kA 0.02 s XLPE, 10 kA 0.1 s PVC.
    CHECK(std::abs(physics::adiabatic_section_mm2(10000, 0.4, 115) - 55.0) < 0.05);
    CHECK(std::abs(physics::adiabatic_section_mm2(12000, 0.02, 143) - 11.9) < 0.05);
    CHECK(std::abs(physics::adiabatic_section_mm2(10000, 0.1, 115) - 27.5) < 0.05);
    // Forwards: the section so found ends at its final temperature.
    const double k = physics::adiabatic_k(70, 160);
    const double section_mm2 = physics::adiabatic_section_mm2(10000, 0.4, k);
    CHECK(physics::adiabatic_final_degc(70, section_mm2, 10000.0 * 10000.0 * 0.4) ==
          doctest::Approx(160).epsilon(1e-9));
}

} // namespace stoutloom
