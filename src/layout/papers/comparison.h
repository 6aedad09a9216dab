// Before and after on one page: two verdicts, a pair of bars for every cable, what is cured, new and
// standing.
#pragma once

#include "layout/papers/sheet.h"

#include <string>
#include <vector>

namespace stoutloom::layout::papers {

/// One of the two kits.
struct ComparedKit {
    std::string when, file; // "Before", "van-original.xml"
    std::string verdict;    // "13 errors"
    bool fit = false;       // nothing at error level
};
/// One cable in both kits; a fraction below zero draws no bar (the cable is not in that kit, or carries
/// nothing all day).
struct ComparedCable {
    std::string id;                 // unique on the page
    std::string label;              // "W1  16 mm² → 95 mm²"
    double before = -1, after = -1; // load over what the cable may carry
    std::string load, heat, drop;   // "212 % → 61 %"
    std::string desc;               // for screen readers
};
struct ComparedFindings {
    std::string heading; // "Cured: 11"
    std::vector<std::string> lines;
};
struct ComparisonContent {
    Heading heading;
    ComparedKit before, after;
    std::string cables_heading, load, heat, drop; // heads of the columns
    std::string legend;                           // under the bars
    std::vector<ComparedCable> cables;            // most changed first: the last ones are left out
    std::vector<ComparedFindings> findings;
    std::vector<std::string> foot; // copper, length, what the page is not
    /// "{0} more" for what finds no room.
    std::string more;
};
/// Always one page, A4 or Letter upright. What finds no room is counted, never silently dropped.
Page build_comparison(const ComparisonContent& content, PaperSize size, const TextMeasure& measure);

} // namespace stoutloom::layout::papers
