// What is shut in by its neighbours still shows: a thin lead under broad palms, two light leads on one stud,
// and the flag of every finding, hanging if it cannot stand.
#include "layout/arrangement.h"
#include "layout/hardware.h"
#include "layout/notes.h"
#include "layout/pen.h"
#include "layout/route.h"
#include "layout/stud_list.h"
#include "testing/diagram_kits.h"
#include "testing/placed.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace stoutloom;

namespace {
std::size_t flags_on(const std::vector<layout::Page>& pages) {
    std::size_t count = 0;
    for (const layout::Page& page : pages)
        count += static_cast<std::size_t>(
            std::count_if(page.elements.begin(), page.elements.end(),
                          [](const layout::Element& each) { return each.role == layout::Role::flag; }));
    return count;
}

layout::FlagGlyph finding(const std::string& number, const std::string& subject) {
    return {
        .number = number, .error = true, .subject = subject, .what = "too hot.", .cure = "a thicker one."};
}

/// A post with one broad lug and thin ones, their lamps beside it.
testing::Kit post_of_thin_leads(std::size_t lamps) {
    testing::Kit kit;
    testing::title(kit, "Post", "", "P-1");
    kit.zone("A1", "Locker", 40);
    kit.unit("G1", "Battery", {}, layout::UnitSymbol::battery, 0);
    kit.unit("X1", "Plus post", {}, layout::UnitSymbol::post, 0);
    for (std::size_t i = 1; i <= lamps; ++i)
        kit.unit("E" + std::to_string(i), "Lamp", {"2 A"}, layout::UnitSymbol::lamp, 0);
    kit.add_stud("G1", "+", "M6", 6);
    kit.add_stud("X1", "", "M6", 6);
    kit.cable("1", 95, "RD", 0.5, layout::Flow::feed, "G1.+", "X1.");
    for (std::size_t i = 1; i <= lamps; ++i) {
        const std::string lamp = "E" + std::to_string(i);
        kit.add_stud(lamp, "+", "", 0);
        kit.cable(std::to_string(i + 1), 1.5, "RD", 2, layout::Flow::feed, "X1.", lamp + ".+");
    }
    // 95 mm2 on M6 has a palm of 26 mm or more, 1.5 mm2 one of 10 (common practice, no source).
    for (layout::LugGlyph& lug : kit.find("X1.")->lugs)
        lug.palm_mm = lug.cable == 0 ? 28 : 10;
    return kit;
}

/// The first unit's first stud, somewhere on a blank sheet.
layout::PlacedStud first_stud(const testing::Kit& kit) {
    layout::PlacedStud stud;
    stud.glyph = kit.content.units[0].studs.data();
    stud.id = stud.glyph->id;
    stud.owner = kit.content.units[0].id;
    stud.x_mm = 110;
    stud.face_mm = 120;
    return stud;
}

/// A sheet that holds nothing but what a test puts there.
layout::Arrangement blank(const testing::Kit& kit) {
    layout::Arrangement all;
    all.content = &kit.content;
    all.share.panels.resize(1);
    all.share.panels[0].right_mm = all.right_mm = 300;
    all.bottom_mm = 200;
    return all;
}
} // namespace

TEST_CASE("a thin lug under a broad one leads out of the stack") {
    const auto pages = testing::placed_whole(post_of_thin_leads(3).content);
    CHECK(pages.size() == 1);
    for (const layout::Element& each : pages[0].elements)
        CHECK_MESSAGE(each.role != layout::Role::tag, each.id, " where a cable could run");
}

// Neighbours at nearly one height: too little for a step, so they stand apart and the cable rises between.
TEST_CASE("posts side by side are joined though their plates are not level") {
    testing::Kit kit = post_of_thin_leads(2);
    kit.unit("X2", "Second post", {}, layout::UnitSymbol::post, 0);
    kit.add_stud("X2", "", "M8", 8);
    kit.cable("8", 70, "RD", 1, layout::Flow::feed, "X1.", "X2.");
    const auto pages = testing::placed_whole(kit.content);
    REQUIRE(pages.size() == 1);
    for (const layout::Element& each : pages[0].elements)
        CHECK_MESSAGE(each.role != layout::Role::tag, each.id, " where a cable could run");
}

// Two runs of 120 mm2 side by side bend wider than one; the second lug of the battery's stud is in the way.
TEST_CASE("a broad double return finds its way round to the battery") {
    testing::Kit kit;
    testing::title(kit, "Double return", "", "D-1");
    kit.zone("A1", "Engine bay", 80);
    kit.zone("A2", "Cab", 35);
    kit.bed("U1", "Frame", "0.1 mΩ", {0, 1});
    kit.bed_stud("U1", "s", "M10", 10, 1);
    kit.unit("G1", "Charging unit", {"120 A"}, layout::UnitSymbol::generator, 0);
    kit.unit("G2", "Battery", {"95 Ah"}, layout::UnitSymbol::battery, 1);
    kit.add_stud("G1", "+", "M8", 8);
    kit.add_stud("G1", "-", "M8", 8, layout::Flow::back);
    kit.add_stud("G2", "+", "M8", 8);
    kit.add_stud("G2", "-", "M10", 10, layout::Flow::back);
    kit.cable("1", 70, "RD", 6, layout::Flow::feed, "G1.+", "G2.+");
    kit.zones_of({0, 1});
    kit.cable("2", 70, "BK", 1, layout::Flow::back, "G2.-", "U1.s");
    kit.zones_of({1});
    kit.cable("3", 120, "BK", 8, layout::Flow::back, "G2.-", "G1.-").parallel = 2;
    kit.zones_of({0, 1});
    const auto pages = testing::placed_whole(kit.content);
    REQUIRE(pages.size() == 1);
    for (const layout::Element& each : pages[0].elements)
        CHECK_MESSAGE(each.role != layout::Role::tag, each.id, " where a cable could run");
}

// The lead nearest the stud ends in the lowest tag; the next one passes it.
TEST_CASE("light leads on one stud end in tags that stand clear of each other") {
    for (const int leads : {2, 3}) {
        testing::Kit kit = post_of_thin_leads(1);
        kit.unit("K1", "Relay", {}, layout::UnitSymbol::relay, 0);
        for (int i = 0; i < leads; ++i) {
            const std::string name = "L" + std::to_string(i);
            kit.add_stud("K1", name, "", 0, layout::Flow::control);
            kit.cable(std::to_string(90 + i), 1, "BU", 3, layout::Flow::control, "X1.", "K1." + name,
                      {0.1, false, "0.2 A"});
        }
        std::size_t tags = 0;
        for (const layout::Page& page : testing::placed_whole(kit.content))
            if (page.label.starts_with('1'))
                tags += static_cast<std::size_t>(std::count_if(
                    page.elements.begin(), page.elements.end(),
                    [](const layout::Element& each) { return each.role == layout::Role::tag; }));
        CHECK(tags == static_cast<std::size_t>(leads));
    }
}

// Level, between a solid thing over it and free room under it.
TEST_CASE("a flag that cannot stand on its cable hangs from it") {
    testing::Kit kit;
    kit.zone("A1", "Battery space", 40);
    kit.cable("1", 95, "RD", 0.5, layout::Flow::feed, "Q1.b", "G1.+");
    kit.zones_of({0});
    kit.content.flags = {finding("1", "W1")};
    const layout::Arrangement all = blank(kit);
    layout::Routing routing;
    layout::Routed route;
    route.cable = 0;
    route.track = {{100, 100}, {180, 100}};
    route.half_mm = 2;
    route.radius_mm = 10;
    routing.routes = {route};
    for (const bool roofed : {false, true}) {
        routing.obstacles.clear();
        if (roofed)
            routing.obstacles.push_back({{60, 50, 160, 46}, 1.5});
        const auto measure = draw::lettering();
        const layout::Notes notes = layout::place_notes(all, routing, *measure, layout::Crowding::make_room);
        REQUIRE(notes.flags.size() == 1);
        REQUIRE(notes.flags[0].placed);
        CHECK(notes.flags[0].dot.y_mm == doctest::Approx(100));
        CHECK((notes.flags[0].box.y_mm > 100) == roofed);
        layout::Element drawn;
        layout::add_planted_flag(drawn, notes.flags[0], kit.content.flags[0], *measure);
        const auto& pole = drawn.shapes.front().pieces;
        CHECK(pole.front().to.y_mm ==
              doctest::Approx(roofed ? notes.flags[0].box.bottom_mm() : notes.flags[0].box.y_mm));
    }
}

TEST_CASE("the flag of a stud that is shut in stands on its part") {
    testing::Kit kit;
    kit.zone("A1", "Battery space", 40);
    kit.unit("G1", "Battery", {}, layout::UnitSymbol::battery, 0);
    kit.add_stud("G1", "+", "M8", 8);
    kit.content.flags = {finding("1", "G1.+")};
    layout::Arrangement all = blank(kit);
    layout::PlacedUnit unit;
    unit.glyph = kit.content.units.data();
    unit.box = {100, 120, 60, 30};
    all.units.push_back(unit);
    all.studs.push_back(first_stud(kit));
    layout::Routing routing;
    routing.obstacles.push_back({unit.box, 1.9});
    routing.obstacles.push_back({{80, 60, 45, 60}, 1.8, 0}); // its own stack and figures
    for (const layout::Box& wall :
         {layout::Box{70, 60, 9, 60}, layout::Box{70, 120, 29, 40}, layout::Box{126, 60, 4, 60}})
        routing.obstacles.push_back({wall, 1.5});
    const auto measure = draw::lettering();
    const layout::Notes notes = layout::place_notes(all, routing, *measure, layout::Crowding::make_room);
    REQUIRE(notes.flags.size() == 1);
    REQUIRE(notes.flags[0].placed);
    const layout::Point dot = notes.flags[0].dot;
    CHECK(overlaps(unit.box, layout::grown({dot.x_mm, dot.y_mm, 0, 0}, 0.2)));
}

// A line of volts close over a switch with heavy leads on both sides: the drawing is moved down for the
// flags, or the line goes.
TEST_CASE("findings of a switch under the volt line all have their flags") {
    testing::Kit kit;
    testing::title(kit, "Switch", "", "S-1");
    kit.content.sheet = layout::Sheet::letter;
    kit.zone("A1", "Battery space", 40);
    kit.unit("G1", "Battery", {"150 Ah"}, layout::UnitSymbol::battery, 0);
    kit.unit("Q1", "Engine main", {"300 A"}, layout::UnitSymbol::switch_, 0);
    kit.unit("G2", "Battery", {"150 Ah"}, layout::UnitSymbol::battery, 0);
    kit.add_stud("G1", "+", "M8", 8);
    kit.add_stud("Q1", "a", "M10", 10);
    kit.add_stud("Q1", "b", "M10", 10);
    kit.add_stud("G2", "+", "M8", 8);
    kit.cable("1", 95, "RD", 0.5, layout::Flow::feed, "G1.+", "Q1.a", {0.3, false, "95 A of 339 A, class B"});
    kit.zones_of({0});
    kit.cable("2", 95, "RD", 0.5, layout::Flow::feed, "Q1.b", "G2.+", {0.3, false, "95 A of 339 A, class B"});
    kit.zones_of({0});
    kit.content.volt_line = layout::VoltLine{
        "Feed side", {"G1.+", "Q1.a", "Q1.b", "G2.+"}, {24.54, 24.53, 24.51, 24.48}, 24.6, {}};
    for (const char* number : {"10", "11", "12"})
        kit.content.flags.push_back(finding(number, "Q1"));
    CHECK(flags_on(testing::placed_whole(kit.content)) >= 3);
}

TEST_CASE("a list of studs shows several flags of a cable and of a part") {
    testing::Kit kit = post_of_thin_leads(3);
    for (int i = 1; i <= 3; ++i)
        kit.content.flags.push_back(finding(std::to_string(i), "W1"));
    for (int i = 4; i <= 8; ++i)
        kit.content.flags.push_back(finding(std::to_string(i), "X1"));
    const auto measure = draw::lettering();
    layout::Arrangement all;
    all.content = &kit.content;
    all.size = layout::sheet_size(layout::Sheet::a3);
    layout::Panel panel;
    panel.units = {1};
    all.share.panels = {panel};
    layout::settle_frame(all);
    const auto lists = layout::list_studs(all, *measure);
    REQUIRE(lists.size() == 1);
    const auto flags = layout::list_flags(lists[0], kit.content);
    REQUIRE(flags.size() == 8);
    for (std::size_t i = 0; i < flags.size(); ++i) {
        CHECK_MESSAGE(flags[i].placed, "flag ", i + 1);
        const auto inside = [&](const layout::StudListRow& row) {
            return flags[i].box.x_mm >= row.box.x_mm && flags[i].box.right_mm() <= row.box.right_mm() &&
                   flags[i].box.y_mm >= row.box.y_mm && flags[i].box.bottom_mm() <= row.box.bottom_mm();
        };
        CHECK(std::any_of(lists[0].rows.begin(), lists[0].rows.end(), inside));
        for (std::size_t k = 0; k < i; ++k)
            CHECK_FALSE(overlaps(flags[i].box, flags[k].box, 1));
    }
}

// Straight up from the stud's end is where the mark for the meter's probe stands.
TEST_CASE("the flag of a stud keeps off its probe mark") {
    testing::Kit kit;
    kit.zone("A1", "Battery space", 40);
    kit.unit("G1", "Battery", {}, layout::UnitSymbol::battery, 0);
    kit.add_stud("G1", "+", "M8", 8, layout::Flow::feed, "B");
    kit.content.flags = {finding("1", "G1.+")};
    layout::Arrangement all = blank(kit);
    const auto measure = draw::lettering();
    layout::PlacedStud stud = first_stud(kit);
    layout::settle_stack(stud, *measure);
    all.studs.push_back(stud);
    layout::Routing routing;
    layout::Box probe{0, 1e9, 0, 0};
    for (const layout::Box& box : layout::stack_boxes(stud, *measure)) {
        routing.obstacles.push_back({box, 1.8, 0});
        if (box.bottom_mm() < layout::stud_end(stud).y_mm && box.y_mm < probe.y_mm)
            probe = box;
    }
    REQUIRE(probe.width_mm > 0);
    const layout::Notes notes = layout::place_notes(all, routing, *measure, layout::Crowding::make_room);
    REQUIRE(notes.flags.size() == 1);
    const layout::FlagNote& flag = notes.flags[0];
    REQUIRE(flag.placed);
    CHECK_FALSE(overlaps(probe, layout::box_around(flag.foot, {flag.foot.x_mm, flag.box.y_mm}), 0.1));
    CHECK_FALSE(overlaps(probe, layout::box_around(flag.foot, flag.dot), 0.1));
    CHECK_FALSE(overlaps(probe, flag.box, 0.1));
}
