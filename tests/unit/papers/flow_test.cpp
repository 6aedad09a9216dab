// How words and rows are broken over lines and sheets.
#include "draw/draw.h"
#include "layout/direction.h"
#include "layout/papers/check_record.h"
#include "layout/papers/loom_board.h"
#include "layout/papers/measurements.h"
#include "layout/papers/tables.h"

#include <doctest/doctest.h>

#include <map>

using namespace stoutloom;
using namespace stoutloom::layout;
using namespace stoutloom::layout::papers;

namespace {

std::string without_blanks(const std::vector<std::string>& lines) {
    std::string all;
    for (const std::string& line : lines)
        for (std::size_t i = 0; i < line.size(); ++i)
            if (line.compare(i, 2, "\u00A0") == 0)
                ++i;
            else if (line[i] != ' ')
                all += line[i];
    return all;
}

std::size_t rows_on(const Page& page, const std::string& stem) {
    std::size_t count = 0;
    for (const Element& element : page.elements)
        count += element.id.find(stem) != std::string::npos ? 1U : 0U;
    return count;
}

} // namespace

TEST_CASE("a number in brackets keeps its unit and a long name goes on after a mark") {
    const auto lettering = draw::lettering();
    for (double width = 12; width < 70; width += 3) {
        const std::string words =
            "a fault of 161 A harms W155 (10 mm2) before the slowest [200 mm, from memory] clears";
        const auto lines = wrapped(words, {.width_mm = width}, *lettering);
        CHECK(without_blanks(lines) == without_blanks({words}));
        for (const std::string& line : lines) {
            CHECK_FALSE(line.starts_with("mm"));
            CHECK_FALSE(line.starts_with("A "));
        }
    }
    const auto name = wrapped("main_distribution.front-panel.positive", {.width_mm = 30}, *lettering);
    REQUIRE(name.size() > 1);
    CHECK(without_blanks(name) == "main_distribution.front-panel.positive");
    for (std::size_t i = 0; i + 1 < name.size(); ++i)
        CHECK(std::string("._-").find(name[i].back()) != std::string::npos);
}

TEST_CASE("the number of a clause or a table stays with its word") {
    const auto lettering = draw::lettering();
    const std::string words = "ISO 10133:2012 clause 8 and IEC 60364-4-43 table 43A; the boat profile: 33 "
                              "CFR 183.425 table 5 as well, 3.45 J/(K m mm²)";
    for (double width = 28; width < 90; width += 2)
        for (const std::string& line : wrapped(words, {.width_mm = width}, *lettering))
            for (const char* end : {"clause", "table", "33", "CFR", "ISO", "IEC", "3.45", "J/(K", " m"})
                CHECK_FALSE(line.ends_with(end));
}

TEST_CASE("a line that begins in another script keeps the way its text runs") {
    CHECK(direction_of("12 V") == 1);
    CHECK(direction_of("12, 5 %") == 0);
    CHECK(direction_of("−5 \u05EA\u05E0\u05E2") == -1);
    CHECK(direction_of("給電") == 1);
    const auto lettering = draw::lettering();
    // Hebrew name within an English sentence, parted in the name: the second line still is English.
    const std::string words = "M1 \"\u05EA\u05E0\u05E2 \u05E8\u05D0\u05E9\u05D9\" does not turn";
    const auto lines =
        wrapped(words, {.width_mm = lettering->width_mm("M1 \"\u05EA\u05E0\u05E2", 2.5, Weight::regular) + 1},
                *lettering);
    REQUIRE(lines.size() > 1);
    for (const std::string& line : lines)
        CHECK(direction_of(line) == 1);
    CHECK(lines[1].starts_with("\u200E"));
    CHECK(lettering->width_mm("\u200E", 2.5, Weight::regular) == 0);
    CHECK(lettering->missing_character("\u200E\u200F") == 0);
}

TEST_CASE("neither a head nor a last row stands alone on a sheet") {
    const auto lettering = draw::lettering();
    for (std::size_t count = 2; count < 75; ++count) {
        PaperFlow flow({.sheet = {.size = PaperSize::a4, .portrait = false},
                        .id = "test",
                        .heading = {.words = "Test", .remark = {}},
                        .continued = "continued"},
                       *lettering);
        flow.paragraph("something before");
        flow.advance(static_cast<double>(count % 13) * 9);
        TableBlock table{.caption = "Table", .columns = {{.title = "one"}}, .rows = {}};
        for (std::size_t i = 0; i < count; ++i)
            table.rows.push_back({.cells = {std::to_string(i)}});
        flow.table(table);
        std::size_t rows = 0;
        for (const Page& page : flow.done()) {
            const std::size_t here = rows_on(page, "-row-");
            CHECK_MESSAGE((here == 0 || here >= 2), count);
            if (here == 0)
                CHECK(rows_on(page, "-head-") == 0);
            rows += here;
        }
        CHECK(rows == count);
    }
}

TEST_CASE("a few short rows are not parted") {
    const auto lettering = draw::lettering();
    for (double used = 0; used < 150; used += 3) {
        PaperFlow flow({.sheet = {.size = PaperSize::a4, .portrait = false},
                        .id = "test",
                        .heading = {.words = "Test", .remark = {}},
                        .continued = "continued"},
                       *lettering);
        flow.paragraph("something before");
        flow.advance(used);
        flow.table({.caption = "Table",
                    .columns = {{.title = "one"}},
                    .rows = {{.cells = {"a"}}, {.cells = {"b"}}, {.cells = {"c"}}, {.cells = {"d"}}}});
        std::size_t sheets = 0;
        for (const Page& page : flow.done()) {
            const std::size_t rows = rows_on(page, "-row-");
            CHECK((rows == 0 || rows == 4));
            sheets += rows > 0 ? 1 : 0;
        }
        CHECK(sheets == 1);
    }
}

TEST_CASE("whoever signs the measurements signs under one of them") {
    const auto lettering = draw::lettering();
    for (const PaperSize size : {PaperSize::a4, PaperSize::letter})
        for (std::size_t steps = 0; steps < 5; ++steps)
            for (std::size_t rows = 1; rows < 45; ++rows) {
                MeasurementsContent content;
                content.conditions = {"Engine hot."};
                for (std::size_t i = 0; i < rows; ++i)
                    content.rows.push_back({.number = std::to_string(i + 1),
                                            .red = "A",
                                            .black = "B",
                                            .state = "idle",
                                            .expected = "0.30 V",
                                            .unit = "V",
                                            .band = {.low_v = {},
                                                     .high_v = 0.4,
                                                     .expected_v = 0.3,
                                                     .low_words = {},
                                                     .high_words = "0.40"},
                                            .desc = {}});
                for (std::size_t i = 0; i < steps; ++i)
                    content.steps.push_back({.number = std::to_string(rows + i + 1), .words = "Look at it."});
                content.remarks = {"Bands: common practice."};
                for (const Page& page : build_measurements(content, size, *lettering))
                    if (rows_on(page, "signature") > 0)
                        CHECK_MESSAGE(rows_on(page, "measure-") + rows_on(page, "step-") >= 1, rows,
                                      " rows, ", steps, " steps");
            }
}

TEST_CASE("tiles of a loom meet at their cut lines under one letter") {
    const auto lettering = draw::lettering();
    LoomBoardsContent content;
    LoomBoard board{.id = "L1",
                    .heading = "Loom L1",
                    .length_m = 3.1,
                    .parts = {},
                    .breakouts = {},
                    .remarks = {},
                    .cables = {}};
    board.parts = {{.from_m = 0, .to_m = 3.1, .bundle_mm = 30, .length = "3.10 m", .zone = "Floor"}};
    for (int i = 0; i <= 31; ++i)
        board.breakouts.push_back({.at_m = 0.1 * i, .unit = "−X" + std::to_string(i), .tails = {}});
    content.boards = {board};
    content.words.cut_here = "cut";
    for (const PaperSize size : {PaperSize::a4, PaperSize::letter}) {
        const std::vector<Page> pages = build_loom_tiles(content, size, *lettering);
        REQUIRE(pages.size() > 9);
        std::map<std::string, std::vector<double>> joins; // letter to places along the loom, m
        std::size_t told = 0;
        const double span_mm = std::floor(content_box({.size = size}).width_mm);
        for (std::size_t i = 0; i < pages.size(); ++i) {
            const double from_mm = static_cast<double>(i) * (span_mm - 10),
                         left = content_box({.size = size}).x_mm;
            std::vector<double> cuts;
            for (const Element& element : pages[i].elements) {
                for (const Shape& shape : element.shapes)
                    if (shape.stroke.dash == Dash::dashed)
                        cuts.push_back(shape.pieces.front().to.x_mm - left + from_mm);
                for (const Text& text : element.texts)
                    told += text.words.find("−X") != std::string::npos ? 1U : 0U;
            }
            CHECK(cuts.size() == (i == 0 || i + 1 == pages.size() ? 1 : 2));
            for (const Element& element : pages[i].elements)
                for (const Text& text : element.texts)
                    if (text.weight == Weight::bold && text.words.size() <= 2 &&
                        text.height_mm == strong_height_mm) {
                        // The letter belongs to the cut beside it.
                        const double at = text.at.x_mm - left + from_mm;
                        for (const double cut : cuts)
                            if (std::abs(cut - at) < 3)
                                joins[text.words].push_back(cut);
                    }
        }
        CHECK(joins.size() == pages.size() - 1);
        for (const auto& [letter, places] : joins) {
            CHECK(places.size() == 4); // at head and foot of both tiles
            for (const double place : places)
                CHECK(place == doctest::Approx(places.front()));
        }
        CHECK(told == board.breakouts.size()); // each on one tile
    }
}

TEST_CASE("a straight stretch of a loom is told in millimetres and has no tiles") {
    const auto lettering = draw::lettering();
    LoomBoardsContent content;
    LoomBoard board{
        .id = "L1",
        .heading = "Loom L1",
        .length_m = 10.4,
        .parts = {{.from_m = 0, .to_m = 10.4, .bundle_mm = 20, .length = "10.40 m", .zone = "Floor"}},
        .breakouts = {},
        .remarks = {},
        .cables = {}};
    for (const double at_m : {0.0, 4.4, 5.2, 10.4})
        board.breakouts.push_back(
            {.at_m = at_m, .unit = "−X" + std::to_string(board.breakouts.size()), .tails = {}});
    content.boards = {board};
    content.words.straight = "straight {0}";
    content.words.measure = [](double length_m) { return std::to_string(std::lround(length_m * 1000)); };
    for (const PaperSize size : {PaperSize::a4, PaperSize::letter}) {
        const std::vector<Page> pages = build_loom_tiles(content, size, *lettering);
        REQUIRE(pages.size() == board.breakouts.size()); // they are too far apart to share one
        const double left = content_box({.size = size}).x_mm;
        std::vector<long> after(pages.size()), before(pages.size());
        double along_mm = 0; // where the tile's left edge lies, from the cut lines and the stretches told
        double last_cut_mm = 0;
        for (std::size_t i = 0; i < pages.size(); ++i) {
            std::vector<double> cuts;
            double circle = -1; // the breakout
            for (const Element& element : pages[i].elements) {
                for (const Shape& shape : element.shapes) {
                    if (shape.stroke.dash == Dash::dashed)
                        cuts.push_back(shape.pieces.front().to.x_mm - left);
                    for (const PathPiece& piece : shape.pieces)
                        if (piece.kind == PathPiece::Kind::curve && circle < 0)
                            circle = shape.pieces.front().to.x_mm - left;
                }
                for (const Text& text : element.texts)
                    if (text.words.starts_with("straight "))
                        (text.anchor == Anchor::left ? before : after)[i] = std::stol(text.words.substr(9));
            }
            std::sort(cuts.begin(), cuts.end());
            if (i > 0) {
                CHECK(before[i] == after[i - 1]); // both sides of the stretch say the same
                CHECK(before[i] > 0);
                along_mm = last_cut_mm + static_cast<double>(before[i]) - cuts.front();
            }
            last_cut_mm = along_mm + cuts.back();
            // Who lays the tiles out by tape finds each breakout where the loom has it.
            CHECK(std::abs(along_mm + circle - board.breakouts[i].at_m * 1000) < 4);
        }
    }
}

TEST_CASE("a short list of cautions is not parted") {
    const auto lettering = draw::lettering();
    for (std::size_t before = 0; before < 40; ++before) {
        SectionedPaper paper{.id = "test",
                             .heading = {.words = "Test", .remark = {}},
                             .continued = "continued",
                             .sections = {}};
        paper.sections.push_back({.heading = "First",
                                  .paragraphs = std::vector<std::string>(before, "something before"),
                                  .bullets = {},
                                  .tables = {}});
        paper.sections.push_back({.heading = "Cautions",
                                  .paragraphs = {},
                                  .bullets = {"one", "two", "three", "four"},
                                  .tables = {}});
        std::size_t sheets = 0;
        for (const Page& page :
             build_sections(paper, {.size = PaperSize::a4, .portrait = true}, *lettering)) {
            std::size_t dashes = 0;
            for (const Element& element : page.elements)
                for (const Text& text : element.texts)
                    dashes += text.words == "–" ? 1U : 0U;
            CHECK((dashes == 0 || dashes == 4));
            sheets += dashes > 0 ? 1 : 0;
        }
        CHECK(sheets == 1);
    }
}
