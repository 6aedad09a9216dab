// What schemas/sizing.md says about the demo van: the planned kit comes out of its own wiring by sizing
// alone, and no heavier; the kit as found does not, and why; what its starter cable would need.
#include "check/check.h"
#include "read/read.h"
#include "size/size.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <regex>
#include <set>

using namespace stoutloom;

namespace {

std::string planned_with_auto(const std::string& cables, const std::string& links) {
    std::string text = testing::file_text(testing::tree_path("harnesses/library-van-planned.xml"));
    text = std::regex_replace(text, std::regex("(<cable id=\"(" + cables + ")\" section=\")[^\"]*\""),
                              "$1auto\"");
    if (!links.empty())
        text = std::regex_replace(
            text, std::regex("(<fuse-link id=\"(" + links + ")\"[^>]* rating=\")[^\"]*\""), "$1auto\"");
    return text;
}

bool told(const std::vector<size::Relaxation>& relaxations, const std::string& words) {
    return std::any_of(relaxations.begin(), relaxations.end(),
                       [&](const size::Relaxation& one) { return one.what.find(words) == 0; });
}

} // namespace

TEST_CASE("the planned van comes out of its wiring by sizing alone and no heavier") {
    const auto planned = read::read_file(testing::tree_path("harnesses/library-van-planned.xml"));
    REQUIRE(planned);
    const auto open = read::read_text("auto.xml", planned_with_auto("W1|W2|W3|W5|W6|W7|W8|W9|W17", "F1|F3"));
    REQUIRE(open);
    const auto sizing = size::size_kit(
        open->harness, {.too_small = false, .sensitivity = false, .relaxations = false, .limits = {}});
    REQUIRE(sizing);
    CHECK(sizing->proven);
    REQUIRE(sizing->chosen.size() == 11);
    double planned_kg = 0;
    for (const size::Chosen& chosen : sizing->chosen)
        if (chosen.kind == size::ChoiceKind::section)
            planned_kg += size::copper_kg(
                planned->harness.cable(model::find_cable(planned->harness, chosen.id).value()));
    CHECK(sizing->copper_kg <= planned_kg);
    CHECK(sizing->copper_kg > 0.8 * planned_kg);
    MESSAGE(sizing->copper_kg, " kg chosen, ", planned_kg, " kg planned");
    CHECK(sizing->standing.empty());
    CHECK(check::judge_all(check::gather(sizing->harness)).clean());
}

TEST_CASE("the van as found cannot be cured by sizes and the sizing says why") {
    const auto found = read::read_file(testing::tree_path("harnesses/library-van-original.xml"));
    REQUIRE(found);
    const auto sizing = size::size_kit(
        found->harness, {.too_small = true, .sensitivity = false, .relaxations = true, .limits = {}});
    REQUIRE(!sizing);
    CHECK(sizing.error().proven);
    // Cured apart: the throttle cable beside the strap, and a starter cable above the stock.
    std::set<std::string> alone;
    for (const size::Conflict& conflict : sizing.error().conflicts) {
        REQUIRE(conflict.size() == 1);
        alone.insert(conflict.front());
    }
    CHECK(alone == std::set<std::string>{"incidental-current X9", "cranking-drop M1, feed",
                                         "cranking-drop M1, return",
                                         "cranking-drop M1, feed and return together"});
    CHECK(sizing.error().relaxations.empty());
    for (const std::string rule : {"isolated-return", "keyed-landing"})
        CHECK(std::any_of(sizing.error().standing.begin(), sizing.error().standing.end(),
                          [&](const size::Standing& one) { return one.rule == rule; }));
}

TEST_CASE("the starter cable of the planned van is more than the stock and the sizing says what would do") {
    const auto open = read::read_text("auto.xml", planned_with_auto("W4", ""));
    REQUIRE(open);
    const auto sizing = size::size_kit(
        open->harness, {.too_small = false, .sensitivity = false, .relaxations = true, .limits = {}});
    REQUIRE(!sizing);
    CHECK(sizing.error().proven);
    REQUIRE(!sizing.error().conflicts.empty());
    CHECK(sizing.error().conflicts.front().front().find("cranking-drop M1") == 0);
    const auto& relaxations = sizing.error().relaxations;
    CHECK(told(relaxations, "W4 of 150 mm2, which the stock lacks"));
    CHECK(told(relaxations, "W4 as two in parallel"));
    CHECK(told(relaxations, "W4 of 5."));
}
