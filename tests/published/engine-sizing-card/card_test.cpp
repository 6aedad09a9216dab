// An engine maker's sizing card for 12 V boat diesels: one resistance behind all its lines.
#include "physics/conductor.h"
#include "published/tables.h"

#include <doctest/doctest.h>

namespace stoutloom {

TEST_CASE("every line of the sizing card has the resistance that SAE J541 allows") {
    // The card's lengths are totals. At 18.5 ohm mm2/km (a cable's greatest resistance) charging is 1.85 mohm
    // on every line; cranking 0.93 to 0.98 mohm, just inside the 1.0 mohm of SAE J541 for heavy duty 12 V.
    published::Ratios charging("engine sizing card, charging lines over 1.85 mohm");
    published::Ratios cranking("engine sizing card, cranking lines over 1.0 mohm (SAE J541)");
    for (const published::Row& row : published::rows_of("engine-sizing-card")) {
        const auto made = physics::conductor_for(row.number("section_mm2"));
        REQUIRE(made.has_value());
        const double mohm = physics::resistance_ohm_per_m(*made, 20) * row.number("total_length_m") * 1000;
        CAPTURE(row.text("circuit"));
        CAPTURE(row.text("section_mm2"));
        if (row.text("circuit") == "charging") {
            charging.add(mohm, 1.85);
            CHECK(mohm ==
                  doctest::Approx(1.85).epsilon(0.025)); // the table's sections differ by 2 % from 18.5 / S
            CHECK(115 * mohm / 1000 < 0.22);             // 0.21 V at the unit's 115 A
        } else {
            cranking.add(mohm, 1.0);
            CHECK(mohm > 0.90);
            CHECK(mohm < 1.00);
        }
    }
    CHECK(charging.cells() == 4);
    CHECK(cranking.cells() == 5);
}

} // namespace stoutloom
