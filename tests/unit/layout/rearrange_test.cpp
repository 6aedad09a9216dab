// The order of units, studs and sides is searched by what the routed sheet costs: what can be untied is
// untied.
#include "draw/draw.h"
#include "layout/arrangement.h"
#include "layout/rearrange.h"
#include "testing/diagram_kits.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace stoutloom;

namespace {
layout::StudGlyph blade(const std::string& id, const std::string& name, std::size_t cable, int end) {
    layout::StudGlyph stud;
    stud.id = id;
    stud.designation = name;
    stud.thread = "blade 6.3";
    stud.diameter_mm = 0;
    stud.kind = layout::StudGlyph::Kind::blade;
    stud.lugs = {{.cable = cable, .end = end, .stud_size_mm = 6.3, .hole_mm = 0, .palm_mm = 6}};
    return stud;
}

/// A bar of four studs and four lamps beside it, joined in the given order.
layout::DiagramContent barred(const std::vector<std::size_t>& lamp_of_stud) {
    layout::DiagramContent content;
    content.zones = {{"A1", "Cab", "35 °C", 35}};
    layout::UnitGlyph bar;
    bar.id = "X1";
    bar.name = "Bar";
    bar.symbol = layout::UnitSymbol::post;
    for (std::size_t i = 0; i < lamp_of_stud.size(); ++i) {
        layout::RunGlyph run;
        run.id = "W" + std::to_string(i + 1);
        run.number = std::to_string(i + 1);
        run.section_mm2 = 2.5;
        run.from = "X1." + std::to_string(i + 1);
        run.to = "E" + std::to_string(lamp_of_stud[i] + 1) + ".+";
        run.line1 = "2.5 mm²  RD  1.20 m";
        run.zones = {0};
        content.cables.push_back(run);
        bar.studs.push_back(blade(run.from, std::to_string(i + 1), i, 0));
    }
    content.units.push_back(bar);
    for (std::size_t lamp = 0; lamp < lamp_of_stud.size(); ++lamp) {
        const auto stud = static_cast<std::size_t>(std::find(lamp_of_stud.begin(), lamp_of_stud.end(), lamp) -
                                                   lamp_of_stud.begin());
        layout::UnitGlyph unit;
        unit.id = "E" + std::to_string(lamp + 1);
        unit.name = "Lamp";
        unit.symbol = layout::UnitSymbol::lamp;
        unit.studs = {blade(unit.id + ".+", "+", stud, 1)};
        content.units.push_back(unit);
    }
    return content;
}

int crossings(const layout::DiagramContent& content) {
    const auto measure = draw::lettering();
    const auto pages = layout::place_diagram(content, *measure);
    REQUIRE(pages);
    int count = 0;
    for (const layout::Page& page : *pages) {
        const layout::Quality quality = layout::audit(page);
        CHECK(quality.overlaps == 0);
        count += quality.crossings;
    }
    return count;
}
} // namespace

// A bar's studs in a row and one lamp for each: whatever the pairing, lamps can be exchanged until none
// cross.
TEST_CASE("lamps on a bar are ordered until no lead crosses another") {
    std::vector<std::size_t> pairing{0, 1, 2, 3};
    int kits = 0;
    do {
        CHECK_MESSAGE(crossings(barred(pairing)) == 0, fmt::format("pairing {}", fmt::join(pairing, " ")));
        ++kits;
    } while (std::next_permutation(pairing.begin(), pairing.end()));
    CHECK(kits == 24);
}

namespace {
struct Part {
    std::string id, first, second;
    std::size_t cables[2];
    layout::UnitSymbol symbol;
};

layout::DiagramContent joined(const std::vector<Part>& parts) {
    layout::DiagramContent content;
    content.zones = {{"A1", "Deck", "40 °C", 40}};
    content.cables.resize(parts.size());
    for (std::size_t c = 0; c < content.cables.size(); ++c) {
        layout::RunGlyph& run = content.cables[c];
        run.id = "W" + std::to_string(c + 1);
        run.number = std::to_string(c + 1);
        run.section_mm2 = 2.5;
        run.flow = layout::Flow::control;
        run.line1 = "2.5 mm²  RD  1.20 m";
        run.zones = {0};
    }
    for (const Part& part : parts) {
        layout::UnitGlyph unit;
        unit.id = part.id;
        unit.name = "Part";
        unit.symbol = part.symbol;
        for (std::size_t s = 0; s < 2; ++s) {
            layout::RunGlyph& run = content.cables[part.cables[s]];
            const std::string& name = s == 0 ? part.first : part.second;
            const bool begins = run.from.empty();
            (begins ? run.from : run.to) = part.id + "." + name;
            unit.studs.push_back(blade(part.id + "." + name, name, part.cables[s], begins ? 0 : 1));
            unit.studs.back().flow = layout::Flow::control;
        }
        content.units.push_back(unit);
    }
    return content;
}
} // namespace

// Two bars, two links and two pumps in a ring, in whatever order the file names them: all but the last way of
// the ring can run straight.
TEST_CASE("a ring of parts is laid out in its own order") {
    using Symbol = layout::UnitSymbol;
    std::vector<Part> parts{
        {"E45", "+", "-", {2, 1}, Symbol::motor},  {"E46", "-", "+", {0, 4}, Symbol::motor},
        {"F322", "b", "a", {2, 3}, Symbol::relay}, {"F323", "a", "b", {5, 4}, Symbol::relay},
        {"X32", "4", "3", {5, 3}, Symbol::post},   {"X37", "4", "3", {0, 1}, Symbol::post}};
    const auto by_id = [](const Part& a, const Part& b) { return a.id < b.id; };
    int kits = 0;
    do {
        if (++kits % 40 != 0)
            continue;
        std::string order;
        for (const Part& part : parts)
            order += " " + part.id;
        CHECK_MESSAGE(crossings(joined(parts)) == 0, fmt::format("in the order{}", order));
    } while (std::next_permutation(parts.begin(), parts.end(), by_id));
    CHECK(kits == 720);
}

// A plus bar, a minus bar to the frame and four lamps between them, each on studs of one number: lamps in
// that order between the bars cross nothing. Two crossings are allowed where words stand better for it; of
// the orders a file may name them in, single exchanges leave two to nine.
TEST_CASE("lamps between two bars are ordered until hardly a lead crosses another") {
    using layout::Flow;
    std::vector<int> named{1, 2, 3, 4};
    int kits = 0;
    int sum = 0;
    do {
        if (++kits % 4 != 0)
            continue;
        testing::Kit kit;
        kit.zone("A1", "Cab", 35);
        kit.bed("U1", "Frame: return mass", "", {0});
        kit.bed_stud("U1", "front", "M10", 10, 0);
        kit.unit("X4", "Minus bar", {}, layout::UnitSymbol::post, 0);
        kit.add_stud("X4", "1", "M10", 10, Flow::back);
        kit.unit("X3", "Plus bar", {}, layout::UnitSymbol::post, 0);
        for (const int lamp : named) {
            const std::string id = fmt::format("E{}", lamp);
            kit.unit(id, "Lamp", {"4 A"}, layout::UnitSymbol::lamp, 0);
            kit.add_stud(id, "+", "blade 6.3", 0, Flow::feed);
            kit.add_stud(id, "-", "blade 6.3", 0, Flow::back);
        }
        for (int lamp = 1; lamp <= 4; ++lamp) {
            kit.add_stud("X3", std::to_string(lamp), "M6", 6, Flow::feed);
            kit.add_stud("X4", std::to_string(lamp + 1), "M6", 6, Flow::back);
            kit.cable(std::to_string(lamp), 4, "RD", 1.2, Flow::feed, fmt::format("X3.{}", lamp),
                      fmt::format("E{}.+", lamp));
            kit.cable(std::to_string(10 + lamp), 4, "BK", 1.4, Flow::back, fmt::format("E{}.-", lamp),
                      fmt::format("X4.{}", lamp + 1));
        }
        kit.cable("20", 70, "BK", 0.8, Flow::back, "X4.1", "U1.front");
        for (layout::RunGlyph& run : kit.content.cables)
            run.zones = {0};
        std::string order;
        for (const int lamp : named)
            order += fmt::format(" E{}", lamp);
        const int left = crossings(kit.content);
        CHECK_MESSAGE(left <= 2, fmt::format("in the order{}: {}", order, left));
        sum += left;
    } while (std::next_permutation(named.begin(), named.end()));
    CHECK(kits == 24);
    CHECK(sum <= 6);
}

// The lamp of W1 stands on another sheet, in a zone before or behind the bar's.
TEST_CASE("a tag may be told to stand at the other edge and says so when that points away") {
    const auto measure = draw::lettering();
    for (const std::size_t lamp_zone : {0U, 2U}) {
        layout::DiagramContent content = barred({0, 1});
        content.zones = {
            {"A1", "Cab", "35 °C", 35}, {"A2", "Hold", "35 °C", 35}, {"A3", "Stern", "35 °C", 35}};
        content.units[0].zone = 1;
        content.units[1].zone = lamp_zone;
        content.units[2].zone = 1;
        layout::SheetShare share;
        share.unit_keys = {1000, lamp_zone == 0 ? 0.0 : 2000.0, 1001};
        share.panels.resize(1);
        share.panels[0].zone = 1;
        share.panels[0].units = {0, 2};
        share.cables = {0, 1};
        const auto leaving = [&](const layout::SheetShare& of) {
            const auto all = layout::arrange_across(content, layout::find_ends(content, of.unit_keys), of,
                                                    layout::sheet_size(layout::Sheet::a3), *measure, {});
            REQUIRE(all);
            REQUIRE(all->leaving.size() == 1);
            return all->leaving[0];
        };
        const int plain = lamp_zone == 0 ? -1 : 1;
        CHECK(leaving(share).side == plain);
        CHECK_FALSE(leaving(share).away);
        const layout::Rearrangement how{layout::Rearrangement::Kind::leave, 0, 1};
        const layout::SheetShare other = layout::rearranged(share, how);
        CHECK(leaving(other).side == -plain);
        CHECK(leaving(other).away);
        CHECK(leaving(layout::rearranged(other, how)).side == plain);
    }
}
