#include "layout/papers/cut_list.h"

#include "layout/papers/cut_row.h"

#include <algorithm>
#include <numeric>

namespace stoutloom::layout::papers {
namespace {

constexpr double reel_pitch_mm = 11.5, reel_caption_mm = 66;

/// Column heads over the four boxes and the rule under them.
double draw_columns(PaperFlow& flow, const CutListWords& words) {
    Pen pen(flow.next_id("head"), Role::rule_line, flow.measure());
    const Box& area = flow.content();
    const CutColumns columns = cut_columns(area);
    const std::vector<std::string> titles{words.cut, words.crimp, words.sleeve, words.fit};
    for (std::size_t i = 0; i < titles.size(); ++i)
        pen.text({.at = {columns.box_centre_mm[i], area.y_mm + 8.8},
                  .words = shortened(titles[i], {.width_mm = box_pitch_mm - 0.8}, flow.measure()),
                  .anchor = Anchor::middle});
    pen.line({area.x_mm, flow.y_mm()}, {area.right_mm(), flow.y_mm()}, thin_mm);
    pen.put_on(flow.page());
    return 0;
}

void draw_heading_bar(PaperFlow& flow, const CutListWords& words) {
    Pen pen(flow.next_id("print-check"), Role::rule_line, flow.measure());
    const double right = cut_columns(flow.content()).box_centre_mm[0] - box_pitch_mm / 2 - 4;
    draw_print_check(pen, {.at = {right - 50, flow.content().y_mm + 5.2}, .words = words.print_check});
    pen.put_on(flow.page());
}

void draw_reel(PaperFlow& flow, const Reel& reel) {
    Pen pen(flow.next_id("reel"), Role::rule_line, flow.measure());
    const Box& area = flow.content();
    const double y = flow.y_mm() + 4, tall = 5.4, left = area.x_mm + reel_caption_mm,
                 full = area.right_mm() - left;
    const double used =
        std::accumulate(reel.pieces.begin(), reel.pieces.end(), 0.0,
                        [](double so_far, const ReelPiece& piece) { return so_far + piece.length_m; });
    const double left_wide = pen.width_mm(reel.left, text_height_mm) + 3;
    const bool left_inside = left_wide + 2 < full * (1 - used / reel.length_m);
    const std::string words =
        left_inside || reel.left.empty() ? reel.caption : reel.caption + "; " + reel.left;
    const auto caption =
        wrapped(words, {.width_mm = reel_caption_mm - 4, .weight = Weight::bold}, flow.measure());
    pen.lines(
        {.at = {area.x_mm, y + tall / 2 + text_height_mm / 2 -
                               (static_cast<double>(caption.size()) - 1) * line_pitch * text_height_mm / 2},
         .words = {},
         .weight = Weight::bold},
        caption);
    double x = left;
    const double per_m = full / reel.length_m;
    double clear_from = 0;
    for (const ReelPiece& piece : reel.pieces) {
        const double wide = piece.length_m * per_m;
        pen.box({x, y, wide, tall}, {.width_mm = thin_mm, .fill = Paint::white});
        const double need = pen.width_mm(piece.number, text_height_mm, Weight::bold) + 1.6;
        const bool inside = need <= wide;
        const double middle = std::max(x + wide / 2, inside ? 0.0 : clear_from + need / 2);
        pen.text({.at = {middle, inside ? y + 4.0 : y - 1.2},
                  .words = piece.number,
                  .weight = Weight::bold,
                  .anchor = Anchor::middle});
        if (!inside)
            clear_from = middle + need / 2 + 0.4;
        x += wide;
    }
    const Box rest{x, y, left + full - x, tall};
    if (rest.width_mm > 0.3) {
        pen.box(rest, {.width_mm = thin_mm});
        const Box gap{rest.x_mm + (rest.width_mm - left_wide) / 2, y, left_wide, tall};
        pen.hatch(rest, {.pitch_mm = 1.6, .width_mm = hair_mm},
                  left_inside ? std::vector<Box>{gap} : std::vector<Box>{});
        if (left_inside)
            pen.text(
                {.at = {gap.x_mm + left_wide / 2, y + 4.0}, .words = reel.left, .anchor = Anchor::middle});
    }
    pen.put_on(flow.page());
    flow.advance(reel_pitch_mm);
}

} // namespace

void draw_print_check(Pen& pen, const PrintCheck& check) {
    const double x = check.at.x_mm, y = check.at.y_mm;
    pen.text({.at = {x - 3, y + text_height_mm / 2}, .words = check.words, .anchor = Anchor::right});
    // The ends are measured at the outer edges of nothing: at the middle of the end strokes.
    pen.line({x, y}, {x + 50, y}, thin_mm);
    for (int i = 0; i <= 5; ++i) {
        const double tall = i % 5 == 0 ? 1.8 : 1.0;
        pen.line({x + 10.0 * i, y - tall}, {x + 10.0 * i, y + (i % 5 == 0 ? tall : 0)}, rule_mm);
    }
}

std::vector<Page> build_cut_list(const CutListContent& content, PaperSize size, const TextMeasure& measure) {
    const CutListWords& words = content.words;
    PaperFlow flow({.sheet = {.size = size, .portrait = false},
                    .id = "cut-list",
                    .heading = {.words = words.heading, .remark = words.remark},
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
    for (const CutRow& row : content.rows) {
        const double tall = cut_row_height_mm(row, flow.content(), measure);
        flow.need(tall);
        draw_cut_row(flow.page(), {.content = flow.content(), .top_mm = flow.y_mm(), .height_mm = tall}, row,
                     measure);
        flow.advance(tall);
    }
    flow.drop_head();
    if (!content.reels.empty()) {
        flow.subheading(words.reel_plan, reel_pitch_mm);
        for (const Reel& reel : content.reels) {
            flow.need(reel_pitch_mm);
            draw_reel(flow, reel);
        }
    }
    if (!words.notes.empty())
        flow.need(4);
    for (const std::string& note : words.notes)
        flow.paragraph(note);
    return flow.done();
}

} // namespace stoutloom::layout::papers
