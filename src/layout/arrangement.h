// One sheet's worth of the diagram with every stud, box and bed in its place; what the router and the painter
// walk. Private to this room.
#pragma once

#include "layout/diagram.h"
#include "layout/scene.h"
#include "layout/sheet_frame.h"

#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace stoutloom::layout {

constexpr std::size_t nowhere = static_cast<std::size_t>(-1);

/// A lug in its stack. Distances count from the stud's axis, outwards.
struct PlacedLug {
    const LugGlyph* glyph = nullptr;
    std::size_t cable = nowhere;
    int end = 0;
    int side = 1;           // +1 leaves to the right
    double level_mm = 4.2;  // height of the plate's middle over the mounting face
    double palm_mm = 8;     // half scale
    double reach_mm = 8;    // end of the barrel
    double riser_mm = 16;   // where a bend to the vertical may stand
    double half_mm = 1;     // half of the cable's width
    double radius_mm = 4;   // of the cable's bends
    bool off_sheet = false; // a control lead: a tag answers on the other sheet
    double tag_mm = 0;      // width of that tag
    bool upright = false;   // leaves along the stud's axis (a push-on end)
};

enum class Row { unit, upper, raised_bed, bed };
struct PlacedStud {
    const StudGlyph* glyph = nullptr;
    std::string id, owner;
    std::size_t zone = 0; // index into the sheet's panels
    bool hanging = false;
    bool sinks = false; // stands on a raised bed: its cables leave downwards
    bool inline_device = false;
    bool past_tags = false; // a cable under the tag of a light lead turns beyond it
    int forced_side = 0;    // studs of in-line devices let cables leave outwards only
    Row row = Row::unit;
    double x_mm = 0, face_mm = 0;
    std::vector<PlacedLug> lugs;
    double left_mm = 6, right_mm = 6; // how far the stack and its cables' risers reach
    double tall_mm = 12;              // from the face to the stud's end
    int caption_side = 1;             // -1, +1 beside the foot; 0 beyond the end; 2 in the bed or none
    double core_mm = 4;               // half width of palm, nut and bush

    double away(double by_mm) const { return hanging ? face_mm + by_mm : face_mm - by_mm; }
    Point lug_end(const PlacedLug& lug) const { return {x_mm + lug.side * lug.reach_mm, away(lug.level_mm)}; }
    double riser_x(const PlacedLug& lug) const { return x_mm + lug.side * lug.riser_mm; }
};

struct PlacedUnit {
    const UnitGlyph* glyph = nullptr;
    std::size_t index = nowhere; // in the content
    std::size_t panel = 0;
    Box box;
    bool upper = false; // an in-line device on the feed, over the unit row
    std::vector<std::size_t> studs;
    std::size_t seat = nowhere; // placed bed it stands on
    double text_width_mm = 0;
    std::vector<std::string> lines; // under the designation
    bool symbol_beside = false;
    /// A post or bus bar whose studs all stand on one side of it: no box, a low bar that carries them.
    enum class Bar { none, upright, hanging } bar = Bar::none;
    double bar_left_mm = 0, bar_right_mm = 0;
};
struct PlacedBed {
    const BedGlyph* glyph = nullptr;
    std::size_t index = nowhere;
    double left_mm = 0, right_mm = 0, top_mm = 0;
    int row = 0;
    bool raised = false;
    bool torn_left = false, torn_right = false;
    std::vector<std::size_t> studs;
    double height_mm = 9;
    Box box() const { return {left_mm, top_mm, right_mm - left_mm, height_mm}; }
};
struct Panel {
    std::size_t zone = 0;   // in the content
    bool continued = false; // the zone's studs on metal, or else its first unit, stand on another sheet
    bool again = false;     // an earlier sheet shows the zone
    double left_mm = 0, right_mm = 0;
    std::vector<std::size_t> units; // in the content, from left to right
};
/// Where a cut cable leaves the sheet.
struct Leaving {
    std::size_t cable = nowhere;
    int end = 0; // the end that is on another sheet
    int side = 1;
    bool away = false; // it leaves to the edge that is farther from the zone it goes to
};

/// Where the end of a cable is: on a unit's stud or a bed's.
struct Whereabouts {
    bool known = false, on_bed = false;
    std::size_t owner = nowhere, stud = nowhere, zone = 0;
    double key = 0; // order along the vehicle: zone * 1000 + place in the zone
};
/// Both ends of every cable; looked up once for all sheets.
struct Ends {
    std::vector<std::vector<Whereabouts>> of; // [cable][end]
};
/// `unit_keys`: order of the units along the vehicle, zone * 1000 + place.
Ends find_ends(const DiagramContent& content, const std::vector<double>& unit_keys);

/// How a sheet departs from the plain order, where that draws tidier; found by trial in rearrange.cpp.
struct Departures {
    std::vector<std::size_t> mirrored;               // units whose studs stand in the other order
    std::vector<std::pair<std::size_t, int>> turned; // cable and end whose lug leaves on the other side
    std::vector<std::pair<std::size_t, int>> astray; // cable and far end whose tag is at the other edge
};

/// What one sheet shows, decided before any place is.
struct SheetShare {
    std::vector<double> unit_keys;
    std::vector<Panel> panels;
    std::vector<std::size_t> cables; // with at least one end here
    bool control = false;
    bool first = true;
    Departures departures;
    double deck_top_mm = 0, deck_bottom_mm = 0; // one of several drawings on a page; 0, 0: all of it
    std::string label = "1";
};

struct Arrangement {
    const DiagramContent* content = nullptr;
    SheetShare share;
    SheetSize size;
    std::vector<PlacedUnit> units;
    std::vector<PlacedBed> beds;
    std::vector<PlacedStud> studs;
    std::vector<Leaving> leaving;
    double left_mm = 0, right_mm = 0; // outer edges of the panels
    double top_mm = 0, bottom_mm = 0; // of the panels
    double sky_mm = 0;                // highest place a lane may take
    double row_mm = 0;                // top of the unit boxes
    double row_height_mm = 29;
    double upper_mm = 0;     // face of the in-line devices
    double bed_mm = 0;       // top of the highest bottom bed
    double tag_width_mm = 0; // of the tags at the sheet's edges
    bool volt_line = false;
    double spare_mm = 0; // width left over

    const PlacedStud* stud_of(std::size_t cable, int end, const PlacedLug** lug) const;
};

struct ArrangeWish {
    double label_room_mm = 0; // extra width given to one panel, for labels
    std::size_t label_panel = 0;
    double gap_mm = 0;    // added between neighbours
    double pad_mm = 0;    // added at both sides of every panel
    bool tight = false;   // neighbours joined by a cable share its riser even where others leave on that side
    bool narrow = false;  // a zone need not be as wide as the labels of its units
    bool no_edge = false; // no room for tags at the sheet's edges: they stand at their studs
    bool past_tags = false; // cables under the tag of a light lead turn beyond it
    bool pressed = false;   // nor neighbours leave room for a balloon between them: another order will
};
/// Places everything along the sheet. Empty when it is wider than the sheet.
std::optional<Arrangement> arrange_across(const DiagramContent& content, const Ends& ends,
                                          const SheetShare& share, const SheetSize& size,
                                          const TextMeasure& measure, const ArrangeWish& wish);
struct Heights {
    double upper_mm = 33;  // from the unit row up to the faces of the in-line devices
    double return_mm = 45; // from the unit row down to the beds
    bool volt_line = true;
};
/// How a sheet was placed, to place another order of it alike.
struct Standing {
    ArrangeWish wish;
    Heights heights;
};
/// Where the panels stand on the sheet: all of it but the strip or the title block.
void settle_frame(Arrangement& all);
/// Gives every stud, box and bed its height. False when the unit row does not fit under its lanes.
/// Whether stacks, captions, tags and devices keep off each other is asked of `stands_free`.
bool arrange_down(Arrangement& all, const Heights& heights);
/// No stack, caption, probe, tag, box or in-line device of the sheet touches another.
bool stands_free(const Arrangement& all, const TextMeasure& measure);

} // namespace stoutloom::layout
