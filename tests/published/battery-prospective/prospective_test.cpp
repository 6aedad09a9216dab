// What a battery drives into a dead short, against printed examples.
#include "published/tables.h"
#include "solve/shorts.h"
#include "testing/kit.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

namespace stoutloom {

TEST_CASE("the prospective current at a battery is the printed one and batteries side by side add up") {
    published::Ratios ratios("prospective current of a battery, and of several");
    for (const published::Row& row : published::rows_of("battery-prospective")) {
        testing::Kit kit;
        const int count = static_cast<int>(row.number("batteries"));
        for (int i = 0; i < count; ++i)
            kit.battery(fmt::format("G{}", i),
                        {.emf_v = row.number("emf_v"), .ohm = row.number("ohm"), .acceptance_a = 50});
        // The guide leaves the connections out: thick and short.
        for (int i = 1; i < count; ++i) {
            kit.cable(fmt::format("W{}", i), "G0.+", fmt::format("G{}.+", i),
                      {.section_mm2 = 240, .length_m = 0.01});
            kit.cable(fmt::format("V{}", i), "G0.-", fmt::format("G{}.-", i),
                      {.section_mm2 = 240, .length_m = 0.01});
        }
        const auto shorts = solve::short_currents(kit.harness);
        REQUIRE(shorts.has_value());
        const auto stud = model::find_terminal(kit.harness, "G0.+");
        double together_a = 0;
        int sources = 0;
        for (const solve::TerminalShort& one : shorts->terminals)
            if (one.terminal == stud) {
                together_a += one.greatest_a;
                ++sources;
                if (one.source == *model::find_device(kit.harness, "G0"))
                    CHECK(one.greatest_a == doctest::Approx(row.number("each_a")).epsilon(0.005));
            }
        CHECK(sources == count);
        CHECK(together_a == doctest::Approx(row.number("together_a")).epsilon(0.005));
        ratios.add(together_a, row.number("together_a"));
    }
    CHECK(ratios.cells() == 3);
}

} // namespace stoutloom
