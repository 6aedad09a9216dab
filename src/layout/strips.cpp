// What stands at the foot of every page of the diagram: the strip under the first, the caution and what found
// no room under the others, the key on a page of its own where the sheets are small.
#include "layout/strips.h"

#include "layout/centring.h"
#include "layout/devices.h"
#include "layout/hardware.h"
#include "layout/pen.h"
#include "layout/stroke_path.h"

#include <algorithm>
#include <charconv>
#include <optional>
#include <set>

namespace stoutloom::layout {
namespace {
/// Of "1b": 1.
std::size_t leading_number(const std::string& label) {
    std::size_t number = 0;
    std::from_chars(label.data(), label.data() + label.size(), number);
    return number;
}
std::size_t last_number(const std::vector<PlacedSheet>& sheets) {
    std::size_t last = 0;
    for (const PlacedSheet& sheet : sheets)
        last = std::max(last, leading_number(sheet.arrangement.share.label));
    return last;
}
} // namespace

namespace {
/// Where the drawing shows what a flag would hang on.
std::optional<Point> shown_at(const PlacedSheet& sheet, const DiagramContent& content,
                              const std::string& subject) {
    const Arrangement& all = sheet.arrangement;
    for (const CableNote& note : sheet.notes.cables)
        if (note.has_balloon && content.cables[note.cable].id == subject)
            return note.balloon;
    for (const PlacedStud& stud : all.studs)
        if (stud.id == subject)
            return stud_end(stud);
    for (const PlacedUnit& unit : all.units)
        if (unit.glyph->id == subject)
            return Point{unit.box.x_mm + unit.box.width_mm / 2,
                         unit.upper ? all.upper_mm : unit.box.y_mm + unit.box.height_mm / 2};
    for (const PlacedBed& bed : all.beds)
        if (bed.glyph->id == subject)
            return Point{(bed.left_mm + bed.right_mm) / 2, bed.top_mm};
    return std::nullopt;
}
} // namespace

/// Of a flag that found no room, where it would hang: the field of the sheet then names the place.
std::vector<FlagPlace> Strips::flag_places() const {
    std::vector<FlagPlace> made(content_.flags.size());
    const auto field_of = [&](const PlacedSheet& sheet, Point at) {
        const std::string field = grid_reference(size_, at);
        return sheets_.size() > 1 ? sheet.arrangement.share.label + " " + field : field;
    };
    for (const PlacedSheet& sheet : sheets_)
        for (const FlagNote& note : sheet.notes.flags)
            if (note.placed && made[note.flag].field.empty()) {
                std::string link = "diagram-";
                link.append(sheet.arrangement.share.label).append("#flag-");
                link.append(content_.flags[note.flag].number);
                made[note.flag] = {field_of(sheet, {note.box.x_mm + 5, note.box.y_mm + 3}), link};
            }
    for (std::size_t f = 0; f < made.size(); ++f)
        for (const PlacedSheet& sheet : sheets_)
            for (const std::string& id : {content_.flags[f].subject, content_.flags[f].instead})
                if (const auto at = shown_at(sheet, content_, id); at && made[f].field.empty())
                    made[f].field = field_of(sheet, *at);
    return made;
}

/// By zone, the sheets that show something of it: "1b–1d, 2".
std::vector<std::string> Strips::zone_sheets() const {
    std::vector<std::string> made;
    for (std::size_t z = 0; z < content_.zones.size(); ++z) {
        std::vector<std::pair<std::size_t, std::string>> pages; // in order, with the place of each
        std::size_t place = 0;
        for (const PlacedSheet& sheet : sheets_) {
            place += sheet.under ? 0 : 1;
            for (const Panel& panel : sheet.arrangement.share.panels)
                if (panel.zone == z && (pages.empty() || pages.back().first != place))
                    pages.emplace_back(place, sheet.arrangement.share.label);
        }
        std::string words;
        for (std::size_t i = 0; i < pages.size(); ++i) {
            std::size_t last = i;
            while (last + 1 < pages.size() && pages[last + 1].first == pages[last].first + 1 &&
                   pages[last + 1].second.front() == pages[i].second.front())
                ++last;
            words += (words.empty() ? "" : ", ") + pages[i].second;
            if (last > i)
                words += (last > i + 1 ? "–" : ", ") + pages[last].second;
            i = last;
        }
        made.push_back(words);
    }
    return made;
}

std::vector<std::string> Strips::unlabelled(const Drawings& here) const {
    std::vector<std::string> made;
    for (const PlacedSheet* sheet : here)
        for (const CableNote& note : sheet->notes.cables) {
            const RunGlyph& run = content_.cables[note.cable];
            std::string words = run.id + "  " + run.line1;
            if (!run.gauge_note.empty())
                words += "  " + run.gauge_note;
            if (!run.line3.empty())
                words += "  " + run.line3;
            if ((!note.has_label || note.short_label) && !note.again)
                made.push_back(words);
        }
    return made;
}

StripContent Strips::strip_content(const Drawings& here) const {
    StripContent strip;
    strip.content = &content_;
    std::set<double> sections;
    for (const RunGlyph& run : content_.cables) {
        if (run.flow == Flow::control)
            continue;
        (run.flow == Flow::feed ? strip.feed : strip.back) = true;
        (run.kept ? strip.kept : strip.fresh) = true;
        strip.braid = strip.braid || run.braid;
        strip.clamped = strip.clamped || is_clamped(run);
        if (run.section_mm2 > 0) // one that is still to be chosen has no width
            sections.insert(run.section_mm2);
        if (run.gauge) {
            (run.gauge->short_duty ? strip.short_duty : strip.all_day) = true;
            strip.over = strip.over || run.gauge->fraction > 1;
        }
    }
    strip.sections_mm2.assign(sections.begin(), sections.end());
    strip.tags = sheets_.size() > 1;
    for (const PlacedSheet& each : sheets_) {
        strip.tags = strip.tags || !each.list.rows.empty();
        for (const PlacedStud& stud : each.arrangement.studs) {
            strip.probes = strip.probes || !stud.glyph->probe.empty();
            strip.tags = strip.tags || std::any_of(stud.lugs.begin(), stud.lugs.end(),
                                                   [](const PlacedLug& lug) { return lug.off_sheet; });
        }
    }
    strip.unlabelled = unlabelled(here);
    strip.zone_sheets = zone_sheets();
    return strip;
}

namespace {
constexpr double least_findings_mm = 30;
} // namespace

double Strips::spare_mm(const PlacedSheet& lowest) const {
    const bool with_strip = lowest.arrangement.share.first && !lowest.arrangement.share.control;
    if (!size_.has_strip || with_strip || !lowest.list.rows.empty())
        return 0;
    const double spare = lowest.arrangement.bottom_mm - snapped(reach_of(lowest, measure_).low_mm + 6);
    return spare < least_findings_mm + 4 ? 0 : spare;
}

/// Under a sheet that carries no strip: the caution, which every printed sheet needs, and beside it the
/// cables that found no room or more findings. What a small sheet does not hold goes to `left_over`.
void Strips::add_foot(Page& page, const Drawings& here, Findings& findings,
                      std::vector<std::string>& left_over) const {
    const Box title = title_box(size_);
    const Box content = content_box(size_);
    double top = here.back()->arrangement.bottom_mm + 4;
    std::vector<std::size_t> flagged;
    for (const PlacedSheet* sheet : here)
        for (const FlagNote& note : sheet->notes.flags)
            if (note.placed)
                flagged.push_back(note.flag);
    const auto tell = [&](const std::string& id, const Box& box) {
        if (std::optional<Element> more = findings.further_box(id, box, flagged))
            page.elements.push_back(std::move(*more));
    };
    if (const double tall = title.y_mm - 4 - top; tall >= least_findings_mm - 1) {
        // The drawing leaves room for a row of findings.
        const double wide = (content.width_mm - 8) / 3;
        for (int i = 0; i < 3; ++i)
            tell("findings-" + std::to_string(i + 1), {content.x_mm + i * (wide + 4), top, wide, tall});
        top = title.y_mm;
    }
    Box free{content.x_mm, top, title.x_mm - 4 - content.x_mm, content.bottom_mm() + 1 - top};
    const std::vector<std::string> lines = unlabelled(here);
    if (!content_.cautions.empty()) {
        const bool both = free.width_mm > 140;
        const double wide = both ? 84 : free.width_mm;
        page.elements.push_back(caution_element({free.x_mm, top, wide, free.height_mm}, content_.cautions,
                                                content_.title, measure_));
        free.x_mm += wide + 4;
        free.width_mm -= wide + 4;
    }
    if (free.width_mm < 60)
        left_over.insert(left_over.end(), lines.begin(), lines.end());
    else if (!lines.empty())
        page.elements.push_back(cable_list_element(free, lines, content_.title, measure_));
    else if (size_.has_strip)
        tell("findings", free);
}

/// Small sheets have no room for the strip: it follows on a page of its own.
Page Strips::key_page(const std::vector<std::string>& lines, Findings& findings) const {
    Page page;
    page.id = "diagram-key";
    page.title = said(content_.title, "Wiring diagram, key and findings");
    // A number of its own, after the sheets that it explains: it means the same in every language.
    page.label = std::to_string(last_number(sheets_) + 1);
    page.width_mm = size_.width_mm;
    page.height_mm = size_.height_mm;
    page.elements.push_back(frame_element(size_, measure_));
    const Box title = title_box(size_);
    const Box content = content_box(size_);
    const double half = (content.width_mm - 4) / 2;
    const double right = content.x_mm + half + 4;
    const double foot = title.y_mm - 4;
    StripContent strip = strip_content({&sheets_.front()});
    strip.unlabelled.clear();
    StripBoxes boxes;
    const double key = 178;
    boxes.plan = {content.x_mm, content.y_mm, content.width_mm - key - 4, 50};
    boxes.reading = {content.right_mm() - key, content.y_mm, key, 50};
    boxes.caution = {content.x_mm, content.y_mm + 54, half, 30};
    const double low = content.y_mm + 88;
    if (!lines.empty())
        page.elements.push_back(
            cable_list_element({content.x_mm, low, half, foot - low}, lines, content_.title, measure_));
    const bool beside = !lines.empty() || !content_.cautions.empty();
    const double from = beside ? right : content.x_mm;
    boxes.findings = {from, content.y_mm + 54, content.right_mm() - from, foot - content.y_mm - 54};
    add_strip(page, boxes, strip, findings, measure_);
    page.elements.push_back(title_element(size_, content_.title, page.label, measure_));
    return page;
}

/// The panels under the pages; one page may carry several drawings.
void Strips::add_feet(std::vector<Page>& pages, Findings& findings) const {
    const Box title = title_box(size_);
    const Box content = content_box(size_);
    std::vector<std::string> left_over;
    std::size_t at = 0;
    for (Page& page : pages) {
        std::vector<const PlacedSheet*> here{&sheets_[at++]};
        while (at < sheets_.size() && sheets_[at].under)
            here.push_back(&sheets_[at++]);
        const Arrangement& first = here.front()->arrangement;
        if (size_.has_strip && first.share.first && !first.share.control) {
            const double top = first.bottom_mm + 4;
            const double low = content.bottom_mm() + 1;
            const bool warned = !content_.cautions.empty();
            StripBoxes boxes;
            boxes.plan = {content.x_mm, top, 100, warned ? 42 : low - top};
            boxes.caution = {content.x_mm, top + 46, 100, low - top - 46};
            boxes.findings = {content.x_mm + 104, top, title.x_mm - 4 - content.x_mm - 104, low - top};
            boxes.reading = {title.x_mm, top, content.right_mm() - title.x_mm, title.y_mm - 4 - top};
            const StripContent strip = strip_content(here);
            // A few cables without a label are listed under the findings, many in the place of the key plan.
            constexpr std::size_t few = 4;
            if (const std::size_t count = strip.unlabelled.size(); count > 0 && count <= few) {
                const double tall = 10 + 2 * line_pitch(2.5) * static_cast<double>(count);
                boxes.list = boxes.findings;
                boxes.list.height_mm = tall;
                boxes.list.y_mm = low - tall;
                boxes.findings.height_mm -= tall + 4;
            }
            add_strip(page, boxes, strip, findings, measure_);
        } else {
            add_foot(page, here, findings, left_over);
        }
        page.elements.push_back(title_element(size_, content_.title, page.label, measure_));
    }
    if (!size_.has_strip && !sheets_.empty())
        pages.push_back(key_page(left_over, findings));
}

bool Strips::hold_all(std::vector<Page> pages) const {
    Findings findings(content_, flag_places(), measure_);
    add_feet(pages, findings);
    return findings.all_told();
}

/// Whether the boxes hold every finding shows only when they are written: then they are written again, and
/// say on which sheet all of it stands.
void Strips::add_to(std::vector<Page>& pages) const {
    Findings findings(content_, flag_places(), measure_);
    const std::vector<Page> bare = pages;
    add_feet(pages, findings);
    if (findings.all_told())
        return;
    std::size_t last = 0;
    for (const Page& page : pages)
        last = std::max(last, leading_number(page.label));
    const std::string number = std::to_string(last + 1);
    pages = bare;
    const std::vector<Page> all = findings.sheets(size_, number);
    findings.begin_again(all.front().label);
    add_feet(pages, findings);
    pages.insert(pages.end(), all.begin(), all.end());
}

} // namespace stoutloom::layout
