// The harness diagram of every example, on every sheet: nothing over anything, nothing outside, nothing left
// out.
#include "draw/draw.h"
#include "report/report.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <set>

using namespace stoutloom;
using namespace stoutloom::papers_test;

namespace {

constexpr std::array sheets = {layout::Sheet::a3, layout::Sheet::a4, layout::Sheet::letter,
                               layout::Sheet::tabloid};

std::vector<layout::Page> diagram_of(const Kit& kit, layout::Sheet sheet,
                                     const layout::TextMeasure& measure) {
    auto pages = layout::place_diagram(report::diagram_content(kit.view, sheet), measure);
    REQUIRE_MESSAGE(pages.has_value(), (pages ? std::string() : pages.error().message));
    return std::move(*pages);
}

std::string all_words(const std::vector<layout::Page>& pages) {
    std::string words;
    for (const layout::Page& page : pages)
        for (const layout::Element& element : page.elements)
            for (const layout::Text& text : element.texts)
                words += text.words + "\n";
    return words;
}

} // namespace

TEST_CASE("the diagram of every example passes the audit on every sheet") {
    const auto lettering = draw::lettering();
    for (const std::string& path : testing::files_below(testing::tree_path("harnesses"), ".xml")) {
        if (path.find("/workboat") != std::string::npos)
            continue; // minutes under a sanitizer; read in tests/repo
        const auto kit = kit_of(path);
        // The kits of the museum are small and alike: their own sheet is enough, as of the large kits.
        const bool museum = path.find("/mistakes/") != std::string::npos || large(path);
        for (const layout::Sheet sheet : sheets) {
            if (museum && sheet != layout::Sheet::a3)
                continue;
            for (const layout::Page& page : diagram_of(*kit, sheet, *lettering)) {
                const layout::Quality quality = layout::audit(page);
                CHECK_MESSAGE(quality.overlaps == 0, path, ", sheet ", page.label, ": ",
                              fmt::format("{}", fmt::join(quality.complaints, "; ")));
                CHECK_MESSAGE(quality.outside == 0, path, ", sheet ", page.label);
            }
        }
    }
}

TEST_CASE("every part of an example is named on its diagram and every cable has its balloon") {
    const auto lettering = draw::lettering();
    for (const std::string& path : example_paths()) {
        const auto kit = kit_of(path);
        const auto content = report::diagram_content(kit->view, layout::Sheet::a3);
        const auto pages = diagram_of(*kit, layout::Sheet::a3, *lettering);
        const std::string words = all_words(pages);
        for (const model::Device& device : kit->harness.devices)
            CHECK_MESSAGE(words.find("−" + device.id) != std::string::npos, path, " ", device.id);
        std::set<std::string> balloons;
        for (const layout::Page& page : pages)
            for (const layout::Element& element : page.elements)
                if (element.role == layout::Role::balloon)
                    balloons.insert(element.id.substr(0, element.id.find('-')));
        for (const layout::RunGlyph& run : content.cables)
            CHECK_MESSAGE(balloons.contains(run.id), path, " ", run.id);
    }
}

TEST_CASE("every sheet of a diagram carries the caution") {
    const auto lettering = draw::lettering();
    for (const std::string& path : example_paths()) {
        const auto kit = kit_of(path);
        for (const layout::Sheet sheet : sheets)
            for (const layout::Page& page :
                 large(path) ? std::vector<layout::Page>{} : diagram_of(*kit, sheet, *lettering))
                CHECK_MESSAGE(all_words({page}).find("WARNING") != std::string::npos, path, ", sheet ",
                              page.label);
    }
}

TEST_CASE("the diagram passes the audit in every language and none is left in English") {
    const auto lettering = draw::lettering();
    const auto kit = kit_of(testing::tree_path("harnesses/library-van-original.xml"));
    const std::string english = all_words(diagram_of(*kit, layout::Sheet::a3, *lettering));
    for (const report::Language language : {report::Language::german, report::Language::french,
                                            report::Language::spanish, report::Language::japanese}) {
        const auto pages = layout::place_diagram(
            report::diagram_content(kit->view, layout::Sheet::a3, language), *lettering);
        REQUIRE(pages.has_value());
        for (const layout::Page& page : *pages) {
            const layout::Quality quality = layout::audit(page);
            CHECK_MESSAGE(quality.overlaps == 0, report::language_tag(language), ", sheet ", page.label, ": ",
                          fmt::format("{}", fmt::join(quality.complaints, "; ")));
        }
        const std::string words = all_words(*pages);
        for (const std::string fixed : {"Key plan", "Findings", "Reading this sheet", "WARNING", "kept cable",
                                        "Legal owner", "sheet 1b", "Cure: ", "over the limit"}) {
            CHECK_MESSAGE(english.find(fixed) != std::string::npos, fixed);
            CHECK_MESSAGE(words.find(fixed) == std::string::npos, report::language_tag(language), " ", fixed);
        }
    }
}
