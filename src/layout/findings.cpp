#include "layout/findings.h"

#include "layout/hardware.h"
#include "layout/notes.h"
#include "layout/pen.h"
#include "layout/sheet_paint.h"

#include <algorithm>

namespace stoutloom::layout {
namespace {
constexpr double side_mm = 3.5; // of a box, beside its words
constexpr double head_mm = 8.5; // of a box, its title
constexpr double rule_mm = 0.6; // between two findings
constexpr double more_mm = 5.5; // the line that says where the others are
const Lettering bold{.weight = Weight::bold};

std::string counted(const DiagramContent& content) {
    const auto errors = std::count_if(content.flags.begin(), content.flags.end(),
                                      [](const FlagGlyph& flag) { return flag.error; });
    const auto warnings = static_cast<long>(content.flags.size()) - errors;
    if (content.flags.empty() && content.remarks.empty())
        return said(content.title, "none at this check");
    std::string words;
    const auto add_count = [&](const char* english, std::size_t count) {
        if (count > 0)
            words += (words.empty() ? "" : ", ") + said(content.title, english, {std::to_string(count)});
    };
    if (content.flags.empty())
        words = said(content.title, "no errors, no warnings");
    add_count("errors: {0}", static_cast<std::size_t>(errors));
    add_count("warnings: {0}", static_cast<std::size_t>(warnings));
    add_count("notes: {0}", content.remarks.size());
    return words;
}

double plain_mm(std::size_t lines) {
    return line_pitch(2.5) * static_cast<double>(lines) + 2.75;
}

/// Columns of a sheet that is all findings: what stands next goes below, or to the next column.
class Columns {
  public:
    Columns(const SheetSize& size, bool warned) {
        const Box content = content_box(size);
        const double gap = 8;
        count_ = content.width_mm > 230 ? 2 : 1;
        width_mm = (content.width_mm - gap * static_cast<double>(count_ - 1)) / static_cast<double>(count_);
        for (std::size_t c = 0; c < count_; ++c)
            left_.push_back(content.x_mm + static_cast<double>(c) * (width_mm + gap));
        top_ = content.y_mm + 12;
        const double above_title = title_box(size).y_mm - 4;
        bottom_ = warned ? above_title : content.bottom_mm();
        last_bottom_ = above_title;
        y_ = top_;
    }
    /// Room for so much, or nothing when the sheet is full. What is taller than a column stands at its top.
    std::optional<Point> take(double tall_mm) {
        while (at_ < count_) {
            const double bottom = at_ + 1 == count_ ? last_bottom_ : bottom_;
            if (y_ + tall_mm <= bottom || y_ == top_) {
                const Point found{left_[at_], y_};
                y_ += tall_mm;
                return found;
            }
            ++at_;
            y_ = top_;
        }
        return std::nullopt;
    }
    double width_mm = 0;

  private:
    std::size_t count_ = 1, at_ = 0;
    std::vector<double> left_;
    double top_ = 0, bottom_ = 0, last_bottom_ = 0, y_ = 0;
};
} // namespace

/// As the last of its box: no gap follows, but the place under its flag stands off the edge.
double Findings::Worded::last_mm() const {
    return std::max(height_mm() - 2.2, 11.8);
}

double Findings::Worded::height_mm() const {
    return std::max(11.5, 4.2 + line_pitch(2.5) * static_cast<double>(what.size() + cure.size()));
}

Findings::Findings(const DiagramContent& content, std::vector<FlagPlace> places, const TextMeasure& measure)
    : content_(content), places_(std::move(places)), measure_(measure), told_(content.flags.size(), false) {}

void Findings::begin_again(std::string sheet) {
    told_.assign(content_.flags.size(), false);
    remarks_told_ = 0;
    sheet_ = std::move(sheet);
}

bool Findings::all_told() const {
    return std::find(told_.begin(), told_.end(), false) == told_.end();
}

double Findings::text_left_mm(double left) const {
    double text_left = left + 13.5;
    for (const FlagGlyph& flag : content_.flags)
        text_left = std::max(text_left, left + flag_width_mm(flag) + 3);
    return text_left;
}

Findings::Worded Findings::worded(std::size_t flag, double width_mm) const {
    const FlagGlyph& glyph = content_.flags[flag];
    const double width = width_mm - text_left_mm(0);
    Worded made;
    made.what = wrapped(measure_, glyph.what, width, {}, 0);
    if (!glyph.cure.empty())
        made.cure = wrapped(measure_, said(content_.title, "Cure: {0}", {glyph.cure}), width, bold, 0);
    return made;
}

void Findings::write(Element& to, Point at, double width_mm, std::size_t flag, const Worded& finding) const {
    add(to, line(at, {at.x_mm + width_mm, at.y_mm}, pen(0.25)));
    add_flag(to, {at.x_mm, at.y_mm + 1.6}, content_.flags[flag], false, measure_);
    if (!places_[flag].field.empty())
        add(to,
            written(measure_, {at.x_mm + 0.3, at.y_mm + 11}, places_[flag].field, {.paint = Paint::grey}));
    const double left = text_left_mm(at.x_mm);
    double baseline = at.y_mm + 4.4;
    for (const std::string& each : finding.what) {
        add(to, written(measure_, {left, baseline}, each));
        baseline += line_pitch(2.5);
    }
    for (const std::string& each : finding.cure) {
        add(to, written(measure_, {left, baseline}, each, bold));
        baseline += line_pitch(2.5);
    }
}

std::vector<std::string> Findings::note_lines(std::size_t remark, double width_mm) const {
    return wrapped(measure_, said(content_.title, "Note: {0}", {content_.remarks[remark]}), width_mm, {}, 0);
}

/// A rule and the lines under it; how tall that is.
double Findings::write_plain(Element& to, Point at, double width_mm,
                             const std::vector<std::string>& lines) const {
    add(to, line(at, {at.x_mm + width_mm, at.y_mm}, pen(0.25)));
    double baseline = at.y_mm + 4.4;
    for (const std::string& each : lines) {
        add(to, written(measure_, {at.x_mm, baseline}, each));
        baseline += line_pitch(2.5);
    }
    return plain_mm(lines.size());
}

/// Under the flagged findings: the notes as far as there is room, and what was not checked.
void Findings::write_notes(Element& to, const Box& box, double y) {
    const double left = box.x_mm + side_mm;
    const double width = box.width_mm - 2 * side_mm;
    double reserved = 0;
    std::vector<std::vector<std::string>> unchecked;
    for (const std::string& note : content_.notes) {
        unchecked.push_back(wrapped(measure_, note, width, {}, 0));
        reserved += plain_mm(unchecked.back().size());
    }
    for (; remarks_told_ < content_.remarks.size(); ++remarks_told_) {
        const std::vector<std::string> lines = note_lines(remarks_told_, width);
        const double more = remarks_told_ + 1 < content_.remarks.size() ? plain_mm(1) : 0;
        if (y + plain_mm(lines.size()) + more + reserved > box.bottom_mm() - 1)
            break;
        y += write_plain(to, {left, y}, width, lines);
    }
    if (const std::size_t left_over = content_.remarks.size() - remarks_told_;
        left_over > 0 && y + plain_mm(1) < box.bottom_mm() - 1)
        y += write_plain(to, {left, y}, width,
                         {sheet_.empty()
                              ? said(content_.title, "and {0} more notes in the record of the check",
                                     {std::to_string(left_over)})
                              : said(content_.title, "notes: {0} more on sheet {1}",
                                     {std::to_string(left_over), sheet_})});
    for (const std::vector<std::string>& lines : unchecked)
        if (y + plain_mm(lines.size()) < box.bottom_mm() - 1)
            y += write_plain(to, {left, y}, width, lines);
}

Element Findings::first_box(const Box& box) {
    Element made = titled_box("findings", box, said(content_.title, "Findings"), counted(content_), measure_);
    const double width = box.width_mm - 2 * side_mm;
    double y = box.y_mm + head_mm;
    std::size_t shown = 0;
    for (; shown < content_.flags.size(); ++shown) {
        const Worded finding = worded(shown, width);
        const bool last = shown + 1 == content_.flags.size();
        if (y + (last ? finding.last_mm() : finding.height_mm() + more_mm) > box.bottom_mm() - 1)
            break;
        write(made, {box.x_mm + side_mm, y}, width, shown, finding);
        told_[shown] = true;
        y += finding.height_mm() + rule_mm;
    }
    if (shown < content_.flags.size()) {
        const std::string left = std::to_string(content_.flags.size() - shown);
        add(made, line({box.x_mm + side_mm, y}, {box.right_mm() - side_mm, y}, pen(0.25)));
        const std::string more = sheet_.empty()
                                     ? said(content_.title, "and {0} more: next sheets", {left})
                                     : said(content_.title, "and {0} more: sheet {1}", {left, sheet_});
        const double text_left = text_left_mm(box.x_mm + side_mm);
        add(made, written(measure_, {text_left, y + 4.2},
                          shortened(measure_, more, box.right_mm() - side_mm - text_left, {})));
    } else {
        write_notes(made, box, y);
    }
    seal(made);
    return made;
}

std::optional<Element> Findings::further_box(const std::string& id, const Box& box,
                                             const std::vector<std::size_t>& flagged_here) {
    std::vector<std::size_t> order;
    for (const bool here : {true, false})
        for (std::size_t flag = 0; flag < told_.size(); ++flag)
            if (!told_[flag] &&
                here == (std::find(flagged_here.begin(), flagged_here.end(), flag) != flagged_here.end()))
                order.push_back(flag);
    const std::string aside =
        sheet_.empty() ? std::string{} : said(content_.title, "all: sheet {0}", {sheet_});
    Element made = titled_box(id, box, said(content_.title, "Findings, continued"), aside, measure_);
    const double width = box.width_mm - 2 * side_mm;
    double y = box.y_mm + head_mm;
    bool any = false;
    for (const std::size_t flag : order) {
        const Worded finding = worded(flag, width);
        if (y + finding.last_mm() > box.bottom_mm() - 1)
            continue; // a shorter one may still go under
        write(made, {box.x_mm + side_mm, y}, width, flag, finding);
        told_[flag] = any = true;
        y += finding.height_mm() + rule_mm;
    }
    if (!any)
        return std::nullopt;
    seal(made);
    return made;
}

std::vector<Page> Findings::sheets(const SheetSize& size, const std::string& number) const {
    std::vector<Page> pages;
    const bool warned = !content_.cautions.empty();
    Columns columns(size, warned);
    const auto begin = [&] {
        Page page;
        page.id =
            "diagram-findings" + (pages.empty() ? std::string{} : "-" + std::to_string(pages.size() + 1));
        page.title = said(content_.title, "Wiring diagram, findings");
        page.width_mm = size.width_mm;
        page.height_mm = size.height_mm;
        page.elements.push_back(frame_element(size, measure_));
        const Box content = content_box(size);
        Element head = element(Role::furniture, "findings-head");
        const std::string title = said(content_.title, pages.empty() ? "Findings" : "Findings, continued");
        add(head, written(measure_, {content.x_mm, content.y_mm + 6}, title,
                          {.height_mm = 3.5, .weight = Weight::bold}));
        add(head, written(measure_, {content.right_mm(), content.y_mm + 6}, counted(content_),
                          {.anchor = Anchor::right}));
        seal(head);
        page.elements.push_back(std::move(head));
        columns = Columns(size, warned);
        pages.push_back(std::move(page));
    };
    begin();
    const auto place = [&](double tall_mm) {
        std::optional<Point> at = columns.take(tall_mm);
        if (!at) {
            begin();
            at = columns.take(tall_mm);
        }
        return *at;
    };
    for (std::size_t flag = 0; flag < content_.flags.size(); ++flag) {
        const Worded finding = worded(flag, columns.width_mm);
        const Point at = place(finding.height_mm() + rule_mm);
        Element row = element(Role::panel, "told-" + content_.flags[flag].number);
        row.title = content_.flags[flag].what;
        row.link_page = places_[flag].link;
        write(row, at, columns.width_mm, flag, finding);
        seal(row);
        pages.back().elements.push_back(std::move(row));
    }
    std::vector<std::string> plain;
    for (const std::string& remark : content_.remarks)
        plain.push_back(said(content_.title, "Note: {0}", {remark}));
    plain.insert(plain.end(), content_.notes.begin(), content_.notes.end());
    for (std::size_t i = 0; i < plain.size(); ++i) {
        const auto lines = wrapped(measure_, plain[i], columns.width_mm, {}, 0);
        const Point at = place(plain_mm(lines.size()));
        Element row = element(Role::panel, "note-" + std::to_string(i + 1));
        row.title = plain[i];
        write_plain(row, at, columns.width_mm, lines);
        seal(row);
        pages.back().elements.push_back(std::move(row));
    }
    const Box title = title_box(size);
    for (std::size_t i = 0; i < pages.size(); ++i) {
        const std::string letter = pages.size() > 1 ? std::string(1, static_cast<char>('a' + i % 26)) : "";
        pages[i].label = number + letter;
        const Box content = content_box(size);
        if (warned)
            pages[i].elements.push_back(
                caution_element({content.x_mm, title.y_mm, std::min(84.0, title.x_mm - 4 - content.x_mm),
                                 content.bottom_mm() + 1 - title.y_mm},
                                content_.cautions, content_.title, measure_));
        pages[i].elements.push_back(title_element(size, content_.title, pages[i].label, measure_));
    }
    return pages;
}

} // namespace stoutloom::layout
