// ISO 10133 annex A, from memory throughout: printed for the record, not a gate.
#include "physics/thermal.h"
#include "published/tables.h"

#include <doctest/doctest.h>

namespace stoutloom {

TEST_CASE("ISO 10133 annex A is reported and not gated") {
    published::Ratios usual("ISO 10133 annex A 70 to 125 degC, clear (memory: no gate)");
    published::Ratios odd("ISO 10133 annex A 60 and 200 degC, clear (memory: no gate)");
    std::size_t outside = 0;
    for (const published::Row& row : published::rows_of("iso-10133")) {
        const double class_degc = row.number("class_degc");
        const double amps = row.number("amps");
        const auto conductor = physics::conductor_for(row.number("size"));
        REQUIRE(conductor.has_value());
        const double computed_a = physics::ampacity_a({.conductor = *conductor,
                                                       .insulation = {.class_degc = class_degc},
                                                       .around = {.ambient_degc = row.number("ambient_degc"),
                                                                  .mounting = physics::Mounting::clear,
                                                                  .loaded_cables = 1,
                                                                  .radiant_k = 0}});
        const bool thermal_column = class_degc > 60 && class_degc < 200;
        (thermal_column ? usual : odd).add(computed_a, amps);
        if (thermal_column && (computed_a < amps - 2.5 || computed_a > 1.45 * (amps + 2.5)))
            ++outside;
        CHECK(computed_a > 0.9 * amps); // a slip of a unit would show even in remembered figures
        CHECK(computed_a < 2.6 * amps);
    }
    CHECK(usual.cells() + odd.cells() == 60);
    MESSAGE("remembered rows of 70 to 125 degC outside 1.00 to 1.45: ", outside);
}

} // namespace stoutloom
