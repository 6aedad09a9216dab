#include "layout/papers/cut_list.h"

#include "layout/papers/cut_row.h"

#include <algorithm>

namespace stoutloom::layout::papers {
namespace {

/// Column heads over the four boxes and the rule under them.
double draw_columns(PaperFlow& flow, const CutListWords& words) {
    Pen pen(flow.next_id("head"), Role::rule_line, flow.measure());
    const Box& area = flow.content();
    const CutColumns columns = cut_columns(area);
    const std::vector<std::string> titles{words.cut, words.crimp, words.sleeve, words.fit};
    // Long words take turns on two lines, each with the room of two boxes.
    const bool wide = std::any_of(titles.begin(), titles.end(), [&](const std::string& title) {
        return flow.measure().width_mm(title, text_height_mm, Weight::regular) > box_pitch_mm - 0.8;
    });
    for (std::size_t i = 0; i < titles.size(); ++i) {
        const double up = wide && i % 2 == 0 ? 4.2 : 0;
        // The last stands against the edge.
        const double room = (wide ? 2 : 1) * box_pitch_mm - 0.8;
        const double half = flow.measure().width_mm(titles[i], text_height_mm, Weight::regular) / 2;
        const double middle = std::min(columns.box_centre_mm[i], area.right_mm() - half);
        pen.text({.at = {middle, area.y_mm + 8.8 - up},
                  .words = shortened(titles[i], {.width_mm = room}, flow.measure()),
                  .anchor = Anchor::middle});
    }
    pen.line({area.x_mm, flow.y_mm()}, {area.right_mm(), flow.y_mm()}, thin_mm);
    pen.put_on(flow.page());
    return 0;
}

/// Right end of the print check: left of the heads over the boxes.
double print_check_end_mm(const Box& content) {
    return cut_columns(content).box_centre_mm[0] - box_pitch_mm / 2 - 4;
}

void draw_heading_bar(PaperFlow& flow, const CutListWords& words) {
    Pen pen(flow.next_id("print-check"), Role::rule_line, flow.measure());
    const double right = print_check_end_mm(flow.content());
    draw_print_check(pen, {.at = {right - 50, flow.content().y_mm + 5.2}, .words = words.print_check});
    pen.put_on(flow.page());
}

constexpr double over_notes_mm = 2;

double note_height_mm(const std::string& note, const PaperFlow& flow) {
    return lines_height_mm(wrapped(note, {.width_mm = flow.content().width_mm}, flow.measure()).size(),
                           text_height_mm) +
           1.8;
}

/// As many of the notes as have room on this sheet; those that stay come back.
std::vector<std::string> notes_with_room(PaperFlow& flow, std::vector<std::string> notes) {
    bool first = true;
    while (!notes.empty() &&
           note_height_mm(notes.front(), flow) + (first ? over_notes_mm : 0) <= flow.left_mm()) {
        if (first)
            flow.advance(over_notes_mm);
        first = false;
        flow.paragraph(notes.front());
        notes.erase(notes.begin());
    }
    return notes;
}

/// The rows that have room on this sheet; returns the first that has none. `after_mm`: the least of what
/// follows the last row.
std::size_t draw_sheet_of_rows(PaperFlow& flow, const std::vector<CutRow>& rows, std::size_t first,
                               std::vector<std::string>& notes, double after_mm) {
    constexpr double most_air_mm = 1.6, most_spare_mm = 15;
    std::vector<double> heights;
    double tall = 0;
    for (std::size_t i = first; i < rows.size(); ++i) {
        const double height = cut_row_height_mm(rows[i], flow.content(), flow.measure());
        if (!heights.empty() && tall + height > flow.left_mm())
            break;
        heights.push_back(height);
        tall += height;
    }
    const std::size_t past = first + heights.size();
    const bool full = past < rows.size();
    // The notes stand at the foot of the first sheets whose rows leave room: read before much is cut. What
    // else is left of a sheet goes between the rows.
    const double spare = flow.left_mm() - tall;
    const bool noted = !notes.empty() && note_height_mm(notes.front(), flow) + over_notes_mm <= spare;
    const bool ends = full || (spare < after_mm && spare < most_spare_mm);
    const double air =
        ends && !noted ? std::clamp(spare / static_cast<double>(heights.size()) - 0.01, 0.0, most_air_mm) : 0;
    for (std::size_t i = first; i < past; ++i) {
        const double height = heights[i - first] + air;
        flow.need(height);
        draw_cut_row(flow.page(),
                     {.content = flow.content(), .top_mm = flow.y_mm(), .height_mm = height, .air_mm = air},
                     rows[i], flow.measure());
        flow.advance(height);
    }
    if (full) {
        notes = notes_with_room(flow, std::move(notes));
        flow.new_page();
    }
    return past;
}

} // namespace

void draw_print_check(Pen& pen, const PrintCheck& check) {
    const double x = check.at.x_mm, y = check.at.y_mm;
    pen.text({.at = {x - 3, y + text_height_mm / 2}, .words = check.words, .anchor = Anchor::right});
    // 50 mm between the middles of the end strokes.
    pen.line({x, y}, {x + 50, y}, thin_mm);
    for (int i = 0; i <= 5; ++i) {
        const double tall = i % 5 == 0 ? 1.8 : 1.0;
        pen.line({x + 10.0 * i, y - tall}, {x + 10.0 * i, y + (i % 5 == 0 ? tall : 0)}, rule_mm);
    }
}

double print_check_width_mm(const std::string& words, const TextMeasure& measure) {
    return 50 + 3 + measure.width_mm(words, text_height_mm, Weight::regular);
}

std::vector<Page> build_cut_list(const CutListContent& content, PaperSize size, const TextMeasure& measure) {
    const CutListWords& words = content.words;
    const Box area = content_box({.size = size, .portrait = false});
    const double free =
        area.right_mm() - print_check_end_mm(area) + print_check_width_mm(words.print_check, measure) + 4;
    PaperFlow flow({.sheet = {.size = size, .portrait = false},
                    .id = "cut-list",
                    .heading = {.words = words.heading, .remark = words.remark, .keep_free_mm = free},
                    .continued = words.continued},
                   measure);
    const auto head = [&words](PaperFlow& page) {
        draw_heading_bar(page, words);
        return draw_columns(page, words);
    };
    flow.set_head(head);
    flow.draw_head();
    if (content.rows.empty()) {
        flow.advance(3);
        flow.paragraph(words.none);
    }
    std::vector<std::string> notes = words.notes;
    const double after_mm =
        content.reels.empty() ? 1e9 : reels_least_mm({words.reel_plan, content.reels}, flow);
    for (std::size_t next = 0; next < content.rows.size();)
        next = draw_sheet_of_rows(flow, content.rows, next, notes, after_mm);
    flow.drop_head();
    // Under the last rows otherwise: behind a long reel plan they would have a sheet to themselves.
    notes = notes_with_room(flow, std::move(notes));
    if (!content.reels.empty())
        draw_reels(flow, {.heading = words.reel_plan, .reels = content.reels});
    if (!notes.empty())
        flow.advance(over_notes_mm);
    for (const std::string& note : notes)
        flow.paragraph(note);
    return flow.done();
}

} // namespace stoutloom::layout::papers
