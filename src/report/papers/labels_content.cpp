// A label for each end of each run of each cable, kept ones too: a kit is only keyed if the old cables are
// marked as well.
#include "report/papers/contents.h"
#include "report/papers/id_ranges.h"

namespace stoutloom::report {

layout::papers::LabelsContent labels_content(const Voice& voice) {
    const model::Harness& harness = voice.harness();
    layout::papers::LabelsContent content;
    content.page_title = voice.say(Phrase::labels);
    content.title = {.id = "title",
                     .strong = harness.drawing,
                     .terminal = harness.revision,
                     .lines = {harness.title, voice.say(Phrase::labels_print)}};
    content.caution_word = voice.say(Phrase::word_warning);
    content.caution_text = voice.say(Phrase::caution_labels);
    for (const std::size_t index : cables_to_look_up(harness)) {
        const model::Cable& cable = harness.cables[index];
        for (int run = 0; run < std::max(1, cable.parallel); ++run)
            for (const bool from : {true, false}) {
                const model::CableEnd& here = from ? cable.from : cable.to;
                const model::CableEnd& there = from ? cable.to : cable.from;
                const std::string which = cable.parallel > 1 ? "-" + std::to_string(run + 1) : "";
                content.labels.push_back(
                    {.id = cable.id + which + (from ? "-from" : "-to"),
                     .strong = cable.id + which,
                     .terminal = voice.terminal(here.at),
                     .lines = {voice.say(Phrase::to_terminal, {voice.terminal(there.at)}),
                               voice.section(cable) + (cable.colour.empty() ? "" : " " + cable.colour),
                               voice.insulation(cable)}});
            }
    }
    return content;
}

CsvTable labels_table(const Voice& voice) {
    CsvTable table{.name = "labels", .rows = {{"cable", "terminal", "line_1", "line_2"}}};
    for (const layout::papers::LabelText& label : labels_content(voice).labels)
        table.rows.push_back(
            {label.strong, label.terminal, label.lines.at(0), label.lines.at(1) + ", " + label.lines.at(2)});
    return table;
}

} // namespace stoutloom::report
