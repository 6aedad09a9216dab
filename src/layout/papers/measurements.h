// The measuring sheet: conditions, where to hold the probes, what the meter should read, steps, signature.
#pragma once

#include "layout/papers/sheet.h"
#include "layout/papers/tables.h"

#include <optional>

namespace stoutloom::layout::papers {

/// One part of the loop on the probe map; the map falls by the volts lost in it.
struct MapPiece {
    enum class Kind { cable, part, metal, battery, unit } kind = Kind::cable;
    std::string name;
    double drop_v = 0;
    double length_m = 1;
    Flow flow = Flow::feed;
    std::string probe_before, probe_after; // letters, may be empty
};
/// A measurement across pieces first..last, drawn as a bracket under the map.
struct MapBracket {
    std::size_t first = 0, last = 0;
    std::string number, words;
};
struct ProbeMap {
    std::string heading, remark;
    std::vector<MapPiece> pieces;
    std::vector<MapBracket> brackets;
};
/// What is accepted: below `low_v` and above `high_v` the bar is hatched.
struct Band {
    std::optional<double> low_v, high_v;
    double expected_v = 0;
    std::string low_words, high_words;
};
struct MeasureRow {
    std::string number, red, black; // letters
    bool named = false;             // red and black are the studs' own names instead
    std::string state, expected, unit;
    Band band;
    std::string desc;
};
struct MeasureStep {
    std::string number, words;
};
struct MeasureWords {
    std::string heading, remark, continued, before, probes, number, red, black, state, expect, accept, read,
        ok, no_rows, steps, measured_by, date, counter, all_within, yes, no;
};
struct MeasurementsContent {
    std::vector<std::string> conditions; // ticked before the start
    std::vector<ProbeMap> maps;
    std::vector<std::pair<std::string, std::string>> probes; // letter, terminal
    std::vector<MeasureRow> rows;
    std::string named_heading;        // over the first row whose studs are named
    std::vector<std::string> remarks; // below the rows
    std::vector<MeasureStep> steps;
    MeasureWords words;
};
/// A4 or Letter, portrait.
std::vector<Page> build_measurements(const MeasurementsContent& content, PaperSize size,
                                     const TextMeasure& measure);

/// A probe point: diamond with its letter.
void draw_probe(Pen& pen, Point centre, const std::string& letter);
/// The map alone, in `area`; `area.height_mm` must be at least 50.
void draw_probe_map(Pen& pen, const Box& area, const ProbeMap& map);

} // namespace stoutloom::layout::papers
