// One stud as drawn on its card: face, bush, thread, plates in the order they go on, washer, nut and boot.
#pragma once

#include "layout/papers/stud_stacks.h"

namespace stoutloom::layout::papers {

/// Number, palm and cable stub: the stack as drawn, without words.
double drawn_mm(const StudCard& card);
/// From the stud's end down to the underside of the face, its levels that far apart.
double stack_height_mm(const StudCard& card, double pitch_mm);

/// The levels' distance, and the words beside each plate from the face outwards; none: the plates alone.
struct StackLook {
    double pitch_mm = 5.4;
    std::vector<std::vector<std::string>> words;
};
void draw_stack(Pen& pen, const StudCard& card, const Box& area, const StackLook& look);

} // namespace stoutloom::layout::papers
