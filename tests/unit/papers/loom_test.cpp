// Where the cables of a loom leave it, against what the file says of their routes: worked out by hand.
#include "report/papers/contents.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace stoutloom;
using namespace stoutloom::papers_test;

namespace {

/// Metres along the trunk at which the cable leaves for the terminal.
double leaves_at_m(const report::CsvTable& table, const std::string& cable, const std::string& terminal) {
    const std::vector<std::string>& head = table.rows.front();
    const auto column = [&](const std::string& name) {
        const auto at = std::find(head.begin(), head.end(), name);
        REQUIRE(at != head.end());
        return static_cast<std::size_t>(at - head.begin());
    };
    for (const std::vector<std::string>& row : table.rows)
        if (row[column("cable")] == cable && row[column("terminal")].ends_with(terminal))
            return std::stod(row[column("at_m")]);
    FAIL("the table has no row for " << cable << " at " << terminal);
    return -1;
}

report::CsvTable looms_of(const std::string& path) {
    const auto kit = kit_of(testing::tree_path(path));
    const report::Voice voice(kit->view, report::Language::english);
    return report::loom_table(voice);
}

} // namespace

// L1 runs 3.60 m in the engine room and on 5.40 m in the wheelhouse (W12, W13). W299 comes out of the
// wheelhouse and lies 7.00 m in the engine room: its lamp's end leaves where the wheelhouse begins, the
// unit's end 3.40 m behind the others.
TEST_CASE("a cable in one zone of a loom leaves it towards the zone where it goes on") {
    const report::CsvTable looms = looms_of("harnesses/workboat.xml");
    CHECK(leaves_at_m(looms, "W299", "G1.L") == doctest::Approx(0.00));
    CHECK(leaves_at_m(looms, "W12", "F10.b") == doctest::Approx(3.40));
    CHECK(leaves_at_m(looms, "W13", "X2.3") == doctest::Approx(3.40));
    CHECK(leaves_at_m(looms, "W299", "P1.−") == doctest::Approx(7.00));
    CHECK(leaves_at_m(looms, "W12", "X10.1") == doctest::Approx(12.40));
}

// L2 lies in the saloon floor alone, 10.40 m. The dashboard is before it, battery locker and engine bay
// behind: the post between has a cable from either side.
TEST_CASE("cables from both ends of a zone meet within it") {
    const report::CsvTable looms = looms_of("harnesses/coach.xml");
    CHECK(leaves_at_m(looms, "W18", "X3.1") == doctest::Approx(0.00));
    CHECK(leaves_at_m(looms, "W60", "P1.−") == doctest::Approx(0.00));
    CHECK(leaves_at_m(looms, "W18", "X5") == doctest::Approx(5.20));
    CHECK(leaves_at_m(looms, "W17", "X5") == doctest::Approx(6.00));
    CHECK(leaves_at_m(looms, "W17", "Q1.b") == doctest::Approx(10.40));
    CHECK(leaves_at_m(looms, "W60", "G1.L") == doctest::Approx(10.40));
}
