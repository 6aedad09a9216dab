// A stud seen from above: how its lugs fan out so that every barrel clears its neighbours.
#pragma once

#include "layout/diagram.h"
#include "layout/papers/lug.h"

namespace stoutloom::layout::papers {

/// One lug of the fan; dimensions are those of the part.
struct FanLug {
    EndShape end;
    double outside_mm = 10; // of the cable; 0: the tab of a fuse-link, which points to its other stud
    Flow flow = Flow::feed;
    std::string words; // at the end of the cable
    int towards = 0;   // lugs of small figures lie at the left of those of large ones: where their runs go
};

/// In the order of the lugs. Angles count from the right, counter-clockwise; the middle of the fan points up.
struct Fan {
    std::vector<double> angle_deg;
    struct Gap {
        std::size_t left, right; // lugs beside each other
        int degrees;
    };
    std::vector<Gap> gaps; // none where the lugs do not clear
    bool clears = true;    // false: so many or so broad that barrels meet wherever they are turned
};
Fan fan_of(const std::vector<FanLug>& lugs);
/// The least angle at which two barrels and their cables clear each other by 1 mm, in steps of 5 degrees.
int least_angle_deg(const FanLug& one, const FanLug& other);

constexpr double plan_scale = 0.5;

/// The picture at half size with its words, about the middle of the stud.
struct LugPlan {
    Fan fan;
    double ring_mm = 0; // the arc that carries the angles
    struct Tag {
        Box box; // about the middle of the stud
        std::string words;
        Weight weight = Weight::regular;
    };
    std::vector<Tag> tags;
    Box bounds;
};
LugPlan lay_plan(const std::vector<FanLug>& lugs, double stud_mm, const TextMeasure& measure);
/// Draws it with the stud's middle at `centre`.
struct StudMiddle {
    Point centre;
    double diameter_mm;
};
void draw_plan(Pen& pen, const std::vector<FanLug>& lugs, const LugPlan& plan, const StudMiddle& stud);

} // namespace stoutloom::layout::papers
