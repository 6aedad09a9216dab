// Studs, lugs, fuse-links: hardware at a true 1 : 2. Private to this room.
#pragma once

#include "layout/arrangement.h"
#include "layout/scene.h"

namespace stoutloom::layout {

/// Sides, levels, reaches and risers of a stack's lugs and the width it needs. `sides` are already chosen.
void settle_stack(PlacedStud& stud, const TextMeasure& measure);
/// Everything solid of a stack: column, barrels, caption, probe. For the router and the label search.
std::vector<Box> stack_boxes(const PlacedStud& stud, const TextMeasure& measure);
Box caption_box(const PlacedStud& stud, const TextMeasure& measure);
Point stud_end(const PlacedStud& stud);
Element stack_element(const PlacedStud& stud, const TextMeasure& measure);
/// The diamond with its letter where a meter's probe goes.
void add_probe(Element& to, Point at, const std::string& letter, const TextMeasure& measure);
/// Plinth, body and lettering of a two-stud in-line device.
Element inline_element(const PlacedUnit& unit, const PlacedStud& a, const PlacedStud& b,
                       const TextMeasure& measure);
std::vector<Box> inline_boxes(const PlacedUnit& unit, const PlacedStud& a, const PlacedStud& b,
                              const TextMeasure& measure);

/// The five-cornered off-sheet mark. `point` is where the lead meets it; it points down (0), up (2), left
/// (-1) or right (+1).
Element tag_element(const std::string& id, Point point, int towards, double width_mm,
                    const std::string& line1, const std::string& line2, const TextMeasure& measure);
/// What a tag says first: the cable and the end that is elsewhere, or the terminal it leaves.
std::string tag_words(const RunGlyph& run, const std::string& terminal);
/// Width of a tag that holds both its lines whole, and never less than the plain one.
double whole_tag_mm(const std::string& line1, const TitleFields& fields, const TextMeasure& measure);
Box tag_box(Point point, int towards, double width_mm);
constexpr double tag_height_mm = 9;

} // namespace stoutloom::layout
