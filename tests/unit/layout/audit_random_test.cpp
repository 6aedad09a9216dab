// Placing must never fail and never print a conflict, whatever it is given: every sheet of many random
// diagrams passes the audit, and the sheets together tell every cable and stud once.
#include "draw/draw.h"
#include "testing/diagram_told.h"
#include "testing/random_diagram.h"
#include "testing/testing.h"

#include <cstdlib>
#include <doctest/doctest.h>

using namespace stoutloom;

namespace {
struct Tally {
    int pages = 0, lists = 0, unlabelled = 0;
};

void place_and_judge(const testing::Kit& kit, const layout::TextMeasure& measure, const std::string& name,
                     Tally& tally) {
    const auto pages = layout::place_diagram(kit.content, measure);
    REQUIRE_MESSAGE(pages, (pages ? "" : fmt::format("{}: {}", name, pages.error().message)));
    for (const layout::Page& page : *pages) {
        const layout::Quality quality = layout::audit(page);
        ++tally.pages;
        tally.lists += page.title.find("stud list") != std::string::npos ? 1 : 0;
        for (const layout::Element& element : page.elements)
            tally.unlabelled += element.id == "cable-list" ? 1 : 0;
        std::string told;
        for (const std::string& each : quality.complaints)
            told += "\n  " + each;
        CHECK_MESSAGE(quality.overlaps == 0, fmt::format("{} sheet {}:{}", name, page.label, told));
        CHECK_MESSAGE(quality.outside == 0, fmt::format("{} sheet {}:{}", name, page.label, told));
    }
    for (const std::string& each : testing::untold(kit.content, *pages))
        FAIL_CHECK(name, ": ", each);
}
} // namespace

TEST_CASE("random diagrams of every size are placed without one overlap and nothing is left out") {
    const auto measure = draw::lettering();
    std::mt19937_64 random = testing::random_source("diagrams");
    const char* asked = std::getenv("STOUTLOOM_ROUNDS");
    const int rounds = asked != nullptr ? std::atoi(asked) : 10;
    Tally tally;
    for (int round = 0; round < rounds; ++round) {
        // Mostly what one or two sheets hold, now and then a kit far beyond them.
        const std::size_t most = round % 4 == 3 ? 18 : 8;
        const std::size_t large = asked != nullptr ? 40 : 26; // by hand there is more time
        const std::size_t cables = round % 10 == 9 ? large : 3 + static_cast<std::size_t>(random() % most);
        testing::Kit kit = testing::random_kit(random, cables);
        const layout::Sheet sheets[] = {layout::Sheet::a3, layout::Sheet::a3, layout::Sheet::tabloid,
                                        layout::Sheet::a4, layout::Sheet::letter};
        kit.content.sheet = sheets[round % 5];
        place_and_judge(kit, *measure, fmt::format("round {}", round), tally);
    }
    MESSAGE(fmt::format("{} sheets, {} of them stud lists, {} with a list of cables that found no room",
                        tally.pages, tally.lists, tally.unlabelled));
}
