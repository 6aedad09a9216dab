// Joints at the end of their life against what published tests still pass: the worst case is stern, not
// absurd.
#include "base/fastener.h"
#include "physics/joint.h"
#include "published/tables.h"

#include <doctest/doctest.h>

namespace stoutloom {

TEST_CASE("joints at the end of their life lie within what published tests still pass") {
    const auto rows = published::rows_of("joint-limits");
    const double connection_ohm = rows[0].number("limit_uohm") * 1e-6;
    const double fixture_ohm = rows[1].number("limit_uohm") * 1e-6;
    published::Ratios ratios("end-of-life crimp and lug over a starter test's limit");
    for (const double section_mm2 : {10.0, 25.0, 50.0, 95.0})
        for (const char* stud : {"M6", "M8", "M10", "M12", "post"}) {
            CAPTURE(section_mm2);
            CAPTURE(stud);
            const auto fastener = base::fastener_by_name(stud);
            REQUIRE(fastener.has_value());
            const auto joint = physics::bolted_resistance(*fastener, physics::JointSeat::copper_or_brass);
            const auto crimp = physics::crimp_resistance(section_mm2);
            ratios.add(joint.high_ohm + crimp.high_ohm, connection_ohm);
            CHECK(joint.high_ohm + crimp.high_ohm <= connection_ohm * (1 + 1e-12));
            CHECK(joint.high_ohm >= 2 * joint.typical_ohm); // and yet worse than new work
        }
    const auto strip =
        physics::bolted_resistance(*base::fastener_by_name("M5"), physics::JointSeat::strip_fuse);
    CHECK(strip.high_ohm <= fixture_ohm);
}

} // namespace stoutloom
