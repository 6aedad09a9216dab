// The record of check and the shopping list: headed sections of sentences and tables that flow over pages.
#pragma once

#include "layout/papers/reel_bars.h"

#include <optional>

namespace stoutloom::layout::papers {

struct Section {
    std::string heading;
    std::vector<std::string> paragraphs;
    std::vector<std::string> bullets;
    std::vector<TableBlock> tables;
    std::optional<ReelPlan> reels = {};    // under the tables
    std::vector<TableBlock> narrow = {};   // tables under that, side by side
    std::vector<std::string> remarks = {}; // under the tables
};
struct SectionedPaper {
    std::string id; // of the first page
    Heading heading;
    std::string continued;
    std::vector<Section> sections;
    bool may_close = false; // rows stand closer where that saves a sheet
};
std::vector<Page> build_sections(const SectionedPaper& paper, const SheetForm& form,
                                 const TextMeasure& measure);

} // namespace stoutloom::layout::papers
