// Lists side by side are told apart, looms share their sheets, a reel's list goes on where its bar leaves
// off.
#include "draw/draw.h"
#include "layout/papers/reel_bars.h"
#include "layout/papers/tables.h"
#include "report/papers/papers.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"

#include <doctest/doctest.h>

using namespace stoutloom;
using namespace stoutloom::layout;
using namespace stoutloom::layout::papers;
using namespace stoutloom::papers_test;

namespace {

std::vector<Text> all_of(const Page& page, const std::string& words) {
    std::vector<Text> found;
    for (const Element& element : page.elements)
        for (const Text& text : element.texts)
            if (text.words == words)
                found.push_back(text);
    return found;
}

PaperFlow flow_on_a4(const TextMeasure& measure) {
    return PaperFlow({.sheet = {.size = PaperSize::a4, .portrait = false},
                      .id = "s",
                      .heading = {.words = "Lists", .remark = {}},
                      .continued = "goes on"},
                     measure);
}

TableBlock list_of(const std::string& caption, std::size_t rows) {
    TableBlock table{.caption = caption, .columns = {{.title = "what"}, {.title = "count"}}, .rows = {}};
    for (std::size_t i = 0; i < rows; ++i)
        table.rows.push_back({.cells = {caption + " " + std::to_string(i), "1"}});
    return table;
}

} // namespace

TEST_CASE("a list that goes on beside another one bears its name there and its head stands level") {
    const auto lettering = draw::lettering();
    PaperFlow flow = flow_on_a4(*lettering);
    flow.tables_in_strips({list_of("sleeves", 5), list_of("links", 12), list_of("boots", 3)});
    const std::vector<Page> pages = flow.done();
    REQUIRE(pages.size() == 1);
    const auto sleeves = all_of(pages[0], "sleeves"), links = all_of(pages[0], "links"),
               marks = all_of(pages[0], "goes on");
    REQUIRE((sleeves.size() == 1 && links.size() == 2 && marks.size() == 1));
    CHECK(marks[0].at.x_mm > links[1].box.right_mm());
    CHECK(links[1].at.y_mm == doctest::Approx(sleeves[0].at.y_mm));
}

TEST_CASE("a list alone goes on without its name and its two heads stand level") {
    const auto lettering = draw::lettering();
    PaperFlow flow = flow_on_a4(*lettering);
    flow.tables_in_strips({list_of("lugs", 14)});
    const std::vector<Page> pages = flow.done();
    REQUIRE(pages.size() == 1);
    const auto heads = all_of(pages[0], "what");
    CHECK(all_of(pages[0], "lugs").size() == 1);
    CHECK(all_of(pages[0], "goes on").empty());
    REQUIRE(heads.size() == 2);
    CHECK(heads[0].at.x_mm < heads[1].at.x_mm);
    CHECK(heads[0].at.y_mm == doctest::Approx(heads[1].at.y_mm));
}

TEST_CASE("four looms of the workboat need two sheets") {
    const auto lettering = draw::lettering();
    const auto kit = kit_of(testing::tree_path("harnesses/workboat.xml"));
    report::PackOptions options;
    options.only = {report::Paper::loom_boards};
    for (const report::Language language : {report::Language::english, report::Language::german,
                                            report::Language::french, report::Language::spanish}) {
        options.language = language;
        const auto pack = report::build_pack(kit->view, options, *lettering);
        REQUIRE(pack.has_value());
        CHECK(pack->document.pages.size() == 2);
    }
}

TEST_CASE("the list under a reel of many pieces goes on where its bar leaves off") {
    const auto lettering = draw::lettering();
    PaperFlow flow = flow_on_a4(*lettering);
    Reel reel{.caption = "18 m", .length_m = 18, .pieces = {{"69", 4}, {"70", 4}}, .left = "0.4 m left"};
    std::string rest = "… ";
    for (int i = 0; i < 24; ++i) {
        reel.pieces.push_back({.number = std::to_string(101 + i), .length_m = 0.2});
        rest += (i > 0 ? ", " : "") + std::to_string(101 + i);
    }
    draw_reels(flow, {.heading = "Reel plan", .reels = {reel}});
    const std::vector<Page> pages = flow.done();
    REQUIRE(pages.size() == 1);
    CHECK(all_of(pages[0], "69").size() == 1);
    std::string told;
    for (const Element& element : pages[0].elements)
        for (const Text& text : element.texts)
            if (text.words.starts_with("…") || !told.empty())
                told += (told.empty() ? "" : " ") + text.words;
    CHECK(told == rest);
}
