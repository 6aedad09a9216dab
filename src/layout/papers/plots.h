// Plots as rows of bars on a common axis: temperatures, drops one after the other, the battery's balance.
#pragma once

#include "layout/papers/tables.h"

namespace stoutloom::layout::papers {

/// A further thing that a bar stands for.
struct BarMember {
    std::string id, name;
};
struct Bar {
    std::string id;            // unique on the paper
    std::string label, words;  // left of the bars; right of them
    double from = 0, to = 0;   // on the axis
    bool hatched = false;      // beyond its limit
    bool strong = false;       // a total
    bool hollow = false;       // on the way back
    bool torn = false;         // goes on beyond the scale
    std::vector<double> posts; // limits of this row
    std::string desc;
    std::string brief = {}; // the words where a long chart stands in two strips; empty: the same
    std::vector<BarMember> also = {};
};
struct AxisLine {
    double value = 0;
    std::string words; // told in the legend line under the chart
};
struct BarChart {
    std::string heading, remark;
    std::vector<Bar> bars;
    std::vector<AxisLine> lines; // over all rows, dash-dot
    std::string unit;
    bool from_zero = true; // a line at zero
    std::string legend;
};
struct PlotsContent {
    std::vector<BarChart> charts;
    std::string heading, remark, continued;
};
/// A4 or Letter, landscape.
std::vector<Page> build_plots(const PlotsContent& content, PaperSize size, const TextMeasure& measure);

/// Axis borders and step that hold [low, high] in at most ten steps of 1, 2 or 5 times a power of ten.
struct AxisScale {
    double low, high, step;
    int decimals;
};
AxisScale axis_for(double low, double high);

} // namespace stoutloom::layout::papers
