// The cut list: a row per new cable with both ends at true size, the reel plan, then the shopping list.
#pragma once

#include "base/outcome.h"
#include "layout/papers/lug.h"
#include "layout/papers/reel_bars.h"
#include "layout/papers/sheet.h"

namespace stoutloom::layout::papers {

struct CutEnd {
    EndShape shape;
    std::string size;     // "M8", "blade 6.3"
    std::string terminal; // "−G1.B+"
};
struct CutRow {
    std::string id, number; // "W5", "5"
    CutEnd from, to;
    double outside_mm = 10; // over the insulation
    double conductor_mm = 7;
    Flow flow = Flow::feed;
    bool braid = false;
    std::string between, between_other; // hole centres: "5 400 mm", "17 ft 9 in"
    std::string section, colour;        // "70 mm²", "RD"
    std::string way;                    // "feed", "return": what the tint says, for a print without colour
    std::vector<std::string> details;   // beside the drawing, first the section in the other system
    std::string cut, cut_other;         // "cut 5.42 m": printed large; in the other system, or empty
    std::string title, desc;            // for screen readers
};
struct CutListWords {
    std::string heading, remark, print_check, cut, crimp, sleeve, fit, reel_plan, continued, none;
    std::vector<std::string> notes; // how the cut length comes about, the maker's crimp count
};
struct CutListContent {
    std::vector<CutRow> rows;
    std::vector<Reel> reels;
    CutListWords words;
};
/// A4 or Letter, landscape. Rows of 25.4 mm, taller where a lug is wider than that.
std::vector<Page> build_cut_list(const CutListContent& content, PaperSize size, const TextMeasure& measure);

/// 50 mm to lay a rule on; drawn by every page that is true to size. Returns where it ends.
struct PrintCheck {
    Point at;          // left end of the bar
    std::string words; // written before it, ending 3 left of the bar
};
void draw_print_check(Pen& pen, const PrintCheck& check);
double print_check_width_mm(const std::string& words, const TextMeasure& measure);

} // namespace stoutloom::layout::papers
