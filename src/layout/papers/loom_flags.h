// Flags over a loom's trunk: what leaves it where, as fully as the room allows.
#pragma once

#include "layout/papers/loom_board.h"

namespace stoutloom::layout::papers {

/// A breakout as a flag on its pole; heights count from the trunk upwards.
struct LoomFlag {
    double x_mm = 0, wide_mm = 0, tall_mm = 0, foot_mm = 0;
    std::vector<std::string> lines;
    std::size_t strong_lines = 1; // the unit's name, bold
    bool left_of_pole = false;
};
/// A breakout with its place on the paper; the number is the one in the table of the loom.
struct FlagWish {
    const Breakout* breakout;
    std::size_t number;
    double x_mm;
};
struct FlagRoom {
    double height_mm;                   // above the trunk
    double left_mm, right_mm;           // words stand between
    double widest_mm;                   // of one flag's words
    double first_mm = 0, last_mm = 1e9; // the trunk's own ends: no pole beyond
};
/// Wishes rise along x. With units and tails if there is room; else with units; else numbers alone, those of
/// near breakouts together ("12 – 18"). At the right edge of a tile the words stand left of their poles. No
/// words over words or through a pole.
std::vector<LoomFlag> loom_flags(const std::vector<FlagWish>& wishes, const FlagRoom& room,
                                 const TextMeasure& measure);
/// `trunk_mm`: where the poles stand.
void draw_loom_flags(Pen& pen, const std::vector<LoomFlag>& flags, double trunk_mm);

} // namespace stoutloom::layout::papers
