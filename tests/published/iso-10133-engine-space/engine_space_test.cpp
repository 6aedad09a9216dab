// ISO 10133's factors for engine spaces, from memory: printed at both readings of its clause.
#include "physics/thermal.h"
#include "published/tables.h"

#include <doctest/doctest.h>

namespace stoutloom {

TEST_CASE("ISO 10133 engine space factors are reported and only the careful side is held") {
    published::Ratios at_clause("ISO 10133 engine space, at 60 degC as remembered (no gate)");
    published::Ratios at_fifty("ISO 10133 engine space, at 50 degC as it computes (no gate)");
    const auto conductor = physics::conductor_for(35);
    REQUIRE(conductor.has_value());
    for (const published::Row& row : published::rows_of("iso-10133-engine-space")) {
        const double class_degc = row.number("class_degc");
        if (class_degc == 200)
            continue; // "no correction": a rating rule, not heat
        const auto ampacity_a = [&](double ambient_degc) {
            return physics::ampacity_a({.conductor = *conductor,
                                        .insulation = {.class_degc = class_degc},
                                        .around = {.ambient_degc = ambient_degc,
                                                   .mounting = physics::Mounting::clipped,
                                                   .loaded_cables = 1,
                                                   .radiant_k = 0}});
        };
        CAPTURE(class_degc);
        at_clause.add(ampacity_a(60) / ampacity_a(30), row.number("factor"));
        at_fifty.add(ampacity_a(50) / ampacity_a(30), row.number("factor"));
        CHECK(ampacity_a(60) / ampacity_a(30) <= row.number("factor"));
    }
    CHECK(at_clause.cells() == 4);
}

} // namespace stoutloom
