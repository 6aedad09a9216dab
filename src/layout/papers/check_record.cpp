#include "layout/papers/check_record.h"

namespace stoutloom::layout::papers {

std::vector<Page> build_sections(const SectionedPaper& paper, const SheetForm& form,
                                 const TextMeasure& measure) {
    PaperFlow flow({.sheet = form, .id = paper.id, .heading = paper.heading, .continued = paper.continued},
                   measure);
    for (const Section& section : paper.sections) {
        if (!section.heading.empty())
            flow.subheading(section.heading);
        for (const std::string& words : section.paragraphs)
            flow.paragraph(words);
        for (const std::string& words : section.bullets)
            flow.bullet(words);
        for (const TableBlock& table : section.tables) {
            flow.table(table);
            flow.advance(1.5);
        }
        for (const std::string& words : section.remarks)
            flow.paragraph(words);
    }
    return flow.done();
}

} // namespace stoutloom::layout::papers
