// The cut list against the outside: lugs at true size, lengths that never come out short, reels that hold
// their pieces.
#include "draw/draw.h"
#include "layout/papers/cut_list.h"
#include "report/papers/contents.h"
#include "report/papers/cut_cables.h"
#include "report/papers/reel_plan.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"
#include "unit/papers/paper_audit.h"
#include "unit/papers/random_kit.h"

#include <cmath>
#include <map>
#include <set>

using namespace stoutloom;
using namespace stoutloom::papers_test;

namespace {

constexpr const char* one_cable =
    R"(<harness xmlns="urn:stoutloom:harness:1" title="t" drawing="d" nominal="12 V">
<zone id="z" ambient="30 degC"/>
<battery id="G2" zone="z" capacity="95 Ah" cold-cranking="760 A"><terminal id="+" stud="M8"/><terminal id="-" stud="M8"/></battery>
<post id="X1" zone="z" stud="M10"/><post id="X2" zone="z" stud="M6"/>
<cable id="W1" section="70 mm2" insulation="C" colour="RD" length="5.4 m" origin="new" zone="z"><from at="G2.+"/><to at="X1"/></cable>
<cable id="W2" section="16 mm2" colour="BK" length="0.30 m" origin="new" zone="z"><from at="G2.-"/><to at="X2"/></cable>
</harness>)";

/// Greatest circle of a shape drawn round a point: half the width of its bounds.
double circle_diameter_mm(const layout::Shape& shape) {
    double left = 1e9, right = -1e9;
    for (const layout::PathPiece& piece : shape.pieces) {
        left = std::min(left, piece.to.x_mm);
        right = std::max(right, piece.to.x_mm);
    }
    return right - left;
}

} // namespace

// Hole diameters of copper lugs: M6 6.4, M8 8.4, M10 10.5 (DIN 46234 / DIN 46235, from memory;
// tests/published/fasteners holds the same figures). Palm widths about 13 at 16 mm2 and 24 at 70 mm2.
TEST_CASE("lugs are drawn at true size") {
    const auto lettering = draw::lettering();
    const auto kit = kit_of_text(one_cable);
    report::PackOptions options;
    options.only = {report::Paper::cut_list};
    const auto pack = report::build_pack(kit->view, options, *lettering);
    REQUIRE(pack.has_value());
    std::multiset<double> circles;
    for (const layout::Element& element : pack->document.pages.at(0).elements)
        if (element.id == "W1" || element.id == "W2")
            for (const layout::Shape& shape : element.shapes)
                if (shape.closed && shape.pieces.size() == 5 &&
                    shape.pieces[1].kind == layout::PathPiece::Kind::curve)
                    circles.insert(std::round(circle_diameter_mm(shape) * 100) / 100);
    CHECK(circles.count(8.4) == 2);
    CHECK(circles.count(10.5) == 1);
    CHECK(circles.count(6.4) == 1);
}

TEST_CASE("a cut cable reaches from hole to hole with something over") {
    auto random = testing::random_source("cut lengths");
    const auto kit = kit_of_text(random_kit_text(random, 20));
    const report::Voice voice(kit->view, report::Language::english);
    const auto cuts = report::cut_cables(voice, {});
    REQUIRE(!cuts.empty());
    for (const report::CutCable& cut : cuts) {
        const model::Cable& cable = kit->harness.cable(cut.cable);
        CAPTURE(cable.id);
        // The copper must reach the bottom of both barrels. Where a barrel begins is at most a palm and a
        // half from the hole on any ring lug; the drawing's own necks are never longer than that.
        double necks_m = 0;
        for (const report::CutEndFigures* end : {&cut.from, &cut.to}) {
            const double neck = layout::papers::neck_length_mm(end->shape);
            CHECK(neck <= std::max(12.0, 1.5 * end->shape.palm_mm));
            necks_m += neck / 1000;
        }
        CHECK(cut.cut_m >= cable.length_m.value - necks_m + 0.005 - 1e-9);
        CHECK(cut.cut_m <= cable.length_m.value * 1.01 + 0.2);
        const double steps = cut.cut_m / 0.010;
        CHECK(std::abs(steps - std::round(steps)) < 1e-6);
    }
}

TEST_CASE("reels hold every piece once and no more than their length") {
    auto random = testing::random_source("reels");
    const auto lettering = draw::lettering();
    for (const int consumers : {1, 12, 60}) {
        const auto kit = kit_of_text(random_kit_text(random, consumers));
        const report::Voice voice(kit->view, report::Language::english);
        const auto cuts = report::cut_cables(voice, {});
        std::map<std::string, int> wanted, got;
        for (const report::CutCable& cut : cuts)
            wanted[cut.number] += cut.pieces;
        for (const layout::papers::Reel& reel : report::reel_plan(voice, cuts)) {
            double sum = 0;
            for (const layout::papers::ReelPiece& piece : reel.pieces) {
                sum += piece.length_m;
                ++got[piece.number];
            }
            CHECK(sum <= reel.length_m + 1e-9);
            CHECK(sum > reel.length_m - 1);
            CHECK(std::floor(reel.length_m) == reel.length_m);
        }
        CHECK(got == wanted);
    }
}

TEST_CASE("more pieces than their numbers have room for are listed under the bar") {
    const auto lettering = draw::lettering();
    layout::papers::CutListContent content;
    content.words = {.heading = "Cut list",
                     .remark = "r",
                     .print_check = "print check: 50 mm",
                     .cut = "cut",
                     .crimp = "crimp",
                     .sleeve = "sleeve",
                     .fit = "fit",
                     .reel_plan = "Reel plan",
                     .continued = "continued",
                     .none = "none",
                     .notes = {"note"}};
    layout::papers::Reel reel{.caption = "50 m of 1 mm2", .length_m = 50, .pieces = {}, .left = "1 m left"};
    for (int i = 0; i < 70; ++i)
        reel.pieces.push_back({.number = std::to_string(100 + i), .length_m = 0.7});
    content.reels = {reel, reel, reel};
    const auto pages = build_cut_list(content, layout::papers::PaperSize::a4, *lettering);
    for (const layout::Page& page : pages) {
        const auto found = complaints(page, {.inside = {20, 10, 267, 190}});
        CHECK_MESSAGE(found.empty(), first_of(found));
    }
}

TEST_CASE("the cut list says in words which way the current runs") { // in black and white the tints are gone
    const auto kit = kit_of(testing::tree_path("harnesses/library-van-planned.xml"));
    for (const report::Language language : {report::Language::english, report::Language::german}) {
        const report::Voice voice(kit->view, language);
        const auto content = report::cut_list_content(voice, report::cut_cables(voice, {}));
        std::size_t feeds = 0, returns = 0;
        for (const auto& row : content.rows) {
            feeds += static_cast<std::size_t>(row.way == voice.say(report::Phrase::diagram_feed));
            returns += static_cast<std::size_t>(row.way == voice.say(report::Phrase::diagram_return));
            CHECK((row.way == voice.say(report::Phrase::diagram_return)) == (row.colour == "BK"));
        }
        CHECK(feeds == 5);   // W1 W2 W4 W8 W9
        CHECK(returns == 5); // W3 W5 W6 W7 W17
    }
}
