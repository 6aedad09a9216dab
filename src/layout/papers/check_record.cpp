#include "layout/papers/check_record.h"

#include <algorithm>
#include <utility>

namespace stoutloom::layout::papers {
namespace {

constexpr double least_below_heading_mm = 12, longest_kept_list_mm = 80, roomy_mm = 1.2;

/// `pad_mm`: over and under the lines of a row, at the most.
std::vector<Page> laid_out(const SectionedPaper& paper, const SheetForm& form, double pad_mm,
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
        for (TableBlock table : section.tables) {
            table.pad_mm = std::min(table.pad_mm, pad_mm);
            flow.table(std::move(table));
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

} // namespace

std::vector<Page> build_sections(const SectionedPaper& paper, const SheetForm& form,
                                 const TextMeasure& measure) {
    if (!paper.may_close)
        return laid_out(paper, form, roomy_mm, measure);
    // How wide the columns are does not depend on how close the rows stand: asked once.
    SectionedPaper fitted = paper;
    for (Section& section : fitted.sections)
        for (TableBlock& table : section.tables)
            if (!table.folds && !table.boxes) {
                fit_columns(table, content_box(form).width_mm, measure);
                table.fitted = true;
            }
    std::vector<Page> pages = laid_out(fitted, form, roomy_mm, measure);
    for (const double pad_mm : {1.0, 0.85})
        if (std::vector<Page> closer = laid_out(fitted, form, pad_mm, measure); closer.size() < pages.size())
            pages = std::move(closer);
    return pages;
}

} // namespace stoutloom::layout::papers
