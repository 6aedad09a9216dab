// Conduit on a wall (method B) against clipped direct (method C) of IEC 60364-5-52: where the enclosure
// factor is from.
#include "physics/thermal.h"
#include "published/tables.h"

#include <doctest/doctest.h>

namespace stoutloom {

TEST_CASE("a conduit never gets more than the least published ratio of method B to method C") {
    published::Ratios ratios("our conduit factor over method B / method C");
    const double ours = physics::enclosure_factor(physics::Mounting::conduit).factor;
    double least = 1;
    for (const published::Row& row : published::rows_of("method-b-and-c")) {
        const double published_factor = row.number("conduit_b_amps") / row.number("clipped_c_amps");
        least = std::min(least, published_factor);
        ratios.add(ours, published_factor);
        CHECK(ours <= published_factor);
    }
    CHECK(ours > least - 0.01); // and no harsher than the worst row by more than its rounding
    CHECK(ratios.cells() == 32);
}

TEST_CASE("a conduit takes its factor off the ampacity of the clipped cable") {
    const auto conductor = physics::conductor_for(50);
    REQUIRE(conductor.has_value());
    physics::Stretch stretch{
        .conductor = *conductor,
        .insulation = {.class_degc = 105},
        .around = {
            .ambient_degc = 40, .mounting = physics::Mounting::clipped, .loaded_cables = 1, .radiant_k = 0}};
    const double clipped_a = physics::ampacity_a(stretch);
    stretch.around.mounting = physics::Mounting::conduit;
    CHECK(physics::ampacity_a(stretch) == doctest::Approx(0.77 * clipped_a).epsilon(1e-9));
}

} // namespace stoutloom
