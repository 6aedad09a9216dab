// Placing must never print a conflict, whatever it is given: every sheet of many random diagrams passes the
// audit.
#include "draw/draw.h"
#include "testing/random_diagram.h"
#include "testing/testing.h"

#include <cstdlib>
#include <doctest/doctest.h>

using namespace stoutloom;

TEST_CASE("two hundred random diagrams are placed without one overlap") {
    const auto measure = draw::lettering();
    std::mt19937_64 random = testing::random_source("diagrams");
    const char* asked = std::getenv("STOUTLOOM_ROUNDS");
    const int rounds = asked != nullptr ? std::atoi(asked) : 200;
    int unlabelled = 0;
    int pages_made = 0;
    for (int round = 0; round < rounds; ++round) {
        const std::size_t cables = 3 + static_cast<std::size_t>(random() % 18);
        const testing::Kit kit = testing::random_kit(random, cables);
        const auto pages = layout::place_diagram(kit.content, *measure);
        CHECK_MESSAGE(pages, (pages ? "" : fmt::format("round {}: {}", round, pages.error().message)));
        if (!pages)
            continue;
        for (const layout::Page& page : *pages) {
            const layout::Quality quality = layout::audit(page);
            ++pages_made;
            for (const layout::Element& element : page.elements)
                unlabelled += element.id == "cable-list" ? 1 : 0;
            std::string told;
            for (const std::string& each : quality.complaints)
                told += "\n  " + each;
            CHECK_MESSAGE(quality.overlaps == 0,
                          fmt::format("round {} sheet {}:{}", round, page.label, told));
            CHECK_MESSAGE(quality.outside == 0, fmt::format("round {} sheet {}:{}", round, page.label, told));
        }
    }
    MESSAGE(fmt::format("{} sheets, {} of them with a list of cables that found no room beside them",
                        pages_made, unlabelled));
}
