// The reel plan: each bought length as a bar with the pieces that are cut from it.
#pragma once

#include "layout/papers/tables.h"

namespace stoutloom::layout::papers {

struct ReelPiece {
    std::string number;
    double length_m = 0;
};
struct Reel {
    std::string caption; // "10 m of 70 mm² RD, class C"
    double length_m = 10;
    std::vector<ReelPiece> pieces; // in the order of cutting
    std::string left;              // "3.79 m left"
};
struct ReelPlan {
    std::string heading;
    std::vector<Reel> reels;
};
/// Its heading and first bar.
double reels_least_mm(const ReelPlan& plan, const PaperFlow& flow);
/// Goes over to further sheets between two bars; each says again what its bars are.
void draw_reels(PaperFlow& flow, const ReelPlan& plan);

} // namespace stoutloom::layout::papers
