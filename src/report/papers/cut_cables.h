// The cables that are to be made: their ends as drawn, how long they are cut, how far they are stripped. Cut
// list, reel plan, shopping list and labels all work from this.
#pragma once

#include "layout/papers/lug.h"
#include "report/papers/voice.h"
#include "size/sleeves.h"

#include <optional>

namespace stoutloom::report {

struct CutEndFigures {
    layout::papers::EndShape shape;
    double strip_mm = 0;                        // 0: nothing to strip
    std::optional<model::StockSleeve> sleeve{}; // heat-shrink over the barrel; nothing: none in stock fits
    double sleeve_m = 0;                        // cut off it, before it shrinks
    size::SleeveWanted sleeve_wanted{};
};
struct CutCable {
    model::CableIndex cable{};
    std::string number; // of the balloon
    int pieces = 1;     // parallel runs
    double cut_m = 0;   // of one piece
    CutEndFigures from, to;
    double outside_mm = 8, conductor_mm = 5;
    bool section_known = true;
    bool sleeved = true; // a bare braid has no wall to grip: no heat-shrink
};
/// Every cable of origin "new", in file order.
///   cut = hole centre to hole centre - what the two ends take + allowance, rounded up to 10 mm
///   allowance = 1 % of the length, at least 5 mm: bends and trimming; common practice, no source
/// What an end takes is the distance from its hole to the bottom of its barrel, drawn from the palm's width:
/// a little short of most makers' lugs, so that a cable comes out long rather than short.
std::vector<CutCable> cut_cables(const Voice& voice, const std::vector<std::string>& numbers);
/// One end of any cable, new or kept.
CutEndFigures cut_end(const model::Cable& cable, const model::CableEnd& end, bool negative_post);

constexpr double cut_step_m = 0.010, cut_allowance_fraction = 0.01, least_cut_allowance_m = 0.005;

} // namespace stoutloom::report
