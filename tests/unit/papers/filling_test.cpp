// Sheets are filled: short rows side by side, one card for studs made alike, and lists in the order of a
// shop.
#include "draw/draw.h"
#include "layout/papers/plots.h"
#include "layout/papers/stud_stacks.h"
#include "layout/papers/tables.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"
#include "unit/papers/paper_audit.h"
#include "unit/papers/stands.h"

#include <algorithm>
#include <map>

using namespace stoutloom;
using namespace stoutloom::layout;
using namespace stoutloom::layout::papers;
using namespace stoutloom::papers_test;

namespace {

std::string plain_blanks(std::string words) {
    for (std::size_t at = words.find("\u00A0"); at != std::string::npos; at = words.find("\u00A0"))
        words.replace(at, 2, " ");
    return words;
}

std::vector<std::string> words_of(const std::vector<Page>& pages) {
    std::vector<std::string> all;
    for (const Page& page : pages)
        for (const Element& element : page.elements)
            for (const Text& text : element.texts)
                all.push_back(plain_blanks(text.words));
    return all;
}

std::vector<Page> table_of(std::size_t rows, bool folds, const TextMeasure& measure) {
    TableBlock table{
        .columns = {{.title = "terminal"}, {.title = "cable"}}, .rows = {}, .boxes = true, .folds = folds};
    for (std::size_t i = 0; i < rows; ++i)
        table.rows.push_back(
            {.id = {}, .cells = {"E" + std::to_string(i), "2.5 mm² RD to F" + std::to_string(i)}});
    PaperFlow flow(
        {.sheet = {}, .id = "p", .heading = {.words = "P", .remark = {}}, .continued = "continued"}, measure);
    flow.table(table);
    return flow.done();
}

StudCard card_on_bar(std::size_t number) {
    const std::string id = "X1." + std::to_string(number);
    return {.id = id,
            .designation = id,
            .name = "Bar",
            .size = "M5",
            .diameter_mm = 5,
            .plates = {{.number = "1", .words = "W" + std::to_string(number) + " to E1", .palm_mm = 10}},
            .torque = "4.5 N·m",
            .facts = {"must not touch: earthed metal"},
            .desc = {}};
}

std::vector<Page> cut_pages(const std::string& text, const TextMeasure& measure) {
    const auto kit = kit_of_text(text);
    report::PackOptions options;
    options.only = {report::Paper::cut_list};
    auto pack = report::build_pack(kit->view, options, measure);
    REQUIRE(pack.has_value());
    return std::move(pack->document.pages);
}

} // namespace

TEST_CASE("short rows stand side by side and are read down the strips") {
    const auto lettering = draw::lettering();
    const auto straight = table_of(60, false, *lettering), folded = table_of(60, true, *lettering);
    CHECK(folded.size() < straight.size());
    REQUIRE(folded.size() == 1);
    const auto place = [&](std::size_t row) {
        const auto found = stands(folded, "E" + std::to_string(row));
        REQUIRE(found.size() == 1);
        return found.front().at;
    };
    // Every row once; the next stands under it or at the head of a strip further right.
    double first_line = place(0).y_mm;
    std::size_t strips = 1;
    for (std::size_t row = 0; row + 1 < 60; ++row) {
        const Point here = place(row), next = place(row + 1);
        if (next.x_mm > here.x_mm + 1) {
            ++strips;
            CHECK(next.y_mm == doctest::Approx(first_line));
        } else {
            CHECK(next.x_mm == doctest::Approx(here.x_mm));
            CHECK(next.y_mm > here.y_mm + 4);
        }
    }
    CHECK(strips == 4);
    CHECK(stands(folded, "terminal").size() == strips);
    // On the last sheet the strips are equally long, give or take a row.
    std::map<long, std::size_t> rows;
    for (std::size_t row = 0; row < 60; ++row)
        ++rows[std::lround(place(row).x_mm)];
    for (const auto& [x, count] : rows)
        CHECK(count == 15);
    CHECK(table_of(5, true, *lettering).size() == 1); // a few rows are no index
    CHECK(stands(table_of(5, true, *lettering), "terminal").size() == 1);
    const auto many = table_of(400, true, *lettering);
    for (std::size_t row = 0; row < 400; ++row)
        CHECK(stands(many, "E" + std::to_string(row)).size() == 1);
}

TEST_CASE("studs made alike share one drawing and keep a row and a tick each") {
    const auto lettering = draw::lettering();
    StacksContent content;
    content.heading = "Stud stacks";
    StudCard card = card_on_bar(2);
    card.designation = "X1.2 to X1.7";
    for (std::size_t number = 2; number < 8; ++number) {
        const StudCard one = card_on_bar(number);
        card.alike.push_back(
            {.id = one.id, .designation = one.designation, .words = one.plates[0].words, .desc = {}});
    }
    content.cards = {card};
    const auto pages = build_stud_stacks(content, PaperSize::a4, *lettering);
    REQUIRE(pages.size() == 1);
    for (std::size_t number = 2; number < 8; ++number) {
        const std::string id = "X1." + std::to_string(number);
        CHECK(std::count_if(pages[0].elements.begin(), pages[0].elements.end(),
                            [&](const Element& element) { return element.id == id; }) == 1);
        const auto name = stands(pages, id), lug = stands(pages, "W" + std::to_string(number) + " to E1");
        REQUIRE(name.size() == 1);
        REQUIRE(lug.size() == 1);
        CHECK(name[0].at.y_mm == doctest::Approx(lug[0].at.y_mm));
    }
    CHECK(stands(pages, "4.5 N·m").size() == 1);
}

// What the kit file says decides: the same lug on the same part with the same facts, three studs or more.
TEST_CASE("only studs of one part with one lug of one size are told together") {
    const auto kit = kit_of(testing::tree_path("harnesses/workboat.xml"));
    const auto lettering = draw::lettering();
    report::PackOptions options;
    options.only = {report::Paper::stud_stacks};
    const auto pack = report::build_pack(kit->view, options, *lettering);
    REQUIRE(pack.has_value());
    const auto words = words_of(pack->document.pages);
    const auto has = [&](const std::string& what) {
        return std::find(words.begin(), words.end(), what) != words.end();
    };
    CHECK(has("−X11.2 to −X11.7"));     // six lugs of 2.5 mm2
    CHECK(has("−X11.1"));               // 10 mm2 on M6
    CHECK(has("−X1.3 to −X1.6"));       // 70 mm2
    CHECK_FALSE(has("−X1.2 to −X1.6")); // X1.2 carries 95 mm2
    CHECK(pack->document.pages.size() < 45);
    // "−U1.front to −U1.rear2" would be no range: such studs keep a card each.
    const auto van = kit_of(testing::tree_path("harnesses/library-van-planned.xml"));
    const auto sheets = report::build_pack(van->view, options, *lettering);
    REQUIRE(sheets.has_value());
    const auto named = words_of(sheets->document.pages);
    CHECK(std::find(named.begin(), named.end(), "−U1.front") != named.end());
    CHECK(std::find(named.begin(), named.end(), "−U1.front to −U1.rear2") == named.end());
}

// Five rows of thin cable, three of the thickest: 25.4 and more each on 142 mm of A4 landscape.
TEST_CASE("five thin cables stand on a sheet and no thread meets the centre line of its hole") {
    const auto lettering = draw::lettering();
    std::string text = R"(<harness xmlns="urn:stoutloom:harness:1" title="t" drawing="d" nominal="12 V">
<zone id="z" ambient="30 degC"/>
<battery id="G2" zone="z" capacity="95 Ah" cold-cranking="760 A"><terminal id="+" stud="M8"/><terminal id="-" stud="M8"/></battery>
)";
    for (int i = 1; i <= 11; ++i)
        text += "<post id=\"X" + std::to_string(i) + "\" zone=\"z\" stud=\"M6\"/>";
    for (int i = 1; i <= 10; ++i)
        text += "<cable id=\"W" + std::to_string(i) +
                "\" section=\"10 mm2\" insulation=\"C\" colour=\"RD\" length=\"1 m\" origin=\"new\" "
                "zone=\"z\"><from at=\"X" +
                std::to_string(i) + "\"/><to at=\"X" + std::to_string(i + 1) + "\"/></cable>";
    const auto pages = cut_pages(text + "</harness>", *lettering);
    REQUIRE(pages.size() >= 2);
    std::map<std::size_t, std::size_t> rows;
    for (int i = 1; i <= 10; ++i)
        for (std::size_t sheet = 0; sheet < pages.size(); ++sheet)
            rows[sheet] += static_cast<std::size_t>(
                std::count_if(pages[sheet].elements.begin(), pages[sheet].elements.end(),
                              [&](const Element& element) { return element.id == "W" + std::to_string(i); }));
    CHECK(rows[0] == 5);
    CHECK(rows[1] == 5);
}

TEST_CASE("a chart longer than a sheet stands in two strips of one scale") {
    const auto lettering = draw::lettering();
    BarChart chart;
    chart.heading = "T";
    chart.unit = "°C";
    for (int i = 0; i < 60; ++i) {
        Bar bar;
        bar.id = "plot-W" + std::to_string(i);
        bar.label = "W" + std::to_string(i);
        bar.words = "40 °C of 100 °C in the longest of all duties that a name was ever given";
        bar.brief = "40 / 100 °C";
        bar.from = 30;
        bar.to = i == 59 ? 90.0 : 40.0;
        chart.bars.push_back(std::move(bar));
    }
    PlotsContent content;
    content.heading = "Plots";
    content.charts = {chart};
    const auto pages = build_plots(content, PaperSize::a4, *lettering);
    CHECK(pages.size() == 2);
    // 60 rows of 5.2 mm on 142 mm are three sheets in one strip.
    const auto ticks = stands(pages, "80");
    REQUIRE(ticks.size() == 4); // the one long bar stretches the scale of all four strips
    for (int i = 0; i < 60; ++i)
        CHECK(stands(pages, "W" + std::to_string(i)).size() == 1);
}

TEST_CASE("the shopping list runs by kind and size and not by first use") {
    const auto kit = kit_of(testing::tree_path("harnesses/workboat.xml"));
    const auto lettering = draw::lettering();
    report::PackOptions options;
    options.only = {report::Paper::shopping_list};
    const auto pack = report::build_pack(kit->view, options, *lettering);
    REQUIRE(pack.has_value());
    const auto words = words_of(pack->document.pages);
    const auto place = [&](const std::string& what) {
        const auto found = std::find_if(words.begin(), words.end(),
                                        [&](const std::string& one) { return one.starts_with(what); });
        REQUIRE_MESSAGE(found != words.end(), what);
        return found - words.begin();
    };
    CHECK(place("10 mm² RD") < place("16 mm² YE"));
    CHECK(place("16 mm² YE") < place("95 mm² RD"));
    CHECK(place("95 mm² YE") < place("150 mm² RD"));
    CHECK(place("ring lug M5, barrel 10 mm²") < place("ring lug M6, barrel 10 mm²"));
    CHECK(place("ring lug M6, barrel 10 mm²") < place("ring lug M6, barrel 16 mm²"));
    CHECK(place("ring lug M12, barrel 150 mm²") < place("post clamp"));
    CHECK(place("9 → 3 mm") < place("25.4 → 12.7 mm"));
    CHECK(place("C 5 A") < place("C 10 A"));
    CHECK(place("stud-cube 80 A") < place("stud-cube 225 A"));
}

TEST_CASE("the notes of the cut list fill a sheet that its rows leave open") {
    const auto kit = kit_of(testing::tree_path("harnesses/coach.xml"));
    const auto lettering = draw::lettering();
    report::PackOptions options;
    options.only = {report::Paper::cut_list};
    const auto pack = report::build_pack(kit->view, options, *lettering);
    REQUIRE(pack.has_value());
    const auto& pages = pack->document.pages;
    std::size_t notes = pages.size();
    for (std::size_t sheet = pages.size(); sheet-- > 0;)
        for (const std::string& words : words_of({pages[sheet]}))
            if (words.starts_with("Crimp places are shown"))
                notes = sheet;
    // Thick lugs leave the foot of an early sheet open; the reel plan has the last one.
    CHECK(notes + 1 < pages.size());
    const auto last = words_of({pages.back()});
    CHECK(std::any_of(last.begin(), last.end(),
                      [](const std::string& words) { return words.ends_with("left"); }));
}

TEST_CASE("a kit without new cables has no cut list and no empty list to buy from") {
    const auto kit = kit_of(testing::tree_path("harnesses/library-van-original.xml"));
    const auto lettering = draw::lettering();
    const auto pack = report::build_pack(kit->view, {}, *lettering);
    REQUIRE(pack.has_value());
    std::vector<Page> shopping;
    for (const Page& page : pack->document.pages) {
        CHECK_FALSE(page.id.starts_with("cut-list"));
        if (page.id.starts_with("shopping-list"))
            shopping.push_back(page);
    }
    REQUIRE(!shopping.empty());
    CHECK(stands(shopping, "Fuse-links").size() == 1);
    CHECK(stands(shopping, "Lugs and ends").empty());
    report::PackOptions by_name;
    by_name.only = {report::Paper::cut_list};
    const auto asked = report::build_pack(kit->view, by_name, *lettering);
    REQUIRE(asked.has_value());
    CHECK(asked->document.pages.size() == 1);
}
