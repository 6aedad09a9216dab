// Heat-shrink on the papers: the shopping list holds what the cut list asks for, in the workshop's own codes.
#include "draw/draw.h"
#include "report/papers/contents.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"
#include "unit/papers/random_kit.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <map>

using namespace stoutloom;
using namespace stoutloom::papers_test;

namespace {

std::string kit_text(const std::string& units, const std::string& stock) {
    return R"(<harness xmlns="urn:stoutloom:harness:1" title="Ferry punt" drawing="d" nominal="12 V" units=")" +
           units +
           R"("><zone id="hold" ambient="40 degC" wet="yes"/> <zone id="deck" ambient="30 degC"/>
<battery id="G2" zone="deck" capacity="95 Ah" cold-cranking="760 A"><terminal id="+" stud="M8"/><terminal id="-" stud="M8"/></battery>
<post id="X1" zone="hold" stud="M8"/><post id="X2" zone="deck" stud="M8"/><mass id="U1"><terminal id="a" stud="M8"/><terminal id="b" stud="M8"/></mass>
<cable id="W1" section="50 mm2" colour="RD" length="2 m" origin="new" parallel="2"><from at="G2.+"/><to at="X1"/><route zone="deck" length="1 m"/><route zone="hold" length="1 m"/></cable>
<cable id="W2" section="50 mm2" colour="BK" length="2 m" origin="new" zone="deck" outer-diameter="14 mm"><from at="G2.-"/><to at="X2"/></cable>
<cable id="W3" section="50 mm2" colour="BK" length="0.4 m" origin="new" zone="deck" build="braid"><from at="U1.a"/><to at="U1.b"/></cable>)" +
           stock + "</harness>";
}

/// Rows of the shopping list's CSV by group and item: count, length, order code, price.
std::map<std::string, std::vector<std::string>> bought(const report::Voice& voice) {
    std::map<std::string, std::vector<std::string>> rows;
    for (const std::vector<std::string>& row :
         report::shopping_table(voice, report::cut_cables(voice, {})).rows)
        if (row[0] == "sleeve")
            rows[row[1]] = row;
    return rows;
}

} // namespace

// 50 mm2: barrel 14.5 mm outside (DIN 46235), so 18.1 mm as sold at least; a cable of 14 mm lets it shrink to
// 12.7 at most. Plain 19 to 9.5 does; where it is wet the lined 19 to 6.
TEST_CASE("each new cable end gets its sleeve and a wet one gets adhesive") {
    const auto kit = kit_of_text(kit_text("metric", ""));
    const report::Voice voice(kit->view, report::Language::english);
    auto rows = bought(voice);
    REQUIRE(rows.size() == 2);
    CHECK(rows["19 → 9.5 mm"][2] == "4"); // W1 dry end twice, W2 both ends; the braid has none
    CHECK(rows["19 → 6 mm with adhesive"][2] == "2");
    const auto us = kit_of_text(kit_text("us", ""));
    auto inches = bought(report::Voice(us->view, report::Language::english));
    CHECK(inches.count("3/4 → 3/8 in") == 1);
    CHECK(inches.count("3/4 → 1/4 in with adhesive") == 1);
}

TEST_CASE("a workshop's own sleeves are told by their code and price and what is missing is told") {
    const auto kit = kit_of_text(kit_text(
        "metric", R"(<stock><sleeve expanded="20 mm" recovered="10 mm" order="HS-20" price="4"/></stock>)"));
    const report::Voice voice(kit->view, report::Language::english);
    auto rows = bought(voice);
    REQUIRE(rows.count("20 → 10 mm") == 1);
    const std::vector<std::string>& plain = rows["20 → 10 mm"];
    CHECK(plain[5] == "HS-20");
    CHECK(std::stod(plain[6]) == doctest::Approx(4 * std::stod(plain[3])).epsilon(0.01));
    bool missing = false;
    for (const auto& [item, row] : rows)
        missing = missing || (item.find("none in stock fits: wanted 18.2 → ") == 0 &&
                              item.find("with adhesive") != std::string::npos && row[2] == "2");
    CHECK(missing);
    const auto content = report::cut_list_content(voice, report::cut_cables(voice, {}));
    std::string details;
    for (const auto& row : content.rows)
        for (const std::string& line : row.details)
            details += line + "\n";
    CHECK(details.find("(HS-20)") != std::string::npos);
    CHECK(details.find("none in stock fits") != std::string::npos);
}

TEST_CASE("the shopping list holds every sleeve of the cut list") {
    auto random = testing::random_source("sleeves on paper");
    for (int round = 0; round < 5; ++round) {
        const auto kit = kit_of_text(random_kit_text(random, 12));
        const report::Voice voice(kit->view, report::Language::english);
        const auto cuts = report::cut_cables(voice, {});
        double wanted_m = 0, listed_m = 0;
        std::size_t wanted = 0, listed = 0;
        for (const report::CutCable& cut : cuts) {
            if (!cut.sleeved || !cut.section_known)
                continue;
            wanted += 2 * static_cast<std::size_t>(cut.pieces);
            wanted_m += (cut.from.sleeve_m + cut.to.sleeve_m) * cut.pieces;
            // Whatever is chosen goes over the barrel and grips the cable.
            for (const report::CutEndFigures* end : {&cut.from, &cut.to})
                if (end->sleeve) {
                    if (end->shape.kind != layout::papers::EndKind::plug)
                        CHECK(end->sleeve->expanded_m * 800 >= end->shape.barrel_mm - 1e-6);
                    CHECK(end->sleeve->recovered_m * 1000 < cut.outside_mm);
                }
        }
        for (const auto& [item, row] : bought(voice)) {
            listed += std::stoul(row[2]);
            listed_m += std::stod(row[3]);
        }
        CHECK(listed == wanted);
        CHECK(listed_m == doctest::Approx(wanted_m).epsilon(0.01));
    }
}

TEST_CASE("the cut list as CSV says by which codes to order and what each piece costs") {
    const auto kit =
        kit_of_text(kit_text("metric", R"(<stock><conductor section="50 mm2" order="CB-50" price="10"/>
<lug section="50 mm2" stud="M8" order="LG-50-8" price="1.5"/>
<sleeve expanded="20 mm" recovered="10 mm" order="HS-20" price="4"/></stock>)"));
    const report::Voice voice(kit->view, report::Language::english);
    const auto rows = report::cut_list_table(voice, report::cut_cables(voice, {})).rows;
    const auto column = [&](const std::string& name) {
        return static_cast<std::size_t>(std::find(rows[0].begin(), rows[0].end(), name) - rows[0].begin());
    };
    REQUIRE(column("heat_shrink_to_price") < rows[0].size());
    int priced = 0, lugs = 0;
    for (std::size_t i = 1; i < rows.size(); ++i) {
        REQUIRE(rows[i].size() == rows[0].size());
        if (rows[i][column("build")] != "cable")
            continue;
        CHECK(rows[i][column("order_code")] == "CB-50");
        CHECK(std::stod(rows[i][column("price")]) ==
              doctest::Approx(10 * std::stod(rows[i][column("cut_length_m")]) *
                              std::stod(rows[i][column("pieces")]))
                  .epsilon(0.001));
        ++priced;
        for (const char* end : {"from_end", "to_end"})
            if (rows[i][column(end)] == "M8") {
                CHECK(rows[i][column(std::string(end) + "_order_code")] == "LG-50-8");
                ++lugs;
            }
    }
    CHECK(priced == 2);
    CHECK(lugs > 0);
}
