// Room on paper: columns as wide as makes their table short, words clear of rules, charts where they fit.
#include "draw/draw.h"
#include "layout/papers/plots.h"
#include "layout/papers/tables.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"

#include <algorithm>
#include <cmath>
#include <numeric>

using namespace stoutloom;
using namespace stoutloom::layout;
using namespace stoutloom::layout::papers;
using namespace stoutloom::papers_test;

namespace {

constexpr double between_cells_mm = 3; // what a column keeps clear of the next

std::size_t lines_of(const TableBlock& table, const TextMeasure& measure) {
    std::size_t all = 0;
    for (const TableRow& row : table.rows) {
        std::size_t most = 1;
        for (std::size_t i = 0; i < table.columns.size(); ++i)
            most = std::max(most, wrapped(row.cells[i],
                                          {.width_mm = table.columns[i].width_mm - between_cells_mm}, measure)
                                      .size());
        all += most;
    }
    return all;
}

double width_of(const TableBlock& table) {
    return std::accumulate(table.columns.begin(), table.columns.end(), 0.0,
                           [](double so_far, const Column& column) { return so_far + column.width_mm; });
}

} // namespace

TEST_CASE("one long row does not make every other row wrap") {
    const auto lettering = draw::lettering();
    TableBlock table{.columns = {{.title = "about", .width_mm = 40},
                                 {.title = "assumed", .width_mm = 60},
                                 {.title = "reason", .width_mm = 60}},
                     .rows = {}};
    for (int i = 0; i < 20; ++i)
        table.rows.push_back({.cells = {"W" + std::to_string(i), "lug blade 6.3 and M6",
                                        "no lug is given; made for the stud it sits on"}});
    table.rows.push_back(
        {.cells = {"W26, W29, W32, W35, W38, W41, W52, W55, W58, W60, W62", "lug blade 6.3 and blade 6.3",
                   "no lug is given; made for the stud it sits on"}});
    fit_columns(table, 170, *lettering);
    CHECK(width_of(table) == doctest::Approx(170));
    CHECK(lines_of(table, *lettering) <= 20 + 3);
}

TEST_CASE("names to look up stand in two lines at most and whole where that costs no line") {
    const auto lettering = draw::lettering();
    const std::string prose =
        "prospective current from the battery's least resistance; breaking capacity by type, common practice";
    TableBlock table{.columns = {{.title = "rule", .width_mm = 24},
                                 {.title = "question", .width_mm = 60},
                                 {.title = "source", .width_mm = 80}},
                     .rows = {}};
    for (const char* rule : {"fuse-breaking-capacity", "fuse-continuous-load", "ground-return-missing",
                             "battery-balance", "lug-fit"})
        table.rows.push_back({.cells = {rule, prose, prose}});
    fit_columns(table, 170, *lettering);
    for (const TableRow& row : table.rows)
        CHECK(wrapped(row.cells[0], {.width_mm = table.columns[0].width_mm - table.gap_mm}, *lettering)
                  .size() <= 2);
    for (TableRow& row : table.rows)
        row.cells[1] = row.cells[2] = "is it?";
    fit_columns(table, 170, *lettering);
    for (const TableRow& row : table.rows)
        CHECK(wrapped(row.cells[0], {.width_mm = table.columns[0].width_mm - table.gap_mm}, *lettering)
                  .size() == 1);
}

TEST_CASE("columns are never so wide that a shorter table was left lying") {
    const auto lettering = draw::lettering();
    auto random = testing::random_source("widths");
    const std::vector<std::string> words = {"battery",   "of",   "the",    "unit",  "12.5 V",
                                            "generator", "to",   "return", "feed",  "limit",
                                            "and",       "stud", "M8",     "shield"};
    for (int round = 0; round < 30; ++round) {
        TableBlock table{.columns = {{.title = "a", .width_mm = 30}, {.title = "b", .width_mm = 140}},
                         .rows = {}};
        const auto prose = [&](std::size_t most) {
            std::string made;
            for (std::size_t n = 1 + random() % most; n > 0; --n)
                made += (made.empty() ? "" : " ") + words[random() % words.size()];
            return made;
        };
        for (int i = 0; i < 8; ++i)
            table.rows.push_back({.cells = {prose(14), prose(20)}});
        TableBlock tried = table;
        fit_columns(table, 170, *lettering);
        CHECK(width_of(table) == doctest::Approx(170));
        // Every division into two by whole steps of 2 mm, prose in no sliver.
        std::size_t least = lines_of(table, *lettering);
        const std::size_t made = least;
        for (double first = 40; first <= 130; first += 2) {
            tried.columns[0].width_mm = first;
            tried.columns[1].width_mm = 170 - first;
            least = std::min(least, lines_of(tried, *lettering));
        }
        CAPTURE(round);
        CHECK(made <= least + 1); // steps of whole millimetres from another beginning
    }
}

TEST_CASE("a chart that fits the rest of a sheet stands there") {
    const auto lettering = draw::lettering();
    const auto chart = [](const std::string& name, std::size_t rows) {
        BarChart made;
        made.heading = name;
        made.remark = "charging at 124 A";
        made.legend = "filled: on the way out";
        made.unit = "V";
        for (std::size_t i = 0; i < rows; ++i)
            made.bars.push_back({.id = name + std::to_string(i),
                                 .label = "W",
                                 .words = "1 V",
                                 .to = 1,
                                 .posts = {},
                                 .desc = {}});
        return made;
    };
    // 142 mm of A4 landscape less heading: two words' lines, axis and rows of 5.2 mm each leave the second
    // chart of `few` rows room; the one row more that makes it too high moves it to the next sheet.
    std::size_t fitting = 0;
    for (std::size_t few = 1; few < 12; ++few) {
        PlotsContent content;
        content.heading = "Plots";
        content.charts = {chart("first", 11), chart("second", few)};
        const auto pages = build_plots(content, PaperSize::a4, *lettering);
        double foot = 0;
        for (const Element& element : pages.front().elements)
            foot = std::max(foot, element.box.bottom_mm());
        const double left = content_box({.size = PaperSize::a4, .portrait = false}).bottom_mm() - foot;
        if (pages.size() == 1)
            fitting = few;
        else if (few == fitting + 1) // a row, and less than a line of words that nobody wrote
            CHECK(left - (4.5 + 3.5 + 2.5 + 2 * 4.3 + 7 + 5.2 * static_cast<double>(few)) < 2.5);
    }
    CHECK(fitting > 0);
}

TEST_CASE("a bar that is longer than the scale is torn") {
    const auto lettering = draw::lettering();
    BarChart chart;
    chart.heading = "T";
    chart.unit = "°C";
    const auto bar = [](const std::string& id, double to, bool torn) {
        return Bar{.id = id,
                   .label = "W",
                   .words = "°C",
                   .to = to,
                   .hatched = true,
                   .torn = torn,
                   .posts = {},
                   .desc = {}};
    };
    chart.bars = {bar("a", 100, false), bar("b", 200, true)};
    PlotsContent content;
    content.heading = "Plots";
    content.charts = {chart};
    const auto pages = build_plots(content, PaperSize::a4, *lettering);
    const auto gaps = [&](const std::string& id) {
        std::ptrdiff_t count = 0;
        for (const Element& element : pages.front().elements)
            if (element.id == id)
                count += std::count_if(element.shapes.begin(), element.shapes.end(), [](const Shape& shape) {
                    return shape.fill == Paint::white && shape.stroke.paint == Paint::white;
                });
        return count;
    };
    CHECK(gaps("a") == 0);
    CHECK(gaps("b") == 2);
}

TEST_CASE("the facts of the cut list stand clear of the rules above and below") {
    const auto lettering = draw::lettering();
    for (const std::string& path : example_paths()) {
        if (large(path))
            continue;
        const auto kit = kit_of(path);
        report::PackOptions options;
        options.only = {report::Paper::cut_list};
        const auto pack = report::build_pack(kit->view, options, *lettering);
        REQUIRE(pack.has_value());
        for (const Page& page : pack->document.pages) {
            std::vector<double> rules; // across the sheet
            for (const Element& element : page.elements)
                for (const Shape& shape : element.shapes)
                    if (shape.pieces.size() == 2 && shape.pieces[0].to.y_mm == shape.pieces[1].to.y_mm &&
                        std::abs(shape.pieces[0].to.x_mm - shape.pieces[1].to.x_mm) > 200)
                        rules.push_back(shape.pieces[0].to.y_mm);
            for (const model::Cable& cable : kit->harness.cables)
                for (const Element& element : page.elements)
                    for (const Text& text : element.texts)
                        if (element.id == cable.id)
                            for (const double rule : rules) {
                                CAPTURE(path);
                                CAPTURE(text.words);
                                const double top = text.at.y_mm - text.height_mm;
                                CHECK((top >= rule + 0.9 || text.at.y_mm <= rule - 1.1));
                            }
        }
    }
}

TEST_CASE("the index knows the sheets of the fuse-links") {
    const auto lettering = draw::lettering();
    const auto kit = kit_of(testing::tree_path("harnesses/library-van-planned.xml"));
    report::PackOptions options;
    options.only = {report::Paper::plots,
                    report::Paper::index}; // a pack as thin as this one has none unasked
    const auto pack = report::build_pack(kit->view, options, *lettering);
    REQUIRE(pack.has_value());
    std::size_t asked = 0;
    for (const report::CsvTable& table : pack->tables) {
        if (table.name != "index")
            continue;
        for (const Page& page : pack->document.pages) {
            const std::string stem = "plots-protection-";
            if (!page.id.starts_with(stem))
                continue;
            ++asked;
            const auto row = std::find_if(table.rows.begin(), table.rows.end(), [&](const auto& cells) {
                return cells.front() == page.id.substr(stem.size());
            });
            REQUIRE(row != table.rows.end());
            CHECK((" " + row->back() + " ").find(" " + page.label + " ") != std::string::npos);
        }
    }
    CHECK(asked >= 3);
}

TEST_CASE("the head of a Japanese column stands on one line") {
    const auto lettering = draw::lettering();
    TableBlock table{.columns = {{.title = "番号", .width_mm = 10},
                                 {.title = "合格", .width_mm = 8},
                                 {.title = "出典", .width_mm = 160}},
                     .rows = {}};
    for (int i = 0; i < 9; ++i)
        table.rows.push_back(
            {.cells = {std::to_string(i), "1", std::string(40, 'a') + " " + std::string(60, 'b')}});
    fit_columns(table, 120, *lettering);
    for (const Column& column : table.columns)
        CHECK(wrapped(column.title, {.width_mm = column.width_mm - table.gap_mm, .weight = Weight::bold},
                      *lettering)
                  .size() == 1);
}
