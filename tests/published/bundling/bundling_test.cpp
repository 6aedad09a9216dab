// Factors for cables in company: never kinder than the marine table, nor than the building code where that is
// stricter.
#include "physics/thermal.h"
#include "published/tables.h"

#include <doctest/doctest.h>

#include <charconv>

namespace stoutloom {
namespace {

/// "4-6 conductors" -> 4 and 6; "<=3 conductors" -> 2 and 3; ">=25 conductors" -> 25 and 60.
std::pair<int, int> span_of(const std::string& text) {
    const auto number = [&](std::size_t at) {
        int value = 0;
        const auto [end, error] = std::from_chars(text.data() + at, text.data() + text.size(), value);
        REQUIRE(error == std::errc{});
        return value;
    };
    if (text.starts_with("<="))
        return {2, number(2)};
    if (text.starts_with(">="))
        return {number(2), 60};
    return {number(0), number(text.find('-') + 1)};
}

} // namespace

TEST_CASE("bundling factors against the published ones") {
    published::Ratios marine("bundling factor over ABYC E-11 (relative to one alone)");
    published::Ratios building("bundling factor over NEC 310.15(C)(1)");
    published::Ratios chart("bundling factor over ABYC E-11 as a vendor's chart has it");
    published::Ratios boat("bundling factor over ISO 10133 (memory: no gate)");
    for (const published::Row& row : published::rows_of("bundling")) {
        const bool is_marine = row.text("table") == "ABYC E-11 bundling (relative to single)";
        const bool is_building = row.text("table").starts_with("NEC 310.15");
        // The chart starts from its own column for up to three cables, which is 0.7 of one alone.
        const bool is_chart = row.text("table").ends_with("(relative to the <=3 table)");
        REQUIRE((is_marine || is_building || is_chart || row.text("table") == "ISO 10133 bundling"));
        published::Ratios& ratios = is_marine ? marine : is_building ? building : is_chart ? chart : boat;
        const auto [first, last] = span_of(row.text("loaded_cables"));
        for (int cables = first; cables <= last; ++cables) {
            const double alone = physics::grouping_factor(cables).factor;
            const double ours = is_chart ? alone / physics::grouping_factor(3).factor : alone;
            ratios.add(ours, row.number("factor"));
            CAPTURE(cables);
            CHECK(ours <= row.number("factor") + (is_chart ? 0.0005 : 0)); // half a step of three digits
        }
    }
    CHECK(physics::grouping_factor(1).factor == 1);
    CHECK(physics::grouping_factor(0).factor == 1); // the cable itself at least
    CHECK(physics::grouping_factor(3).factor == 0.70);
    CHECK(physics::grouping_factor(6).factor == 0.60);
    CHECK(physics::grouping_factor(20).factor == 0.50);
    CHECK(physics::grouping_factor(40).factor == 0.40);
    for (int cables = 1; cables < 100; ++cables)
        CHECK(physics::grouping_factor(cables + 1).factor <= physics::grouping_factor(cables).factor);
}

} // namespace stoutloom
