// What shares a sheet: narrow lists side by side, loom boards and plots that pass each other, a reel plan
// with the cable that is bought. Places and scales are worked out by hand from the sizes of sheet, line and
// bar.
#include "draw/draw.h"
#include "layout/papers/check_record.h"
#include "layout/papers/loom_board.h"
#include "layout/papers/plots.h"
#include "layout/papers/reel_bars.h"
#include "report/papers/papers.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"
#include "unit/papers/stands.h"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <set>

using namespace stoutloom;
using namespace stoutloom::layout;
using namespace stoutloom::layout::papers;
using namespace stoutloom::papers_test;

namespace {

TableBlock list_of(const std::string& name, std::size_t rows) {
    TableBlock table{.caption = name, .columns = {{.title = "what"}, {.title = "count"}}, .rows = {}};
    for (std::size_t i = 0; i < rows; ++i)
        table.rows.push_back({.id = {}, .cells = {name + " " + std::to_string(i), "1"}});
    return table;
}

PaperFlow flow_on_a4(const TextMeasure& measure) {
    return PaperFlow(
        {.sheet = {}, .id = "p", .heading = {.words = "P", .remark = {}}, .continued = "continued"}, measure);
}

std::vector<Page> side_by_side(std::vector<TableBlock> blocks, const TextMeasure& measure) {
    PaperFlow flow = flow_on_a4(measure);
    flow.tables_in_strips(std::move(blocks));
    return flow.done();
}

// A4 across: 297 less 20 and 10 of margin and 5 beside each frame line: from 25 to 282, the middle at 153.5.
constexpr double left_mm = 25, middle_mm = 153.5, right_mm = 282;

LoomBoard board_of(const std::string& id, double length_m) {
    const auto end = [](double at_m, const std::string& unit) {
        return Breakout{.at_m = at_m,
                        .unit = unit,
                        .tails = {{.cable = "W1", .terminal = unit, .length = "0.10 m", .length_m = 0.1}}};
    };
    LoomBoard board{.id = id,
                    .heading = "Loom " + id,
                    .length_m = length_m,
                    .parts = {{.from_m = 0, .to_m = length_m, .length = "all", .zone = "floor"}},
                    .breakouts = {end(0, "E1"), end(length_m, "E2")},
                    .remarks = {},
                    .cables = list_of({}, 2)};
    return board;
}

std::vector<Page> boards(std::vector<LoomBoard> all, const TextMeasure& measure) {
    LoomBoardsContent content{.boards = std::move(all), .words = {}};
    content.words.heading = "Loom boards";
    content.words.scale = "scale {0}";
    return build_loom_boards(content, PaperSize::a4, measure);
}

BarChart chart_of(const std::string& name, std::size_t rows) {
    BarChart chart{.heading = name, .remark = "r", .bars = {}, .lines = {}, .unit = "V", .legend = {}};
    for (std::size_t i = 0; i < rows; ++i)
        chart.bars.push_back({.id = name + std::to_string(i),
                              .label = name,
                              .words = "1 V",
                              .from = 0,
                              .to = 1,
                              .posts = {},
                              .desc = {}});
    return chart;
}

} // namespace

TEST_CASE("a short list stands beside a longer one, heads level") {
    const auto lettering = draw::lettering();
    const std::vector<Page> pages = side_by_side({list_of("lugs", 6), list_of("boots", 3)}, *lettering);
    REQUIRE(pages.size() == 1);
    const auto lugs = stands(pages, "lugs"), boots = stands(pages, "boots");
    REQUIRE((lugs.size() == 1 && boots.size() == 1));
    CHECK(lugs[0].text.at.x_mm == doctest::Approx(left_mm));
    CHECK(boots[0].text.at.x_mm == doctest::Approx(middle_mm + 3.5)); // half of the 7 between two strips
    CHECK(lugs[0].text.at.y_mm == doctest::Approx(boots[0].text.at.y_mm));
    for (int i = 0; i < 6; ++i)
        CHECK(stands(pages, "lugs " + std::to_string(i)).size() == 1);
    for (int i = 0; i < 3; ++i)
        CHECK(stands(pages, "boots " + std::to_string(i)).size() == 1);
}

TEST_CASE("a long list goes on in the next strip with its head and without its caption") {
    const auto lettering = draw::lettering();
    // A line of 2.5 between 2 x 1.2 and 0.4: 5.3 a row, some 24 of them in the 131 left of a sheet.
    for (const std::size_t rows : {20U, 60U, 150U}) {
        const std::vector<Page> pages = side_by_side({list_of("long", rows), list_of("few", 2)}, *lettering);
        CHECK(stands(pages, "long").size() == 1);
        CHECK(stands(pages, "few").size() == 1);
        std::set<std::string> seen;
        for (std::size_t i = 0; i < rows; ++i) {
            const auto found = stands(pages, "long " + std::to_string(i));
            REQUIRE(found.size() == 1);
            CHECK(found[0].text.at.y_mm < 162.4); // 200 less 33.6 of title block and 4
        }
        // A head for each strip that holds rows of the list, one for the other list.
        std::set<std::pair<std::size_t, bool>> strips;
        for (std::size_t i = 0; i < rows; ++i) {
            const Stand row = stands(pages, "long " + std::to_string(i))[0];
            strips.insert({row.sheet, row.text.at.x_mm > middle_mm});
        }
        CHECK(strips.size() > 1);
        CHECK(stands(pages, "what").size() == strips.size() + 1);
        CHECK(pages.size() == (rows <= 40 ? 1U : rows <= 92 ? 2U : 4U));
    }
}

TEST_CASE("a list too wide for half a sheet has the whole width") {
    const auto lettering = draw::lettering();
    TableBlock wide = list_of("wide", 4);
    for (int i = 0; i < 4; ++i) {
        wide.columns.push_back({.title = "note"});
        for (TableRow& row : wide.rows)
            row.cells.push_back("a sentence of thirty letters " + std::to_string(i)); // some 45 mm
    }
    const std::vector<Page> pages = side_by_side({wide, list_of("few", 3)}, *lettering);
    const auto first = stands(pages, "wide"), second = stands(pages, "few");
    REQUIRE((first.size() == 1 && second.size() == 1));
    CHECK(second[0].text.at.x_mm == doctest::Approx(left_mm));
    CHECK(second[0].text.at.y_mm > first[0].text.at.y_mm + 20);
}

TEST_CASE("two short looms share a sheet at the largest scale that has room") {
    const auto lettering = draw::lettering();
    // 257 wide, 6 before the trunk and 2 behind: 2 m at 1 : 7.5 is 267, at 1 : 10 it is 200.
    const std::vector<Page> pages = boards({board_of("L1", 2), board_of("L2", 2)}, *lettering);
    REQUIRE(pages.size() == 1);
    CHECK(std::count_if(pages[0].elements.begin(), pages[0].elements.end(), [](const Element& element) {
              return element.id == "L1" || element.id == "L2";
          }) == 2);
    const auto scales = stands(pages, "scale 1 : 10 ");
    REQUIRE(scales.size() == 2);
    CHECK(scales[1].text.at.y_mm > scales[0].text.at.y_mm + 40);
    // Both ends of the trunk where the scale puts them: 25 + 6 and 200 further on.
    for (const Element& element : pages[0].elements)
        if (element.id == "L1") {
            CHECK(std::any_of(element.texts.begin(), element.texts.end(),
                              [](const Text& text) { return text.words.ends_with("E2"); }));
            CHECK(element.box.x_mm >= left_mm - 0.01);
            CHECK(element.box.right_mm() <= right_mm + 0.01);
            CHECK(element.box.right_mm() >= left_mm + 6 + 200);
        }
    CHECK(boards({board_of("L1", 2), board_of("L2", 2), board_of("L3", 2), board_of("L4", 2)}, *lettering)
              .size() == 2);
}

TEST_CASE("a low plot takes the room that a high one leaves where that saves a sheet") {
    const auto lettering = draw::lettering();
    // 137.9 under the heading. First: 7 + 4.3 + 6.2 + 15 x 4.6 = 86.5; then 10.5 + 4.3 + 6.2 and 12 rows are
    // 76, three rows 35, nine 62. In order: first | high and low | last. Else first and low | high and last.
    PlotsContent content{
        .charts = {chart_of("first", 15), chart_of("high", 12), chart_of("low", 3), chart_of("last", 9)},
        .heading = "Plots",
        .remark = {},
        .continued = "continued"};
    const auto on = [](const std::vector<Page>& pages, const std::string& id) {
        for (std::size_t i = 0; i < pages.size(); ++i)
            for (const Element& element : pages[i].elements)
                if (element.id == id)
                    return static_cast<int>(i);
        return -1;
    };
    const std::vector<Page> fewer = build_plots(content, PaperSize::a4, *lettering);
    REQUIRE(fewer.size() == 2);
    CHECK(on(fewer, "first14") == 0);
    CHECK(on(fewer, "low2") == 0);
    CHECK(on(fewer, "high0") == 1);
    CHECK(on(fewer, "last8") == 1);
    content.charts.pop_back(); // nothing saved: the order stays
    const std::vector<Page> same = build_plots(content, PaperSize::a4, *lettering);
    REQUIRE(same.size() == 2);
    CHECK(on(same, "high0") == 1);
    CHECK(on(same, "low0") == 1);
}

TEST_CASE("a table in strips begins on a sheet that holds it whole") {
    const auto lettering = draw::lettering();
    // 137.9 of a sheet; a row of 5.3. 40 rows in two or three strips fit one sheet but not the foot of one.
    const auto first_on = [&](double used_mm) {
        PaperFlow flow = flow_on_a4(*lettering);
        flow.advance(used_mm);
        TableBlock table = list_of("ends", 40);
        for (TableRow& row : table.rows)
            row.cells.front() += " of a long name to be read";
        table.folds = true;
        flow.table(table);
        const std::vector<Page> pages = flow.done();
        return std::pair(stands(pages, "ends").at(0).sheet, pages.size());
    };
    CHECK(first_on(0) == std::pair<std::size_t, std::size_t>{0, 1});
    CHECK(first_on(60) == std::pair<std::size_t, std::size_t>{0, 2}); // more than 0.4 of it is left
    CHECK(first_on(100) == std::pair<std::size_t, std::size_t>{1, 2});
}

TEST_CASE("no low plot has a sheet to itself where the sheet before can spare one") {
    const auto lettering = draw::lettering();
    // Under the first heading 7 + 4.3 + 6.2 and 5 x 4.6 are 40.5, then with 10.5 instead of 7 44: three are
    // 128.5 of 137.9.
    const PlotsContent content{
        .charts = {chart_of("a", 5), chart_of("b", 5), chart_of("c", 5), chart_of("d", 5)},
        .heading = "Plots",
        .remark = {},
        .continued = "continued"};
    const std::vector<Page> pages = build_plots(content, PaperSize::a4, *lettering);
    REQUIRE(pages.size() == 2);
    const auto holds = [&](std::size_t sheet, const std::string& id) {
        return std::any_of(pages[sheet].elements.begin(), pages[sheet].elements.end(),
                           [&](const Element& element) { return element.id == id; });
    };
    CHECK(holds(0, "a0"));
    CHECK(holds(0, "b4"));
    CHECK(holds(1, "c0"));
    CHECK(holds(1, "d4"));
}

TEST_CASE("numbers over narrow pieces keep their order and lead to their piece") {
    const auto lettering = draw::lettering();
    PaperFlow flow = flow_on_a4(*lettering);
    Reel reel{.caption = "12 m", .length_m = 12, .pieces = {{"18", 6}, {"17", 5}}, .left = "0.2 m left"};
    for (const char* number : {"16", "15", "14"})
        reel.pieces.push_back({.number = number, .length_m = 0.2});
    draw_reels(flow, {.heading = "Reel plan", .reels = {reel}});
    const std::vector<Page> pages = flow.done();
    double last = 0;
    for (const char* number : {"18", "17", "16", "15", "14"}) {
        const auto found = stands(pages, number);
        REQUIRE(found.size() == 1);
        CHECK(found[0].text.box.x_mm > last);
        last = found[0].text.box.right_mm();
    }
    CHECK(last <= right_mm + 2.01);
    CHECK(stands(pages, "18, 17, 16, 15, 14").empty()); // no list needed
}

TEST_CASE("the reel plan goes with the shopping list where that saves a sheet, and is never lost") {
    const auto lettering = draw::lettering();
    const auto kit = kit_of(testing::tree_path("harnesses/first-kit.xml"));
    const auto on = [&](const report::PackOptions& options) {
        const auto pack = report::build_pack(kit->view, options, *lettering);
        REQUIRE(pack.has_value());
        std::vector<std::string> ids;
        for (const Stand& stand : stands(pack->document.pages, "Reel plan"))
            ids.push_back(pack->document.pages[stand.sheet].id);
        return ids;
    };
    report::PackOptions options;
    options.only = {report::Paper::cut_list, report::Paper::shopping_list};
    CHECK(on(options) == std::vector<std::string>{"shopping-list"});
    options.only = {report::Paper::cut_list};
    CHECK(on(options) == std::vector<std::string>{"cut-list-2"});
    options.only = {report::Paper::shopping_list};
    CHECK(on(options).empty());
}

TEST_CASE("the facts of single lugs stand in one column on each sheet") {
    const auto lettering = draw::lettering();
    report::PackOptions options;
    options.only = {report::Paper::stud_stacks};
    for (const char* path : {"harnesses/library-van-planned.xml", "harnesses/coach.xml"}) {
        const auto pack = report::build_pack(kit_of(testing::tree_path(path))->view, options, *lettering);
        REQUIRE(pack.has_value());
        std::size_t cards = 0;
        for (const Page& page : pack->document.pages) {
            std::set<long> columns; // from the card's left edge, in tenths
            for (const Element& element : page.elements) {
                // A card of half the sheet; one of studs made alike has its torque at the right.
                if (element.role != Role::stack || element.box.width_mm > 130)
                    continue;
                for (const Text& text : element.texts)
                    if (text.words.ends_with("N·m") && text.height_mm > 3 && text.anchor == Anchor::left) {
                        columns.insert(std::lround((text.at.x_mm - element.box.x_mm) * 10));
                        ++cards;
                    }
            }
            CHECK(columns.size() <= 1);
        }
        CHECK(cards > 8);
    }
}

TEST_CASE("a boot keeps clear of the words over it") {
    const auto lettering = draw::lettering();
    report::PackOptions options;
    options.only = {report::Paper::stud_stacks};
    const auto pack =
        report::build_pack(kit_of(testing::tree_path("harnesses/coach.xml"))->view, options, *lettering);
    REQUIRE(pack.has_value());
    std::size_t boots = 0;
    for (const Page& page : pack->document.pages)
        for (const Element& element : page.elements) {
            if (element.role != Role::stack)
                continue;
            for (const Shape& shape : element.shapes) {
                // The boot alone is a dashed curve that is not closed; a cubic between two level ends, its
                // controls over them, rises three quarters as high as these.
                if (shape.stroke.dash != Dash::dashed || shape.closed || shape.pieces.size() != 4 ||
                    shape.pieces[2].kind != PathPiece::Kind::curve)
                    continue;
                ++boots;
                const PathPiece& roof = shape.pieces[2];
                const double top = roof.to.y_mm - 0.75 * (roof.to.y_mm - roof.control1.y_mm);
                for (const Text& text : element.texts)
                    if (text.box.x_mm < roof.to.x_mm && text.box.right_mm() > shape.pieces[0].to.x_mm &&
                        text.at.y_mm < roof.to.y_mm)
                        CHECK(top - text.at.y_mm >= 1);
            }
        }
    CHECK(boots == 3); // the two units' and the starter's
}

TEST_CASE("the rows of the record stand closer only where that saves a sheet") {
    const auto lettering = draw::lettering();
    // 277 inside the margins, less 4, 36 of title block, 12.4 of caution and 8, less 10.5 of heading: 206.1.
    // Head and rows are 5.3 each with 1.2 over and under a line, 4.9 with 1.0, 4.6 with 0.85: room for 37, 41
    // and 43 rows.
    const auto sheets = [&](std::size_t rows, bool may_close) {
        TableBlock table = list_of({}, rows);
        table.rows.front().cells.front() = "first";
        table.rows[1].cells.front() = "second";
        SectionedPaper paper{
            .id = "r", .heading = {.words = "R", .remark = {}}, .continued = {}, .sections = {}};
        paper.sections = {{.heading = {}, .paragraphs = {}, .bullets = {}, .tables = {table}}};
        paper.may_close = may_close;
        const std::vector<Page> pages = build_sections(paper, {.portrait = true}, *lettering);
        const double pitch = stands(pages, "second")[0].text.at.y_mm - stands(pages, "first")[0].text.at.y_mm;
        return std::pair(pages.size(), std::lround(pitch * 10));
    };
    CHECK(sheets(37, true) == std::pair<std::size_t, long>{1, 53});
    CHECK(sheets(40, false) == std::pair<std::size_t, long>{2, 53});
    CHECK(sheets(40, true) == std::pair<std::size_t, long>{1, 49});
    CHECK(sheets(43, true) == std::pair<std::size_t, long>{1, 46});
    CHECK(sheets(44, true) == std::pair<std::size_t, long>{2, 53});
}

TEST_CASE("a probe map falls as far as its sheet has room") {
    const auto lettering = draw::lettering();
    // A map of 66 keeps 9 for its head, 5 for names, 12.25 for the last diamond and the brackets: it
    // falls 39.75; three maps of 36.75 fall 10.5 each.
    report::PackOptions options;
    options.only = {report::Paper::measurements};
    for (const auto& [path, fall_mm] :
         {std::pair{"harnesses/library-van-planned.xml", 39.75}, std::pair{"harnesses/coach.xml", 10.5}}) {
        const auto pack = report::build_pack(kit_of(testing::tree_path(path))->view, options, *lettering);
        REQUIRE(pack.has_value());
        std::size_t maps = 0;
        for (const Page& page : pack->document.pages)
            for (const Element& element : page.elements) {
                if (element.id.find("-map-") == std::string::npos)
                    continue;
                ++maps;
                double first = 1e9, last = 0;
                for (const Text& text : element.texts) // the letters in the diamonds
                    if (text.words.size() == 1 && text.weight == Weight::bold && text.words[0] >= 'A') {
                        first = std::min(first, text.at.y_mm);
                        last = std::max(last, text.at.y_mm);
                    }
                CHECK(last - first == doctest::Approx(fall_mm));
                const bool cranking = element.desc.find("cranking") != std::string::npos;
                CHECK(std::any_of(element.texts.begin(), element.texts.end(), [](const Text& text) {
                          return text.words == "M" && text.weight == Weight::regular;
                      }) == cranking);
            }
        CHECK(maps >= 2);
    }
}
