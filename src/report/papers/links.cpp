#include "report/papers/links.h"

#include "report/papers/finding_groups.h"
#include "report/papers/id_ranges.h"
#include "report/words.h"

#include <algorithm>
#include <map>
#include <set>

namespace stoutloom::report {
namespace {

using layout::Document;
using layout::Element;
using layout::Page;

bool shows(const Page& page, const std::string& id) {
    return std::any_of(page.elements.begin(), page.elements.end(),
                       [&](const Element& element) { return element.id == id; });
}

/// First page of a paper with that element, as a jump; empty if there is none.
std::string place_of(const Document& document, std::string_view paper, const std::string& id) {
    for (const Page& page : document.pages)
        if (page.id.starts_with(paper) && shows(page, id))
            return page.id + "#" + id;
    return {};
}

std::string place_of_subject(const Document& document, const std::string& id) {
    for (const std::string_view paper : {"cut-list", "diagram", "stud-stacks"})
        if (std::string place = place_of(document, paper, id); !place.empty())
            return place;
    return {};
}

/// "plot-W5", "W5-from", "W5-1-from" and "W5" are all about W5; nothing for a part of the sheet itself.
std::string subject_of(const std::set<std::string, std::less<>>& known, std::string id) {
    if (id.starts_with("plot-"))
        id.erase(0, 5);
    for (;;) {
        if (known.contains(id))
            return id;
        const std::size_t dash = id.rfind('-');
        if (dash == std::string::npos)
            return {};
        id.erase(dash);
    }
}

std::set<std::string, std::less<>> subjects(const Voice& voice) {
    std::set<std::string, std::less<>> known;
    for (const model::Cable& cable : voice.harness().cables)
        known.insert(cable.id);
    for (const model::Terminal& terminal : voice.harness().terminals)
        known.insert(terminal.address);
    return known;
}

std::string zones_of(const Voice& voice, const Page& page) {
    std::string words;
    for (const model::Zone& zone : voice.harness().zones)
        if (shows(page, "zone-" + zone.id))
            words += (words.empty() ? "" : ", ") + one_line(zone.label.empty() ? zone.id : zone.label);
    return words;
}

/// Labels of the sheets of a paper that show the id, or are its own: "1a 1c".
std::string sheets(const Document& document, std::string_view paper, const std::vector<std::string>& ids,
                   std::string_view own = {}) {
    std::string words;
    for (const Page& page : document.pages)
        if (page.id.starts_with(paper) &&
            (page.id == own ||
             std::any_of(ids.begin(), ids.end(), [&](const std::string& id) { return shows(page, id); })))
            words += (words.empty() ? "" : " ") + page.label;
    return words;
}

std::vector<std::string> cable_sheets(const Voice& voice, const Document& document, std::size_t i) {
    const model::Cable& cable = voice.harness().cables[i];
    const std::string run = cable.parallel > 1 ? "-1" : "";
    std::vector<std::string> looms;
    for (const model::Segment& segment : cable.segments)
        if (!segment.loom.empty())
            looms.push_back("loom-" + segment.loom);
    return {sheets(document, "diagram", {cable.id, cable.id + "-lead"}),
            sheets(document, "cut-list", {cable.id}),
            sheets(document, "stud-stacks",
                   {voice.harness().terminal(cable.from.at).address,
                    voice.harness().terminal(cable.to.at).address}),
            sheets(document, "loom-boards", looms),
            sheets(document, "labels", {cable.id + run + "-from"}),
            sheets(document, "plots", {"plot-" + cable.id}, "plots-protection-" + cable.id)};
}

std::vector<std::string> part_sheets(const Voice& voice, const Document& document, std::size_t i) {
    const model::Device& device = voice.harness().devices[i];
    std::vector<std::string> studs;
    for (const model::TerminalIndex terminal : device.terminals)
        studs.push_back(voice.harness().terminal(terminal).address);
    return {sheets(document, "diagram", {device.id}), sheets(document, "stud-stacks", studs)};
}

/// Sorted by name, in strips down the sheet. What no entry has (a kit without looms) has no column.
layout::papers::TableBlock sorted_entries(std::vector<layout::papers::Column> columns,
                                          std::vector<std::vector<std::string>> entries) {
    for (std::size_t column = columns.size(); column-- > 1;)
        if (std::all_of(entries.begin(), entries.end(),
                        [&](const auto& entry) { return entry[column].empty(); })) {
            columns.erase(columns.begin() + static_cast<long>(column));
            for (auto& entry : entries)
                entry.erase(entry.begin() + static_cast<long>(column));
        }
    std::stable_sort(entries.begin(), entries.end(),
                     [](const auto& a, const auto& b) { return stands_before(a.front(), b.front()); });
    layout::papers::TableBlock table{.columns = std::move(columns), .rows = {}, .folds = true};
    table.pad_mm = 1.0; // looked up, never written on
    for (std::vector<std::string>& entry : entries)
        table.rows.push_back({.id = {}, .cells = std::move(entry)});
    return table;
}

} // namespace

std::string finding_row_id(std::size_t number) {
    return "finding-" + std::to_string(number);
}

void link_papers(const Voice& voice, Document& document) {
    std::map<std::string, std::string> rows; // cable to its row in the cut list
    for (const model::Cable& cable : voice.harness().cables)
        if (std::string place = place_of(document, "cut-list", cable.id); !place.empty())
            rows.emplace(cable.id, std::move(place));
    const std::vector<check::Judgement> found = findings(voice.checked());
    std::map<std::string, std::string> told; // finding to its subject
    std::map<std::string, std::string> flags;
    for (const std::vector<std::size_t>& group : alike_findings(found)) {
        const std::string row = finding_row_id(group.front() + 1);
        for (const std::string& subject : found[group.front()].subjects)
            if (std::string place = place_of_subject(document, subject); !place.empty()) {
                told.emplace(row, std::move(place));
                break;
            }
        const std::string place = place_of(document, "check-record", row);
        for (const std::size_t i : group)
            flags.emplace("flag-" + std::to_string(i + 1), place);
    }
    for (Page& page : document.pages)
        for (Element& element : page.elements) {
            if (element.role == layout::Role::balloon) {
                const auto row = rows.find(element.id.substr(0, element.id.rfind('-')));
                if (row != rows.end())
                    element.link_page = row->second;
            } else if (const auto flag = flags.find(element.id);
                       element.role == layout::Role::flag && flag != flags.end()) {
                element.link_page = flag->second;
            } else if (const auto finding = told.find(element.id);
                       page.id.starts_with("check-record") && finding != told.end()) {
                element.link_page = finding->second;
            }
        }
}

void tell_contents(const Voice& voice, Document& document) {
    const auto known = subjects(voice);
    const std::string sheet = voice.say(Phrase::diagram_diagram);
    for (Page& page : document.pages) {
        if (page.id.starts_with("diagram")) {
            page.content = zones_of(voice, page);
            if (page.title.starts_with(sheet) && page.title != sheet) { // a list of studs, or the key
                page.content = page.content.empty() ? page.title : page.title + ": " + page.content;
                page.title = sheet;
            }
            continue;
        }
        if (!page.content.empty()) // told where it was made
            continue;
        std::string first, last;
        for (const Element& element : page.elements)
            if (const std::string subject = subject_of(known, element.id); !subject.empty()) {
                first = first.empty() ? subject : first;
                last = subject;
            }
        if (!first.empty())
            page.content = first == last ? first : voice.say(Phrase::range, {first, last});
    }
}

layout::papers::SectionedPaper index_content(const Voice& voice, const Document& document) {
    using layout::papers::Column;
    std::vector<std::vector<std::string>> cables, parts;
    for (std::size_t i = 0; i < voice.harness().cables.size(); ++i) {
        std::vector<std::string> entry = cable_sheets(voice, document, i);
        entry.insert(entry.begin(), voice.harness().cables[i].id);
        // The strips have no room for the label sheets; those run in the cables' order and say from
        // where to where.
        entry.erase(entry.end() - 2);
        cables.push_back(std::move(entry));
    }
    for (std::size_t i = 0; i < voice.harness().devices.size(); ++i) {
        std::vector<std::string> entry = part_sheets(voice, document, i);
        entry.insert(entry.begin(), voice.device(static_cast<model::DeviceIndex>(i)));
        parts.push_back(std::move(entry));
    }
    const auto column = [&](Phrase phrase, double width) {
        return Column{.title = voice.say(phrase), .width_mm = width};
    };
    layout::papers::SectionedPaper paper;
    paper.id = "index";
    paper.heading = {.words = voice.say(Phrase::index), .remark = voice.say(Phrase::index_remark)};
    paper.continued = voice.say(Phrase::continued);
    layout::papers::TableBlock by_cable = sorted_entries(
        {Column{.title = voice.say(Phrase::column_cable), .width_mm = 20, .weight = layout::Weight::bold},
         column(Phrase::index_diagram, 30), column(Phrase::box_cut, 16), column(Phrase::index_studs, 24),
         column(Phrase::index_loom, 16), column(Phrase::index_plot, 16)},
        cables);
    by_cable.caption = voice.say(Phrase::index_cables);
    layout::papers::TableBlock by_part = sorted_entries(
        {Column{.title = voice.say(Phrase::index_part), .width_mm = 30, .weight = layout::Weight::bold},
         column(Phrase::index_diagram, 30), column(Phrase::index_studs, 30)},
        parts);
    by_part.caption = voice.say(Phrase::index_parts);
    paper.sections = {{.heading = {},
                       .paragraphs = {},
                       .bullets = {},
                       .tables = {std::move(by_cable), std::move(by_part)},
                       .remarks = {}}};
    return paper;
}

CsvTable index_table(const Voice& voice, const Document& document) {
    CsvTable table{.name = "index",
                   .rows = {{"id", "diagram", "cut_list", "stud_stacks", "loom_boards", "labels", "plots"}}};
    for (std::size_t i = 0; i < voice.harness().cables.size(); ++i) {
        std::vector<std::string> row = cable_sheets(voice, document, i);
        row.insert(row.begin(), voice.harness().cables[i].id);
        table.rows.push_back(std::move(row));
    }
    for (std::size_t i = 0; i < voice.harness().devices.size(); ++i) {
        const std::vector<std::string> found = part_sheets(voice, document, i);
        table.rows.push_back({voice.harness().devices[i].id, found[0], "", found[1], "", "", ""});
    }
    return table;
}

} // namespace stoutloom::report
