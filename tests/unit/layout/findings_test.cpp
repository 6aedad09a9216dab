// Findings that the boxes do not hold follow on a sheet of their own; no finding is cut or left out.
#include "draw/draw.h"
#include "testing/diagram_kits.h"
#include "testing/diagram_told.h"
#include "testing/placed.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace stoutloom;

namespace {
/// The van with so many findings on its cables in turn, each of some words.
layout::DiagramContent found(std::size_t count) {
    layout::DiagramContent content = testing::van().content;
    content.flags.clear();
    for (std::size_t i = 0; i < count; ++i)
        content.flags.push_back({.number = std::to_string(i + 1),
                                 .error = i % 3 != 0,
                                 .subject = content.cables[i % content.cables.size()].id,
                                 .what = fmt::format("number {} carries more than its insulation stands in "
                                                     "the hottest place that it runs through",
                                                     i + 1),
                                 .cure = "more copper or a cooler way"});
    return content;
}

std::vector<const layout::Page*> of_findings(const std::vector<layout::Page>& pages) {
    std::vector<const layout::Page*> made;
    for (const layout::Page& page : pages)
        if (page.id.starts_with("diagram-findings"))
            made.push_back(&page);
    return made;
}

bool says(const std::vector<layout::Page>& pages, const std::string& words) {
    for (const layout::Page& page : pages)
        for (const layout::Element& each : page.elements)
            for (const layout::Text& text : each.texts)
                if (text.words.find(words) != std::string::npos)
                    return true;
    return false;
}
} // namespace

TEST_CASE("two findings stand under the drawing and need no sheet") {
    const layout::DiagramContent content = found(2);
    const auto pages = testing::placed(content);
    CHECK(of_findings(pages).empty());
    CHECK(testing::untold(content, pages).empty());
    CHECK_FALSE(says(pages, "more: sheet"));
}

TEST_CASE("what a low drawing leaves free holds the findings and spares their sheet") {
    const layout::DiagramContent content = found(20);
    const auto pages = testing::placed(content);
    CHECK(of_findings(pages).empty());
    for (const std::string& each : testing::untold(content, pages))
        FAIL_CHECK(each);
    int rows = 0;
    for (const layout::Page& page : pages) {
        CHECK(layout::audit(page).overlaps == 0);
        for (const layout::Element& each : page.elements)
            rows += each.id.starts_with("findings-") ? 1 : 0;
    }
    CHECK(rows > 0);
}

TEST_CASE("what the boxes do not hold stands on a sheet that they name") {
    for (const std::size_t count : {45U, 90U}) {
        const layout::DiagramContent content = found(count);
        const auto pages = testing::placed(content);
        const auto more = of_findings(pages);
        REQUIRE(!more.empty());
        CHECK(more.size() >= (count > 50 ? 2 : 1));
        for (const std::string& each : testing::untold(content, pages))
            FAIL_CHECK(each);
        CHECK(says(pages, "more: sheet " + more.front()->label));
        std::size_t rows = 0;
        for (const layout::Page* page : more) {
            const layout::Quality quality = layout::audit(*page);
            CHECK(quality.overlaps == 0);
            CHECK(quality.outside == 0);
            for (const layout::Element& each : page->elements)
                if (each.id.starts_with("told-")) {
                    ++rows;
                    if (each.link_page.empty()) // a flag may find no place on the drawing
                        continue;
                    const std::size_t hash = each.link_page.find('#');
                    const bool there = std::any_of(pages.begin(), pages.end(), [&](const layout::Page& aim) {
                        return aim.id == each.link_page.substr(0, hash) &&
                               std::any_of(aim.elements.begin(), aim.elements.end(),
                                           [&](const layout::Element& flag) {
                                               return flag.id == each.link_page.substr(hash + 1);
                                           });
                    });
                    CHECK_MESSAGE(there, each.link_page);
                }
        }
        CHECK(rows == count);
    }
}

TEST_CASE("notes alone bring no sheet but stand on it where there is one") {
    for (const std::size_t flags : {1U, 45U}) {
        layout::DiagramContent content = found(flags);
        for (int i = 0; i < 12; ++i)
            content.remarks.push_back(fmt::format(
                "remark {} about a cable of the van that nobody has to do anything about but should know",
                i));
        const auto pages = testing::placed(content);
        const auto more = of_findings(pages);
        REQUIRE(more.empty() == (flags == 1));
        if (flags == 1) {
            CHECK(says(pages, "more notes in the record of the check"));
            continue;
        }
        std::vector<layout::Page> sheets;
        for (const layout::Page* page : more)
            sheets.push_back(*page);
        for (int i = 0; i < 12; ++i)
            CHECK_MESSAGE(says(sheets, fmt::format("Note: remark {} about", i)), i);
    }
}

TEST_CASE("several findings of one unit all fly on it, over it, under it or beside it") {
    layout::DiagramContent content = testing::van().content;
    content.flags.clear();
    for (const char* subject : {"G1", "G1", "G1", "M1", "M1"})
        content.flags.push_back({.number = std::to_string(content.flags.size() + 1),
                                 .error = true,
                                 .subject = subject,
                                 .what = "too little",
                                 .cure = "more"});
    const auto pages = testing::placed(content);
    for (const layout::FlagGlyph& flag : content.flags) {
        const auto shown = std::count_if(pages.begin(), pages.end(), [&](const layout::Page& page) {
            return std::any_of(page.elements.begin(), page.elements.end(),
                               [&](const layout::Element& each) { return each.id == "flag-" + flag.number; });
        });
        CHECK_MESSAGE(shown >= 1, "flag ", flag.number, " on ", flag.subject);
    }
    for (const layout::Page& page : pages)
        CHECK(layout::audit(page).overlaps == 0);
}

// A row of the findings sheet names the field even where the drawing had no room for the flag.
TEST_CASE("a finding whose flag found no room still says in which field its subject is") {
    layout::DiagramContent content = testing::van().content;
    content.flags.clear();
    for (int i = 1; i <= 45; ++i)
        content.flags.push_back({.number = std::to_string(i),
                                 .error = true,
                                 .subject = i % 2 == 0 ? content.cables[0].id : content.units[0].id,
                                 .what = "too little",
                                 .cure = "more"});
    const auto pages = testing::placed(content);
    const std::vector<std::string> bare = testing::unflagged(content, pages);
    REQUIRE(!bare.empty());
    for (const layout::FlagGlyph& flag : content.flags) {
        bool named = false;
        for (const layout::Page& page : pages)
            for (const layout::Element& row : page.elements)
                if (row.id == "told-" + flag.number)
                    for (const layout::Text& text : row.texts) {
                        const std::string field = text.words.substr(text.words.find(' ') + 1);
                        named = named || (field.size() == 2 && field[0] >= 'A' && field[0] <= 'H' &&
                                          field[1] >= '1' && field[1] <= '9');
                    }
        CHECK_MESSAGE(named, "finding ", flag.number, " on ", flag.subject);
    }
}
