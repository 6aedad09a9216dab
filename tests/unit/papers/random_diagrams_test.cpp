// Harness diagrams of random kits as the reader and the check deliver them: mixed lugs on one stud, light and
// heavy leads on one post, many findings.
#include "draw/draw.h"
#include "report/report.h"
#include "testing/diagram_told.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"
#include "unit/papers/random_kit.h"

#include <array>
#include <cstdlib>
#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace stoutloom;
using namespace stoutloom::papers_test;

// As many as STOUTLOOM_DIAGRAMS says (60 by hand: some minutes). A flag may be left out of a sheet that is
// full; of hundreds of findings hardly one is.
TEST_CASE("diagrams of random kits pass the audit and show nearly every finding") {
    const char* asked = std::getenv("STOUTLOOM_DIAGRAMS");
    const int kits = asked == nullptr ? 3 : std::atoi(asked);
    const auto lettering = draw::lettering();
    auto random = testing::random_source("diagrams of random kits");
    constexpr std::array sheets = {layout::Sheet::letter, layout::Sheet::a3, layout::Sheet::a4,
                                   layout::Sheet::tabloid};
    std::size_t flags = 0, missing = 0;
    for (int i = 0; i < kits; ++i) {
        const int consumers = asked == nullptr ? 4 : 1 + static_cast<int>(random() % 14);
        const std::string text = random_kit_text(random, consumers);
        CAPTURE(text);
        const auto kit = kit_of_text(text);
        const auto content =
            report::diagram_content(kit->view, sheets[static_cast<std::size_t>(i) % sheets.size()]);
        const auto pages = layout::place_diagram(content, *lettering);
        REQUIRE(pages);
        for (const layout::Page& page : *pages) {
            CHECK(page.title.find("stud list") == std::string::npos);
            for (const std::string& each : layout::audit(page).complaints)
                FAIL_CHECK(page.label, ": ", each);
        }
        for (const std::string& each : testing::untold(content, *pages))
            FAIL_CHECK(each);
        flags += content.flags.size();
        missing += testing::unflagged(content, *pages).size();
    }
    MESSAGE(fmt::format("{} findings, {} without a flag", flags, missing));
    CHECK(flags > 0);
    CHECK(100 * missing <= flags);
}
