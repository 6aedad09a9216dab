// The placing of known diagrams must not get worse unnoticed. The recorded figures are our own, so they prove
// no drawing good; they tell when one has become worse.
#include "draw/draw.h"
#include "testing/diagram_kits.h"

#include <doctest/doctest.h>

using namespace stoutloom;

namespace {
double score(const layout::DiagramContent& content) {
    const auto measure = draw::lettering();
    const auto pages = layout::place_diagram(content, *measure);
    REQUIRE(pages);
    return layout::untidiness(*pages);
}
} // namespace

// To record anew: run this test, look at the drawings (tests/unit/draw paints the same kits), and when they
// are as good as before write the figures it prints.
TEST_CASE("known diagrams are placed no worse than recorded") {
    struct Known {
        std::string name;
        testing::Kit kit;
        double recorded;
    };
    const Known known[] = {{"library van", testing::van(), 762}, {"first kit", testing::small_kit(), 326}};
    for (const Known& each : known) {
        const double now = score(each.kit.content);
        INFO(each.name, " scores ", now, ", recorded ", each.recorded);
        CHECK(now <= each.recorded + 1);
        WARN_MESSAGE(now >= each.recorded - 20, "better than recorded: record it");
    }
}

TEST_CASE("a second crossing or a sheet more makes the figure worse") {
    layout::Page page;
    layout::Element frame;
    frame.role = layout::Role::frame;
    layout::Shape border;
    border.closed = true;
    using Kind = layout::PathPiece::Kind;
    border.pieces = {{Kind::move, {0, 0}, {}, {}},
                     {Kind::line, {200, 0}, {}, {}},
                     {Kind::line, {200, 100}, {}, {}},
                     {Kind::line, {0, 100}, {}, {}}};
    frame.shapes.push_back(border);
    page.elements.push_back(frame);
    const auto cable = [&](const char* id, layout::Point from, layout::Point to) {
        layout::Element made;
        made.id = id;
        made.role = layout::Role::cable;
        layout::Shape way;
        way.stroke = {layout::Paint::ink, 1};
        way.pieces = {{Kind::move, from, {}, {}}, {Kind::line, to, {}, {}}};
        made.shapes.push_back(way);
        page.elements.push_back(made);
    };
    cable("W1", {10, 50}, {190, 50});
    cable("W2", {50, 10}, {50, 90});
    const double one = layout::untidiness({page});
    CHECK(layout::audit(page).crossings == 1);
    cable("W3", {120, 10}, {120, 90});
    const double two = layout::untidiness({page});
    CHECK(layout::audit(page).crossings == 2);
    CHECK(two > one);
    CHECK(layout::untidiness({page, page}) > 2 * one);
}
