// A sheet of labels for the cable ends, on a grid told by its dimensions. The grid leaves no room for a
// frame: the first label carries the drawing's fields, the second the caution.
#pragma once

#include "layout/papers/sheet.h"

namespace stoutloom::layout::papers {

struct LabelGrid {
    double width_mm = 48.5, height_mm = 25.4; // one label
    std::size_t columns = 4, rows = 11;
    double left_mm = 8, top_mm = 8.8; // of the first label
    double pitch_x_mm = 48.5, pitch_y_mm = 25.4;
};
/// Labels of that size side by side without gaps, as many as leave 4 mm at each edge, centred.
LabelGrid grid_for(PaperSize size, double width_mm, double height_mm);

struct LabelText {
    std::string id;                 // unique: "W5-from"
    std::string strong;             // "W5"
    std::string terminal;           // "−G1.B+"
    std::vector<std::string> lines; // "to −F1.b", "95 mm² RD"
};
struct LabelsContent {
    std::vector<LabelText> labels;
    LabelText title; // repeated as the first label of each sheet
    std::string caution_word, caution_text;
    std::string page_title;
};
std::vector<Page> build_labels(const LabelsContent& content, PaperSize size, const LabelGrid& grid,
                               const TextMeasure& measure);

} // namespace stoutloom::layout::papers
