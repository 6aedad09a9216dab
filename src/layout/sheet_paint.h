// Turns a placed sheet into a page of primitives, in reading order. Private to this room.
#pragma once

#include "layout/arrangement.h"
#include "layout/findings.h"
#include "layout/notes.h"
#include "layout/route.h"
#include "layout/stud_list.h"

namespace stoutloom::layout {

/// One sheet with everything decided but the words of its tags.
struct PlacedSheet {
    Arrangement arrangement;
    Routing routing;
    Notes notes;
    Standing standing;  // how it was placed
    StudList list;      // instead of the drawing, when it has rows
    bool under = false; // stands on the same page as the one before, under it
};

/// Answer to a tag: where the lead goes on, "sheet 2, B6".
using TagWords = std::vector<std::vector<std::string>>; // [cable][end], how that end is called elsewhere

/// The page with its frame; drawings come onto it, then the strip and the title block.
Page begin_page(const PlacedSheet& first, const TextMeasure& measure);
void paint_sheet(Page& page, PlacedSheet& sheet, const TagWords& goes_on, const TextMeasure& measure);
/// Field of the sheet where a cable's end (or its tag) is, empty when it is not on this sheet.
std::string end_reference(const PlacedSheet& sheet, std::size_t cable, int end);

/// Key plan, findings, reading this sheet, caution: under the diagram, or on a page of its own on small
/// sheets.
struct StripContent {
    const DiagramContent* content = nullptr;
    bool feed = false, back = false, tags = false, probes = false, kept = false, fresh = false,
         clamped = false;
    bool braid = false, parallel = false;
    std::vector<double> sections_mm2; // that occur, each once, rising
    bool all_day = false, short_duty = false, over = false;
    std::vector<std::string> zone_sheets; // by zone, the sheets that show it: "1a, 1c"
    std::vector<std::string> unlabelled;  // lines of the cables whose label found no place
};
struct StripBoxes {
    Box plan, caution, findings, reading; // a box of no width is left out
    Box list = {};                        // of cables without a label, if not in the place of the plan
};
void add_strip(Page& page, const StripBoxes& boxes, const StripContent& strip, Findings& findings,
               const TextMeasure& measure);
/// A box of the strip with its title and an aside on the right.
Element titled_box(const std::string& id, const Box& box, const std::string& title, const std::string& aside,
                   const TextMeasure& measure);
Element key_plan_element(const Box& box, const StripContent& strip, const TextMeasure& measure);
Element caution_element(const Box& box, const std::vector<std::string>& cautions, const TitleFields& fields,
                        const TextMeasure& measure);
/// A list of cables by balloon number, for those whose label found no place beside them.
Element cable_list_element(const Box& box, const std::vector<std::string>& lines, const TitleFields& fields,
                           const TextMeasure& measure);

} // namespace stoutloom::layout
