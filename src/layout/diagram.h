// The harness diagram: finished words and figures in, one or more placed pages out. Knows no harness and no
// network.
#pragma once

#include "base/outcome.h"
#include "layout/scene.h"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace stoutloom::layout {

enum class Sheet { a3, a4, letter, tabloid };

/// ISO 7200 fields; an empty compulsory one prints "not yet approved" or an empty cell.
struct TitleFields {
    std::string owner, identification, date, title, subtitle, approved_by, created_by, document_type;
    std::string revision, language, department, technical_reference, status;
    std::map<std::string, std::string> words; // fixed words in another language, by their English
};
/// Fixed words in the language of the sheet, the English where `words` has none; {0}, {1} are the values.
std::string said(const TitleFields& fields, const std::string& english,
                 const std::vector<std::string>& values = {});

enum class Flow { feed, back, control };
enum class UnitSymbol {
    battery,
    generator,
    starter,
    motor,
    lamp,
    resistor,
    electronics,
    fuse_link,
    switch_,
    relay,
    post,
    shunt
};

/// One lug in a stack, from the face outwards = tightening order.
struct LugGlyph {
    std::size_t cable;   // index into DiagramContent::cables
    int end = 0;         // 0 from, 1 to
    double stud_size_mm; // the lug's nominal size: 8 for M8
    double hole_mm;
    double palm_mm; // width of the palm
    enum class Fit { right, loose, too_small } fit = Fit::right;
};
struct StudGlyph {
    std::string id;          // "G1.B+"
    std::string designation; // "B+"
    std::string thread;      // "M8"
    double diameter_mm = 8;  // 0 for blades, plugs, splices and posts
    enum class Kind { stud, post, blade, plug, splice } kind = Kind::stud;
    Flow flow = Flow::feed; // feed studs stand up, return studs hang
    bool insulated = true;  // bush hatched (insulated) or metal to metal
    std::vector<LugGlyph> lugs;
    std::string probe; // letter of a probe point, may be empty
};
struct UnitGlyph {
    std::string id, name;             // "G1", "Charging unit"
    std::vector<std::string> details; // "160 A hot"
    UnitSymbol symbol = UnitSymbol::resistor;
    std::size_t zone = 0;
    std::vector<StudGlyph> studs;
    std::optional<std::size_t> seat_bed; // index of the bed it stands on by its case
    double fixing_pitch_mm = 0;          // fuse-links: 51 or 30
    bool failing = false;                // an error stands against it
};
struct BedGlyph {
    std::string id, name, resistance; // "U1", "Body shell: return mass", "0.1 mohm"
    std::vector<std::size_t> zones;   // it runs through these
    std::vector<StudGlyph> studs;     // with the zone of each in stud_zones
    std::vector<std::size_t> stud_zones;
};
struct IncidentalGlyph {
    std::string id, name;
    std::string from, to; // ids of beds or studs
};
struct ZonePanel {
    std::string id, label, ambient; // "engine-bay", "Engine bay", "85 degC" as shown
    double ambient_degc = 20;
};
struct Gauge {
    double fraction = 0;     // load over limit
    bool short_duty = false; // hatched
};
struct RunGlyph {
    std::string id, number; // "W5", "5"
    double section_mm2 = 10;
    int parallel = 1;
    bool braid = false;
    bool kept = true; // broken balloon ring
    Flow flow = Flow::feed;
    std::string from, to;                 // stud ids
    std::string line1, gauge_note, line3; // "70 mm2  RD  5.40 m", "70 %", "160 A of 229 A, class C"
    std::optional<Gauge> gauge;
    int direction = 0; // +1 from->to, -1, 0 none or it differs between duties
    bool failing = false;
    std::vector<std::size_t> zones; // panels it passes, in order from `from`
    std::string title, desc;        // for screen readers
    std::string link_page;          // id of the page its balloon jumps to (the cut list), may be empty
};
struct FlagGlyph {
    std::string number;     // "1"
    bool error = true;      // otherwise warning
    std::string subject;    // id of a cable, unit, stud or bed
    std::string what, cure; // the findings box
    std::string instead{};  // what wears it on a sheet that does not show the subject
};
/// The fall of volts along the feed in one duty.
struct VoltLine {
    std::string caption;            // "Feed side, G1.B+ to G2.+, at rated output, hot, 160 A."
    std::vector<std::string> studs; // ids, from the source on
    std::vector<double> volts_v;    // same length
    double set_point_v = 0;
    double limit_v = 0; // greatest fall allowed from the first stud on, 0: none
};
struct DiagramContent {
    Sheet sheet = Sheet::a3;
    TitleFields title;
    std::vector<ZonePanel> zones; // in vehicle order
    std::vector<UnitGlyph> units;
    std::vector<BedGlyph> beds;
    std::vector<RunGlyph> cables;
    std::vector<IncidentalGlyph> incidentals;
    std::vector<FlagGlyph> flags;     // errors first
    std::vector<std::string> remarks; // findings that hang on nothing: told in the box where it has room
    std::optional<VoltLine> volt_line;
    std::vector<std::string> cautions; // printed in the signal panel, most important first
    std::vector<std::string> notes;    // what was not checked, in short
};

struct NoPlace {
    std::string message; // what could not be placed; an internal error, not the author's
};
/// Pages of the diagram: one if the sheet holds it, otherwise split at zone boundaries with tags that answer
/// each other; what no drawing holds becomes a list of studs. Fails only for a cable with an end on no stud.
base::Outcome<std::vector<Page>, NoPlace> place_diagram(const DiagramContent& content,
                                                        const TextMeasure& measure);

/// How good a page is, for the regression of quality: smaller is better in every figure.
struct Quality {
    int crossings = 0, bends = 0;
    double run_length_mm = 0;
    int overlaps = 0;                    // pairs on the never-overlap list; must be 0
    int outside = 0;                     // elements outside the frame; must be 0
    std::vector<std::string> complaints; // "text W5-label over line of W6"
};
Quality audit(const Page& page);
/// One figure over all pages of a diagram, smaller is better: pages, crossings, bends, length of the runs,
/// cables whose label found no place beside them, cables drawn in two pieces, overlaps and what is outside.
double untidiness(const std::vector<Page>& pages);

} // namespace stoutloom::layout
