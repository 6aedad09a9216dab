#include "layout/papers/cut_list.h"

#include "layout/papers/cut_row.h"

#include <algorithm>
#include <numeric>

namespace stoutloom::layout::papers {
namespace {

constexpr double least_caption_mm = 60, most_caption_mm = 120, caption_gap_mm = 4;

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

/// How one bought length is written: where each piece's number stands, or a list where the pieces are too
/// many for that.
struct ReelLayout {
    Box bar;                     // relative to the top of the reel's place
    std::vector<double> middles; // of the numbers
    std::vector<bool> inside;
    std::vector<std::string> caption, list;
    bool left_inside = false;
    double height_mm = 0;
};

double used_length_m(const Reel& reel) {
    return std::accumulate(reel.pieces.begin(), reel.pieces.end(), 0.0,
                           [](double so_far, const ReelPiece& piece) { return so_far + piece.length_m; });
}

/// Numbers of narrow pieces stand above them, pushed aside where they would touch; false if that carries one
/// off.
bool place_numbers(ReelLayout& layout, const Reel& reel, const TextMeasure& measure) {
    constexpr double furthest_mm = 5;
    double x = layout.bar.x_mm, clear_from = 0;
    bool near = true;
    for (const ReelPiece& piece : reel.pieces) {
        const double wide = piece.length_m / reel.length_m * layout.bar.width_mm;
        const double need = measure.width_mm(piece.number, text_height_mm, Weight::bold) + 1.6;
        const bool inside = need <= wide;
        const double own = x + wide / 2, middle = inside ? own : std::max(own, clear_from + need / 2);
        if (!inside)
            clear_from = middle + need / 2 + 0.4;
        near = near && middle - own < furthest_mm && middle + need / 2 < layout.bar.right_mm() + 2;
        layout.inside.push_back(inside);
        layout.middles.push_back(middle);
        x += wide;
    }
    return near;
}

/// What is left of the bought length stands in the caption where the bar has no room for it.
std::string whole_caption(const Reel& reel) {
    return reel.left.empty() ? reel.caption : reel.caption + "; " + reel.left;
}

/// One column for all captions, as wide as the longest: all bars begin in one line and no caption wraps.
double captions_wide_mm(const std::vector<Reel>& reels, const TextMeasure& measure) {
    double wide = least_caption_mm;
    for (const Reel& reel : reels)
        wide = std::max(wide, measure.width_mm(whole_caption(reel), text_height_mm, Weight::bold) +
                                  caption_gap_mm + 0.2);
    return std::min(wide, most_caption_mm);
}

ReelLayout lay_reel(const Reel& reel, const Box& area, double captions_mm, const TextMeasure& measure) {
    ReelLayout layout;
    const double left = area.x_mm + captions_mm;
    layout.bar = {left, 0, area.right_mm() - left, 5.4};
    layout.left_inside = measure.width_mm(reel.left, text_height_mm, Weight::regular) + 5 <
                         layout.bar.width_mm * (1 - used_length_m(reel) / reel.length_m);
    const bool named = layout.left_inside || reel.left.empty();
    layout.caption = wrapped(named ? reel.caption : whole_caption(reel),
                             {.width_mm = captions_mm - caption_gap_mm, .weight = Weight::bold}, measure);
    if (!place_numbers(layout, reel, measure)) {
        std::string order;
        for (const ReelPiece& piece : reel.pieces)
            order += (order.empty() ? "" : ", ") + piece.number;
        layout.list = wrapped(order, {.width_mm = layout.bar.width_mm}, measure);
    }
    const bool above = layout.list.empty() &&
                       std::find(layout.inside.begin(), layout.inside.end(), false) != layout.inside.end();
    layout.bar.y_mm = above ? 4.4 : 1.0;
    const double pitch = line_pitch * text_height_mm;
    layout.height_mm =
        std::max(layout.bar.bottom_mm() + 2.2 + pitch * static_cast<double>(layout.list.size()),
                 layout.bar.y_mm + 2.7 + pitch * static_cast<double>(layout.caption.size()));
    return layout;
}

void draw_reel(PaperFlow& flow, const Reel& reel, double captions_mm) {
    const ReelLayout layout = lay_reel(reel, flow.content(), captions_mm, flow.measure());
    flow.need(layout.height_mm);
    Pen pen(flow.next_id("reel"), Role::rule_line, flow.measure());
    pen.told(reel.caption, reel.left);
    Box bar = layout.bar;
    bar.y_mm += flow.y_mm();
    pen.lines({.at = {flow.content().x_mm, bar.y_mm + 3.9}, .words = {}, .weight = Weight::bold},
              layout.caption);
    double x = bar.x_mm;
    for (std::size_t i = 0; i < reel.pieces.size(); ++i) {
        const double wide = reel.pieces[i].length_m / reel.length_m * bar.width_mm;
        pen.box({x, bar.y_mm, wide, bar.height_mm}, {.width_mm = thin_mm, .fill = Paint::white});
        if (layout.inside[i] || layout.list.empty())
            pen.text({.at = {layout.middles[i], layout.inside[i] ? bar.y_mm + 4.0 : bar.y_mm - 1.2},
                      .words = reel.pieces[i].number,
                      .weight = Weight::bold,
                      .anchor = Anchor::middle});
        x += wide;
    }
    if (const Box rest{x, bar.y_mm, bar.right_mm() - x, bar.height_mm}; rest.width_mm > 0.3) {
        pen.box(rest, {.width_mm = thin_mm});
        const double wide = pen.width_mm(reel.left, text_height_mm) + 3;
        const Box gap{rest.x_mm + (rest.width_mm - wide) / 2, bar.y_mm, wide, bar.height_mm};
        pen.hatch(rest, {.pitch_mm = 1.6, .width_mm = hair_mm},
                  layout.left_inside ? std::vector<Box>{gap} : std::vector<Box>{});
        if (layout.left_inside)
            pen.text(
                {.at = {gap.x_mm + wide / 2, bar.y_mm + 4.0}, .words = reel.left, .anchor = Anchor::middle});
    }
    pen.lines({.at = {bar.x_mm, bar.bottom_mm() + 3.8}, .words = {}}, layout.list);
    pen.put_on(flow.page());
    flow.advance(layout.height_mm);
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

/// The rows that have room on this sheet; returns the first that has none.
std::size_t draw_sheet_of_rows(PaperFlow& flow, const std::vector<CutRow>& rows, std::size_t first,
                               std::vector<std::string>& notes) {
    constexpr double most_air_mm = 1.6;
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
    // else is left of a full sheet goes between the rows.
    const double spare = flow.left_mm() - tall;
    const bool noted = !notes.empty() && note_height_mm(notes.front(), flow) + over_notes_mm <= spare;
    const double air =
        full && !noted ? std::clamp(spare / static_cast<double>(heights.size()) - 0.01, 0.0, most_air_mm) : 0;
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
    for (std::size_t next = 0; next < content.rows.size();)
        next = draw_sheet_of_rows(flow, content.rows, next, notes);
    flow.drop_head();
    // Under the last rows otherwise: behind a long reel plan they would have a sheet to themselves.
    notes = notes_with_room(flow, std::move(notes));
    if (!content.reels.empty()) {
        flow.subheading(words.reel_plan, 12);
        const double captions_mm = captions_wide_mm(content.reels, measure);
        for (const Reel& reel : content.reels) {
            // A further sheet says again what its bars are.
            if (lay_reel(reel, flow.content(), captions_mm, measure).height_mm > flow.left_mm()) {
                flow.new_page();
                flow.subheading(words.reel_plan, 12);
            }
            draw_reel(flow, reel, captions_mm);
        }
    }
    if (!notes.empty())
        flow.advance(over_notes_mm);
    for (const std::string& note : notes)
        flow.paragraph(note);
    return flow.done();
}

} // namespace stoutloom::layout::papers
