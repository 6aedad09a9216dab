// Invented diagrams for the tests of placing and painting, written directly in the words of the diagram (no
// harness, no network: their figures are made up and are no test values).
#pragma once

#include "layout/diagram.h"

#include <fmt/format.h>
#include <random>
#include <string>
#include <vector>

namespace stoutloom::testing {

struct Load {
    double fraction = 0.5;
    bool seconds = false;
    std::string told;
};

/// Builds a DiagramContent step by step: units and beds first, then cables by terminal.
struct Kit {
    layout::DiagramContent content;

    std::size_t zone(const std::string& id, const std::string& label, double degc) {
        content.zones.push_back({id, label, fmt::format("{:.0f} °C", degc), degc});
        return content.zones.size() - 1;
    }
    layout::UnitGlyph& unit(const std::string& id, const std::string& name, std::vector<std::string> details,
                            layout::UnitSymbol symbol, std::size_t in) {
        layout::UnitGlyph made;
        made.id = id;
        made.name = name;
        made.details = std::move(details);
        made.symbol = symbol;
        made.zone = in;
        content.units.push_back(made);
        return content.units.back();
    }
    static layout::StudGlyph stud(const std::string& owner, const std::string& name,
                                  const std::string& thread, double diameter, layout::Flow flow) {
        layout::StudGlyph made;
        made.id = owner + "." + name;
        made.designation = name;
        made.thread = thread;
        made.diameter_mm = diameter;
        made.flow = flow;
        if (diameter <= 0)
            made.kind = layout::StudGlyph::Kind::blade;
        return made;
    }
    void add_stud(const std::string& owner, const std::string& name, const std::string& thread,
                  double diameter, layout::Flow flow = layout::Flow::feed, const std::string& probe = "") {
        for (layout::UnitGlyph& each : content.units)
            if (each.id == owner) {
                each.studs.push_back(stud(owner, name, thread, diameter, flow));
                each.studs.back().probe = probe;
            }
    }
    void bed(const std::string& id, const std::string& name, const std::string& resistance,
             std::vector<std::size_t> zones) {
        content.beds.push_back({id, name, resistance, std::move(zones), {}, {}});
    }
    void bed_stud(const std::string& owner, const std::string& name, const std::string& thread,
                  double diameter, std::size_t in, const std::string& probe = "") {
        for (layout::BedGlyph& each : content.beds)
            if (each.id == owner) {
                each.studs.push_back(stud(owner, name, thread, diameter, layout::Flow::feed));
                each.studs.back().insulated = false;
                each.studs.back().probe = probe;
                each.stud_zones.push_back(in);
            }
    }
    layout::StudGlyph* find(const std::string& address) {
        for (layout::UnitGlyph& each : content.units)
            for (layout::StudGlyph& one : each.studs)
                if (one.id == address)
                    return &one;
        for (layout::BedGlyph& each : content.beds)
            for (layout::StudGlyph& one : each.studs)
                if (one.id == address)
                    return &one;
        return nullptr;
    }
    layout::RunGlyph& cable(const std::string& number, double mm2, const std::string& colour, double metres,
                            layout::Flow flow, const std::string& from, const std::string& to,
                            const Load& load = {}) {
        layout::RunGlyph run;
        run.id = "W" + number;
        run.number = number;
        run.section_mm2 = mm2;
        run.flow = flow;
        run.from = from;
        run.to = to;
        run.line1 = fmt::format("{:.4g} mm²  {}  {:.2f} m", mm2, colour, metres);
        run.gauge = layout::Gauge{load.fraction, load.seconds};
        run.gauge_note = fmt::format("{:.0f} %", load.fraction * 100);
        run.line3 = load.told;
        run.direction = 1;
        run.title = fmt::format("{}, {} mm², {} to {}", run.id, mm2, from, to);
        const std::size_t index = content.cables.size();
        int end = 0;
        for (const std::string& address : {from, to}) {
            if (layout::StudGlyph* at = find(address)) {
                layout::LugGlyph lug{index, end, at->diameter_mm, at->diameter_mm + 0.4, at->diameter_mm * 2,
                                     {}};
                at->lugs.push_back(lug);
            }
            ++end;
        }
        content.cables.push_back(run);
        return content.cables.back();
    }
    void zones_of(std::vector<std::size_t> passed) { content.cables.back().zones = std::move(passed); }
};

inline void title(Kit& kit, const std::string& words, const std::string& more, const std::string& number) {
    kit.content.title = {"Coppice Lane Works",
                         number,
                         "2026-03-14",
                         words,
                         more,
                         "",
                         "T. Osei",
                         "Wiring diagram, heavy current",
                         "B",
                         "en",
                         "Electrical",
                         "R. Aldane",
                         "For review",
                         {}};
}

/// The library van of the mock-up: four zones, nine heavy cables, two control leads, three findings.
inline Kit van() {
    using layout::Flow;
    using layout::UnitSymbol;
    Kit kit;
    title(kit, "Library van, charging", "12 V, 180 A unit at rear", "LV-1208-E01");
    kit.zone("A1", "Cab", 35);
    kit.zone("A2", "Battery locker", 40);
    kit.zone("A3", "Under floor", 50);
    kit.zone("A4", "Engine bay", 85);
    kit.unit("F3", "Fuse box", {"3 × 40 A"}, UnitSymbol::electronics, 0);
    kit.unit("G2", "Battery", {"95 Ah, 760 A"}, UnitSymbol::battery, 1);
    kit.unit("F1", "SF51  200 A", {}, UnitSymbol::fuse_link, 1).fixing_pitch_mm = 51;
    kit.unit("F2", "SF51  200 A", {}, UnitSymbol::fuse_link, 3).fixing_pitch_mm = 51;
    kit.unit("M1", "Starter, case return", {}, UnitSymbol::starter, 3).seat_bed = 1;
    kit.unit("G1", "Charging unit", {"160 A hot"}, UnitSymbol::generator, 3);
    kit.unit("P1", "Charge lamp", {}, UnitSymbol::lamp, 0);
    kit.unit("S1", "Key switch", {}, UnitSymbol::switch_, 0);
    kit.bed("U1", "Body shell: return mass", "0.1 mΩ front to rear", {0, 1, 2, 3});
    kit.bed("U2", "Engine block", "", {3});
    kit.add_stud("F3", "30", "M6", 6, Flow::feed, "H");
    kit.add_stud("F3", "31", "M6", 6, Flow::back);
    kit.add_stud("G2", "+", "M8", 8, Flow::feed, "B");
    kit.add_stud("G2", "-", "M8", 8, Flow::back, "D");
    for (const char* fuse : {"F1", "F2"})
        for (const char* side : {"a", "b"})
            kit.add_stud(fuse, side, "M8", 8);
    kit.add_stud("M1", "30", "M10", 10, Flow::feed, "G");
    kit.add_stud("M1", "50", "", 0, Flow::control);
    kit.add_stud("G1", "B+", "M8", 8, Flow::feed, "A");
    kit.add_stud("G1", "L", "M5", 5, Flow::control);
    kit.add_stud("G1", "B-", "M6", 6, Flow::back, "C");
    kit.add_stud("P1", "1", "", 0, Flow::control);
    kit.add_stud("P1", "2", "", 0, Flow::control);
    kit.add_stud("S1", "30", "", 0, Flow::control);
    kit.add_stud("S1", "50", "", 0, Flow::control);
    kit.add_stud("S1", "15", "", 0, Flow::control);
    kit.bed_stud("U1", "X11", "M8", 8, 1, "E");
    kit.bed_stud("U1", "X12", "M8", 8, 3);
    kit.bed_stud("U2", "X13", "M10", 10, 3, "F");
    kit.cable("1", 95, "RD", 6.10, Flow::feed, "G2.+", "M1.30", {0.34, true, "5 s: 520 A of 1550 A"});
    kit.zones_of({1, 2, 3});
    kit.cable("2", 70, "RD", 5.40, Flow::feed, "F2.a", "F1.b", {0.70, false, "160 A of 229 A, class C"})
        .kept = false;
    kit.zones_of({3, 2, 1});
    kit.cable("3", 70, "RD", 0.28, Flow::feed, "F1.a", "G2.+", {0.48, false, "160 A of 333 A, class C"})
        .kept = false;
    kit.zones_of({1});
    kit.cable("4", 70, "RD", 0.65, Flow::feed, "G1.B+", "F2.b", {0.70, false, "160 A of 229 A, class C"})
        .kept = false;
    kit.zones_of({3});
    layout::RunGlyph& bad =
        kit.cable("5", 10, "RD", 1.90, Flow::feed, "G2.+", "F3.30", {1.33, false, "96 A of 72 A, class A"});
    bad.failing = true;
    kit.zones_of({1, 0});
    kit.cable("6", 70, "BK", 6.20, Flow::back, "G2.-", "G1.B-", {0.70, false, "160 A of 229 A, class C"})
        .kept = false;
    kit.zones_of({1, 2, 3});
    kit.cable("7", 50, "BK", 0.45, Flow::back, "U1.X11", "G2.-", {0.63, true, "5 s: 520 A of 830 A"});
    kit.zones_of({1});
    layout::RunGlyph& braid = kit.cable("8", 25, "", 0.40, Flow::back, "U2.X13", "U1.X12",
                                        {0.95, true, "braid, 5 s: 520 A of 545 A"});
    braid.braid = true;
    braid.line1 = "25 mm²  0.40 m";
    kit.zones_of({3});
    kit.cable("9", 25, "BK", 0.80, Flow::back, "F3.31", "U1.X11", {0.68, false, "96 A of 141 A, class A"});
    kit.zones_of({0, 1});
    layout::RunGlyph& lamp =
        kit.cable("10", 1, "BU", 7.10, Flow::control, "P1.2", "G1.L", {0.05, false, "0.2 A"});
    lamp.zones = {0, 1, 2, 3};
    lamp.kept = false;
    kit.cable("11", 2.5, "VT", 7.40, Flow::control, "S1.50", "M1.50", {0.4, true, "5 s: 12 A"}).zones = {
        0, 1, 2, 3};
    kit.cable("12", 1, "BK", 0.30, Flow::control, "S1.15", "P1.1", {0.05, false, "0.2 A"}).zones = {0};
    kit.content.incidentals.push_back({"I1", "gear cable", "U2", "U1"});
    kit.content.flags = {
        {"1", true, "W5", "W5 overloaded: 96 A; at 35 °C it is good for 72 A.", "25 mm² class B, 1.90 m."},
        {"2", true, "W5", "W5 has no fuse-link at −G2.+; the limit is 0.20 m.",
         "SF30 125 A, −F4, on the battery stud."},
        {"3", false, "W8", "W8 carries 520 A for 5 s, 95 % of its limit; −U2 has no other way to −U1.",
         "a second strap, 25 mm²."}};
    kit.content.volt_line = layout::VoltLine{"Feed side, −G1.B+ to −G2.+, at rated output, hot, 160 A.",
                                             {"G1.B+", "F2.b", "F2.a", "F1.b", "F1.a", "G2.+"},
                                             {14.40, 14.37, 14.31, 14.03, 14.01, 13.95},
                                             14.40,
                                             0.50};
    kit.content.cautions = {"A spanner between battery + and the body can burn and can burst the battery. "
                            "Take the − lug off first; put it back last."};
    return kit;
}

/// The smallest useful diagram: three cables, a case return.
inline Kit small_kit() {
    using layout::Flow;
    using layout::UnitSymbol;
    Kit kit;
    title(kit, "Farm tractor, first kit", "12 V", "FT-0001");
    kit.zone("bonnet", "Under the bonnet", 85);
    kit.zone("box", "Battery box", 45);
    kit.unit("G1", "Charging unit", {"80 A hot"}, UnitSymbol::generator, 0).seat_bed = 0;
    kit.unit("G2", "Battery", {"70 Ah, 640 A"}, UnitSymbol::battery, 1);
    kit.unit("F1", "SF51  125 A", {}, UnitSymbol::fuse_link, 1).fixing_pitch_mm = 51;
    kit.bed("U1", "Frame", "0.1 mΩ", {0, 1});
    kit.add_stud("G1", "B+", "M8", 8);
    kit.add_stud("G2", "+", "post", 17);
    kit.add_stud("G2", "-", "post", 15, Flow::back);
    kit.find("G2.+")->kind = kit.find("G2.-")->kind = layout::StudGlyph::Kind::post;
    kit.add_stud("F1", "a", "M8", 8);
    kit.add_stud("F1", "b", "M8", 8);
    kit.bed_stud("U1", "a", "M8", 8, 1);
    kit.cable("1", 35, "RD", 1.60, Flow::feed, "G1.B+", "F1.b", {0.55, false, "80 A of 145 A, class C"})
        .kept = false;
    kit.zones_of({0, 1});
    kit.cable("2", 35, "RD", 0.18, Flow::feed, "F1.a", "G2.+", {0.48, false, "80 A of 167 A, class C"}).kept =
        false;
    kit.zones_of({1});
    kit.cable("3", 50, "BK", 0.50, Flow::back, "G2.-", "U1.a", {0.44, false, "80 A of 182 A, class B"});
    kit.zones_of({1});
    return kit;
}

} // namespace stoutloom::testing
