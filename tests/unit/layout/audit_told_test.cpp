// The audit itself is tried: a fault is planted on a page that has none, and must be told.
#include "draw/draw.h"
#include "testing/diagram_kits.h"

#include <doctest/doctest.h>
#include <functional>

using namespace stoutloom;
using layout::Role;

namespace {
/// A page of its own for each who spoils it; placed once.
layout::Page van_page() {
    static const layout::Page placed = [] {
        const auto measure = draw::lettering();
        const auto pages = layout::place_diagram(testing::van().content, *measure);
        REQUIRE(pages);
        return pages->front();
    }();
    return placed;
}

layout::Element& one(layout::Page& page, const std::string& id) {
    for (layout::Element& each : page.elements)
        if (each.id == id)
            return each;
    FAIL("no element ", id);
    return page.elements.front();
}

void move(layout::Element& element, double dx, double dy) {
    const auto shift = [&](layout::Point& point) {
        point.x_mm += dx;
        point.y_mm += dy;
    };
    for (layout::Shape& shape : element.shapes)
        for (layout::PathPiece& piece : shape.pieces) {
            shift(piece.to);
            shift(piece.control1);
            shift(piece.control2);
        }
    for (layout::Text& text : element.texts) {
        shift(text.at);
        text.box.x_mm += dx;
        text.box.y_mm += dy;
    }
    element.box.x_mm += dx;
    element.box.y_mm += dy;
}

/// Moves one thing onto another by their boxes' middles.
void move_onto(layout::Page& page, const std::string& what, const std::string& where) {
    const layout::Box from = one(page, what).box;
    const layout::Box to = one(page, where).box;
    move(one(page, what), to.x_mm + to.width_mm / 2 - from.x_mm - from.width_mm / 2,
         to.y_mm + to.height_mm / 2 - from.y_mm - from.height_mm / 2);
}
} // namespace

TEST_CASE("a page as it is placed has nothing to complain of") {
    const layout::Quality quality = layout::audit(van_page());
    CHECK(quality.overlaps == 0);
    CHECK(quality.outside == 0);
}

TEST_CASE("every kind of planted overlap is told") {
    const std::pair<const char*, const char*> planted[] = {
        {"W1-label", "W2-label"},     // text over text
        {"W1-label", "G2"},           // text over a box
        {"W1-label", "G2.+"},         // text over a stack
        {"W1-label", "W6"},           // text over another cable
        {"W1-balloon", "W2-balloon"}, // balloon over balloon
        {"W1-balloon", "M1"},         // balloon over a box
        {"flag-1", "W1-label"},       // flag over text
        {"flag-3", "M1.30"},          // flag over a stack
        {"W10-tag", "G1"},            // tag over a box
        {"G2.+", "M1.30"},            // stack over stack
        {"M1", "G1"},                 // box over box
        {"F1", "G2"},                 // in-line device over a box
        {"W1", "G2"},                 // cable through a box
        {"W1", "F1"},                 // cable through an in-line device
        {"W5", "M1.30"},              // cable through a foreign stack
        {"W4", "W2-balloon"},         // cable through a foreign balloon
        {"W2-label", "title-block"},  // label over the title block
        {"volt-line", "W1-label"},    // line through text
        {"caution", "findings"}};     // panel over panel
    for (const auto& each : planted) {
        layout::Page page = van_page();
        move_onto(page, each.first, each.second);
        CHECK_MESSAGE(layout::audit(page).overlaps > 0, each.first, " over ", each.second);
    }
}

TEST_CASE("whatever reaches out of the frame is told") {
    for (const char* what : {"W1-label", "W1", "G2", "flag-1", "W10-tag", "volt-line"}) {
        layout::Page page = van_page();
        move(one(page, what), 0, -300);
        CHECK_MESSAGE(layout::audit(page).outside > 0, what);
    }
}

TEST_CASE("a crossing in a bend and two cables in one lane are told and not counted as a crossing") {
    layout::Page page = van_page();
    layout::Element twin = one(page, "W1");
    twin.id = "W99";
    move(twin, 0, 1);
    page.elements.push_back(twin);
    CHECK(layout::audit(page).overlaps > 0);
}

TEST_CASE("a bend is measured round a corner of words and not square") {
    // By hand: the corner (100, 100) lies 2.77 from the line, |(2.66, 1.45) x (2.21, -1.71)| / 2.79.
    const auto complaints = [](double width_mm) {
        layout::Element words;
        words.id = "words";
        words.role = Role::label;
        words.texts.push_back({.at = {100, 104}, .words = "16 mm2", .box = {100, 100, 40, 4}});
        words.box = words.texts.front().box;
        layout::Element bend;
        bend.id = "W1";
        bend.role = Role::cable;
        layout::Shape line;
        for (const layout::Point& to : {layout::Point{97.34, 98.55}, layout::Point{99.55, 96.84}}) {
            layout::PathPiece piece;
            piece.kind = line.pieces.empty() ? layout::PathPiece::Kind::move : layout::PathPiece::Kind::line;
            piece.to = to;
            line.pieces.push_back(piece);
        }
        line.stroke.paint = layout::Paint::ink;
        line.stroke.width_mm = width_mm;
        bend.shapes.push_back(line);
        bend.box = {97.34, 96.84, 2.21, 1.71};
        layout::Page page;
        page.elements = {words, bend};
        return layout::audit(page).overlaps;
    };
    CHECK(complaints(2 * (2.77 - 0.1) - 0.1) == 0);
    CHECK(complaints(2 * (2.77 - 0.1) + 0.1) == 1);
}
