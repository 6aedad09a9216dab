// Where a sheet is narrow or full, what a draughtsman would do next: tags at their studs instead of a list, a
// block of metal that gives way, a flag over another or on a longer leader, a lower drawing that leaves room
// for the findings.
#include "draw/draw.h"
#include "layout/arrangement.h"
#include "layout/decks.h"
#include "layout/findings.h"
#include "layout/hardware.h"
#include "layout/notes.h"
#include "layout/sheet_search.h"
#include "testing/diagram_kits.h"
#include "testing/placed.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace stoutloom;

namespace {
/// A bar of so many studs, each with a cable to a lamp in the zone before or behind it.
testing::Kit barred(std::size_t studs, layout::Sheet sheet) {
    testing::Kit kit;
    testing::title(kit, "Bar", "", "B-1");
    kit.content.sheet = sheet;
    kit.zone("A1", "Fore deck", 40);
    kit.zone("A2", "Locker", 40);
    kit.zone("A3", "Aft deck", 40);
    kit.unit("X1", "Plus bar", {}, layout::UnitSymbol::post, 1);
    for (std::size_t i = 1; i <= studs; ++i) {
        const std::string number = std::to_string(i);
        kit.add_stud("X1", number, "M8", 8);
        kit.unit("E" + number, "Work lamp on the mast", {"20 A"}, layout::UnitSymbol::lamp,
                 i % 2 == 0 ? 0 : 2);
        kit.add_stud("E" + number, "+", "M6", 6);
        kit.cable(number, 70, "RD", 3, layout::Flow::feed, "X1." + number, "E" + number + ".+",
                  {0.5, false, "100 A of 200 A, class C"});
        kit.zones_of({1, i % 2 == 0 ? std::size_t{0} : std::size_t{2}});
    }
    return kit;
}
} // namespace

TEST_CASE("a bar of six studs is drawn on the small sheets though all its cables go on elsewhere") {
    for (const layout::Sheet sheet : {layout::Sheet::letter, layout::Sheet::a4}) {
        const auto pages = testing::placed_whole(barred(6, sheet).content);
        std::size_t bars = 0;
        for (const layout::Page& page : pages) {
            CHECK(page.title.find("stud list") == std::string::npos);
            bars += static_cast<std::size_t>(
                std::count_if(page.elements.begin(), page.elements.end(), [](const layout::Element& each) {
                    return each.role == layout::Role::unit && each.id == "X1";
                }));
        }
        CHECK(bars == 1);
    }
}

// A starter on its block beside a unit whose return stud hangs: however wide the one before it is, the block
// begins clear of the stack and still lies under its starter.
TEST_CASE("a block of metal under its unit keeps off the stack that hangs beside it") {
    const auto measure = draw::lettering();
    std::string name;
    int tried = 0;
    for (int letters = 0; letters < 30; ++letters, name += 'n')
        for (const int turned : {0, 1}) { // the cable hangs to the right, or to the left of the stack
            testing::Kit kit;
            kit.zone("A1", "Engine bay", 85);
            kit.bed("U1", "Frame", "", {0});
            kit.bed("U2", "Block", "", {0});
            kit.unit("G1", name, {}, layout::UnitSymbol::generator, 0);
            kit.unit("M1", "Starter", {}, layout::UnitSymbol::starter, 0).seat_bed = 1;
            kit.add_stud("G1", "B-", "M10", 10, layout::Flow::back, "D");
            kit.add_stud("M1", "30", "M10", 10);
            kit.bed_stud("U1", "a", "M10", 10, 0);
            kit.bed_stud("U2", "a", "M10", 10, 0);
            kit.cable("1", 70, "BK", 1, layout::Flow::back, "G1.B-", "U1.a");
            kit.zones_of({0});
            layout::SheetShare share;
            share.unit_keys = {0, 1};
            share.panels.resize(1);
            share.panels[0].units = {0, 1};
            share.cables = {0};
            if (turned != 0)
                share.departures.turned = {{0, 0}};
            auto all = layout::arrange_across(kit.content, layout::find_ends(kit.content, share.unit_keys),
                                              share, layout::sheet_size(layout::Sheet::a3), *measure,
                                              {.gap_mm = 0, .tight = true});
            REQUIRE(all);
            REQUIRE(layout::arrange_down(*all, {}));
            const auto block = std::find_if(all->beds.begin(), all->beds.end(),
                                            [](const layout::PlacedBed& bed) { return bed.raised; });
            REQUIRE(block != all->beds.end());
            for (const layout::PlacedStud& stud : all->studs)
                if (stud.id == "G1.B-")
                    for (const layout::Box& box : layout::stack_boxes(stud, *measure)) {
                        CHECK_FALSE(layout::overlaps(box, block->box(), 0.9));
                        ++tried;
                    }
            for (const layout::PlacedUnit& unit : all->units)
                if (unit.glyph->id == "M1")
                    CHECK(block->left_mm <= unit.box.x_mm + unit.box.width_mm / 2 - 7); // the seat's foot
        }
    CHECK(tried >= 60);
}

TEST_CASE("ten findings of one unit all fly and share poles where the room beside it ends") {
    for (const char* subject : {"G1", "M1"}) {
        layout::DiagramContent content = testing::van().content;
        content.flags.clear();
        for (int i = 1; i <= 10; ++i)
            content.flags.push_back({.number = std::to_string(i),
                                     .error = i % 2 == 0,
                                     .subject = subject,
                                     .what = "too little",
                                     .cure = "more"});
        const auto pages = testing::placed_whole(content);
        for (const layout::FlagGlyph& flag : content.flags)
            CHECK_MESSAGE(std::any_of(pages.begin(), pages.end(),
                                      [&](const layout::Page& page) {
                                          return std::any_of(page.elements.begin(), page.elements.end(),
                                                             [&](const layout::Element& each) {
                                                                 return each.id == "flag-" + flag.number;
                                                             });
                                      }),
                          "flag ", flag.number, " on ", subject);
    }
}

// A row of findings is 30 high, 4 above it; what is too low for the unit row is not drawn.
TEST_CASE("a drawing gives a row of findings its room or stays as it is") {
    const auto measure = draw::lettering();
    const layout::DiagramContent content = testing::small_kit().content;
    const layout::SheetSize size = layout::sheet_size(layout::Sheet::a3);
    layout::SheetShare share;
    share.unit_keys = {0, 1000, 1001};
    share.panels.resize(2);
    share.panels[0].units = {0};
    share.panels[1].zone = 1;
    share.panels[1].units = {2, 1};
    share.cables = {0, 1, 2};
    share.first = false;
    const auto full =
        layout::search_sheet(content, share, size, *measure, layout::Cutting::never, layout::Reordering::any);
    REQUIRE(full);
    const auto lower = layout::drawn_lower(*full, 34, content, size, *measure);
    REQUIRE(lower);
    CHECK(lower->arrangement.bottom_mm == doctest::Approx(full->arrangement.bottom_mm - 34));
    CHECK(lower->routing.crossings <= full->routing.crossings);
    CHECK(lower->notes.without_label() == 0);
    const double whole = full->arrangement.bottom_mm - full->arrangement.top_mm;
    CHECK_FALSE(layout::drawn_lower(*full, whole - 40, content, size, *measure));
}

// Three findings fill the usual box of the strip; the drawing of a small kit can be lower.
TEST_CASE("five findings of a small kit stand on its one sheet") {
    layout::DiagramContent content = testing::small_kit().content;
    for (std::size_t i = 0; i < 5; ++i)
        content.flags.push_back({.number = std::to_string(i + 1),
                                 .error = i % 2 == 0,
                                 .subject = content.cables[i % 3].id,
                                 .what = "carries more than its insulation stands in the hottest place that "
                                         "it runs through",
                                 .cure = "more copper or a cooler way"});
    const auto pages = testing::placed_whole(content);
    REQUIRE(pages.size() == 1);
    for (const layout::FlagGlyph& flag : content.flags)
        CHECK(std::any_of(pages[0].elements.begin(), pages[0].elements.end(),
                          [&](const layout::Element& each) { return each.id == "flag-" + flag.number; }));
}

// A starter's block with a strap to the chassis and the return to the battery, both to the right: the strap
// runs under the return, so its stud stands first.
TEST_CASE("the strap of a block stands inside its return and neither crosses the other") {
    for (const bool strap_first : {false, true}) {
        testing::Kit kit;
        testing::title(kit, "Tractor", "", "T-1");
        kit.zone("A1", "Bonnet", 85);
        kit.zone("A2", "Step", 45);
        kit.unit("M1", "Starter", {"380 A"}, layout::UnitSymbol::starter, 0).seat_bed = 1;
        kit.unit("G2", "Battery", {"110 Ah"}, layout::UnitSymbol::battery, 1);
        kit.bed("U1", "Chassis", "0.1 mΩ", {1});
        kit.bed("U2", "Engine block", "", {0});
        kit.add_stud("M1", "30", "M10", 10);
        kit.add_stud("G2", "+", "M8", 8);
        kit.add_stud("G2", "-", "M8", 8, layout::Flow::back);
        for (const char* stud : {strap_first ? "b" : "a", strap_first ? "a" : "b"})
            kit.bed_stud("U2", stud, "M10", 10, 0);
        kit.bed_stud("U1", "a", "M8", 8, 1);
        kit.cable("1", 70, "RD", 1.9, layout::Flow::feed, "G2.+", "M1.30");
        kit.zones_of({1, 0});
        kit.cable("2", 70, "BK", 1.8, layout::Flow::back, "G2.-", "U2.a");
        kit.zones_of({1, 0});
        kit.cable("3", 25, "BK", 0.5, layout::Flow::back, "U2.b", "U1.a");
        kit.zones_of({0, 1});
        int crossings = 0;
        for (const layout::Page& page : testing::placed_whole(kit.content))
            crossings += layout::audit(page).crossings;
        CHECK(crossings == 0);
    }
}

// The place of a flag is told under it, lower than the last of two short lines.
TEST_CASE("the place of a short finding keeps off the edge of its box") {
    const auto measure = draw::lettering();
    layout::DiagramContent content = testing::van().content;
    content.flags.clear();
    for (const char* number : {"1", "2", "3"})
        content.flags.push_back(
            {.number = number, .error = true, .subject = "W1", .what = "too thin", .cure = "more"});
    for (double tall = 20; tall < 60; tall += 0.25)
        for (const bool first : {true, false}) {
            layout::Findings findings(content, {3, {.field = "1g Q3", .link = ""}}, *measure);
            layout::Page page;
            page.width_mm = 420;
            page.height_mm = 297;
            page.elements.push_back(layout::frame_element(layout::sheet_size(layout::Sheet::a3), *measure));
            const layout::Box box{30, 30, 90, tall};
            if (first)
                page.elements.push_back(findings.first_box(box));
            else if (auto more = findings.further_box("findings", box, {}))
                page.elements.push_back(*more);
            CHECK_MESSAGE(layout::audit(page).complaints.empty(), tall, " high");
        }
}

// Two quarter bends of 10 mm that meet, between solid things over and under their ends: no pole can stand on
// the cable and its balloon fills the middle. The flag is worth more than the balloon's place: it is planted
// where the bends meet, or hangs from an end.
TEST_CASE("the flag of a cable that is all bend has its place on the cable") {
    testing::Kit kit;
    kit.zone("A1", "Battery space", 40);
    kit.cable("1", 95, "RD", 0.5, layout::Flow::feed, "Q1.b", "G1.+");
    kit.zones_of({0});
    kit.content.flags = {
        {.number = "1", .error = true, .subject = "W1", .what = "without a fuse-link", .cure = ""}};
    layout::Arrangement all;
    all.content = &kit.content;
    all.share.panels.resize(1);
    all.share.panels[0].right_mm = all.right_mm = 300;
    all.bottom_mm = 200;
    layout::Routing routing;
    layout::Routed route;
    route.cable = 0;
    route.track = {{100, 100}, {110, 100}, {110, 120}, {120, 120}};
    route.half_mm = 2;
    route.radius_mm = 10;
    routing.routes = {route};
    for (const layout::Box& solid : {layout::Box{85, 60, 35, 36}, layout::Box{112.5, 95, 20, 22.5}})
        routing.obstacles.push_back({solid, 1.5});
    const auto measure = draw::lettering();
    const layout::Notes notes = layout::place_notes(all, routing, *measure, layout::Crowding::make_room);
    REQUIRE(notes.flags.size() == 1);
    CHECK(notes.flags[0].placed);
    const layout::Point dot = notes.flags[0].dot;
    CHECK(((dot.x_mm == 110 && dot.y_mm == 110) || (dot.y_mm == 100 && dot.x_mm > 100 && dot.x_mm < 110) ||
           (dot.y_mm == 120 && dot.x_mm > 110 && dot.x_mm < 120)));
    REQUIRE(notes.cables.size() == 1);
    CHECK(notes.cables[0].has_balloon);
    CHECK(notes.cables[0].has_label);
}
