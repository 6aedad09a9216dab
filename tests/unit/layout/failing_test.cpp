// What an error stands against is marked so that a copy keeps it: a hatched band round the box, broken where
// something else stands; and a flag gets its place even where a label must move for it.
#include "draw/draw.h"
#include "layout/route.h"
#include "testing/diagram_kits.h"
#include "testing/placed.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace stoutloom;

namespace {
layout::Box box_of(const layout::Point& a, const layout::Point& b) {
    return {std::min(a.x_mm, b.x_mm), std::min(a.y_mm, b.y_mm), std::abs(a.x_mm - b.x_mm),
            std::abs(a.y_mm - b.y_mm)};
}
} // namespace

TEST_CASE("a failing unit wears a hatched band clear of all words and of every other box") {
    layout::DiagramContent content = testing::van().content;
    for (const layout::Page& page : testing::placed(content))
        for (const layout::Element& each : page.elements)
            CHECK_FALSE(each.id.ends_with("-failing"));
    for (layout::UnitGlyph& unit : content.units)
        unit.failing = true;
    int bands = 0;
    for (const layout::Page& page : testing::placed(content)) {
        CHECK(layout::audit(page).overlaps == 0);
        for (const layout::Element& band : page.elements) {
            if (!band.id.ends_with("-failing"))
                continue;
            ++bands;
            REQUIRE(band.shapes.size() == 1);
            const auto& pieces = band.shapes.front().pieces;
            CHECK_MESSAGE(pieces.size() >= 12, band.id, " shows");
            for (std::size_t i = 1; i < pieces.size(); i += 2) {
                const layout::Box stroke = box_of(pieces[i - 1].to, pieces[i].to);
                CHECK(stroke.width_mm == doctest::Approx(2));
                for (const layout::Element& other : page.elements) {
                    for (const layout::Text& text : other.texts)
                        CHECK_FALSE_MESSAGE(overlaps(stroke, text.box), band.id, " over ", text.words);
                    if (other.role == layout::Role::tag || other.role == layout::Role::balloon ||
                        other.role == layout::Role::probe)
                        CHECK_FALSE_MESSAGE(overlaps(stroke, other.box), band.id, " over ", other.id);
                }
            }
        }
    }
    CHECK(bands >= static_cast<int>(content.units.size()));
}

// One flag on each unit at once, whatever stands close by. That a label gives way is held on the van as
// found.
TEST_CASE("every unit of the van gets its flag") {
    layout::DiagramContent content = testing::van().content;
    content.flags.clear();
    for (const layout::UnitGlyph& unit : content.units)
        content.flags.push_back({.number = std::to_string(content.flags.size() + 1),
                                 .error = false,
                                 .subject = unit.id,
                                 .what = "something",
                                 .cure = "mend it"});
    std::size_t planted = 0;
    for (const layout::Page& page : testing::placed(content))
        planted += static_cast<std::size_t>(
            std::count_if(page.elements.begin(), page.elements.end(), [](const layout::Element& each) {
                return each.role == layout::Role::flag && each.id.starts_with("flag-");
            }));
    CHECK(planted >= content.units.size());
}

TEST_CASE("a lead runs round a device when it leaves on the side that faces away") {
    layout::Arrangement all;
    all.studs.resize(2);
    all.studs[0].forced_side = 1; // leads leave to the right
    layout::Routed route;
    route.studs[0] = 0;
    route.track = {{100, 50}, {104, 50}, {104, 40}, {20, 40}};
    CHECK(layout::runs_round(all, route));
    std::reverse(route.track.begin(), route.track.end());
    std::swap(route.studs[0], route.studs[1]);
    CHECK(layout::runs_round(all, route));
    route.track = {{160, 40}, {104, 40}, {104, 50}, {100, 50}};
    CHECK_FALSE(layout::runs_round(all, route));
    // Down to a tag right beside it is no way round.
    route.track = {{97, 80}, {104, 80}, {104, 50}, {100, 50}};
    CHECK_FALSE(layout::runs_round(all, route));
    all.studs[0].forced_side = 0;
    route.track = {{20, 40}, {104, 40}, {104, 50}, {100, 50}};
    CHECK_FALSE(layout::runs_round(all, route));
}
