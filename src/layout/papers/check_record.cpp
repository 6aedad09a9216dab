#include "layout/papers/check_record.h"

#include <algorithm>

namespace stoutloom::layout::papers {
namespace {

constexpr double least_below_heading_mm = 12, longest_kept_list_mm = 80;

} // namespace

std::vector<Page> build_sections(const SectionedPaper& paper, const SheetForm& form,
                                 const TextMeasure& measure) {
    PaperFlow flow({.sheet = form, .id = paper.id, .heading = paper.heading, .continued = paper.continued},
                   measure);
    for (const Section& section : paper.sections) {
        // A short list is not parted: its last line would have a sheet to itself.
        double list_mm = 0;
        for (const std::string& words : section.bullets)
            list_mm += flow.bullet_height_mm(words);
        if (!section.heading.empty())
            flow.subheading(section.heading,
                            std::clamp(list_mm, least_below_heading_mm, longest_kept_list_mm));
        for (const std::string& words : section.paragraphs)
            flow.paragraph(words);
        for (const std::string& words : section.bullets)
            flow.bullet(words);
        for (const TableBlock& table : section.tables) {
            flow.table(table);
            flow.advance(after_table_mm);
        }
        if (section.reels)
            draw_reels(flow, *section.reels);
        flow.tables_in_strips(section.narrow);
        for (const std::string& words : section.remarks)
            flow.paragraph(words);
    }
    return flow.done();
}

} // namespace stoutloom::layout::papers
