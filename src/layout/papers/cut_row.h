// One row of the cut list: the cable broken in the middle between its two true-size ends.
#pragma once

#include "layout/papers/cut_list.h"

#include <array>

namespace stoutloom::layout::papers {

constexpr double box_pitch_mm = 11.5, box_side_mm = 7.4;

/// Where things stand across a row.
struct CutColumns {
    double balloon_mm, drawing_left_mm, drawing_right_mm, text_mm, text_right_mm;
    std::array<double, 4> box_centre_mm;
};
CutColumns cut_columns(const Box& content);

struct RowPlace {
    Box content;
    double top_mm, height_mm;
    double air_mm = 0; // of the height, above what the row needs: half of it over the row
};
double cut_row_height_mm(const CutRow& row, const Box& content, const TextMeasure& measure);
void draw_cut_row(Page& page, const RowPlace& place, const CutRow& row, const TextMeasure& measure);

} // namespace stoutloom::layout::papers
