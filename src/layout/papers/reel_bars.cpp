#include "layout/papers/reel_bars.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace stoutloom::layout::papers {
namespace {

constexpr double least_caption_mm = 60, most_caption_mm = 120, caption_gap_mm = 4, unled_mm = 0.8;

/// How one bought length is written: where each piece's number stands, or for those at its end a list where
/// they are too many for that.
struct ReelLayout {
    Box bar;                          // relative to the top of the reel's place
    std::vector<double> own, middles; // of the pieces and of their numbers
    double leader_mm = 0;             // height of those from numbers that stand aside
    std::vector<bool> inside;
    std::vector<std::string> caption, list;
    bool left_inside = false;
    double height_mm = 0;
};

double used_length_m(const Reel& reel) {
    return std::accumulate(reel.pieces.begin(), reel.pieces.end(), 0.0,
                           [](double so_far, const ReelPiece& piece) { return so_far + piece.length_m; });
}

/// Numbers of narrow pieces stand above them, aside where they would touch and then with a leader; false if
/// that carries one off.
bool place_numbers(ReelLayout& layout, const Reel& reel, const TextMeasure& measure) {
    constexpr double furthest_mm = 18, beyond_bar_mm = 2, apart_mm = 1.8;
    std::vector<double> wide;
    double x = layout.bar.x_mm, clear_from = 0;
    for (const ReelPiece& piece : reel.pieces) {
        const double piece_mm = piece.length_m / reel.length_m * layout.bar.width_mm;
        wide.push_back(measure.width_mm(piece.number, text_height_mm, Weight::bold));
        const bool inside = wide.back() + 1.6 <= piece_mm;
        const double own = x + piece_mm / 2,
                     middle = inside ? own : std::max(own, clear_from + wide.back() / 2);
        if (!inside)
            clear_from = middle + wide.back() / 2 + apart_mm;
        layout.inside.push_back(inside);
        layout.own.push_back(own);
        layout.middles.push_back(middle);
        x += piece_mm;
    }
    // Those before the bar's end move back, and what stands before them with them.
    double limit = layout.bar.right_mm() + beyond_bar_mm;
    bool near = true;
    for (std::size_t i = reel.pieces.size(); i-- > 0;) {
        if (layout.inside[i])
            continue;
        layout.middles[i] = std::min(layout.middles[i], limit - wide[i] / 2);
        limit = layout.middles[i] - wide[i] / 2 - apart_mm;
        const double aside = std::abs(layout.middles[i] - layout.own[i]);
        near = near && aside < furthest_mm;
        if (aside > unled_mm) // a long leader is not to lie flat
            layout.leader_mm = std::max(layout.leader_mm, std::clamp(aside * 0.35, 2.2, 5.0));
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
        // Those that the bar names are not told twice: the list goes on where it leaves off.
        const auto first = std::find(layout.inside.begin(), layout.inside.end(), false);
        std::string order = first == layout.inside.begin() ? "" : "…";
        for (auto i = static_cast<std::size_t>(first - layout.inside.begin()); i < reel.pieces.size(); ++i)
            order += (order.empty() ? "" : order == "…" ? " " : ", ") + reel.pieces[i].number;
        layout.list = wrapped(order, {.width_mm = layout.bar.width_mm}, measure);
    }
    const bool above = layout.list.empty() &&
                       std::find(layout.inside.begin(), layout.inside.end(), false) != layout.inside.end();
    layout.bar.y_mm = above ? 4.4 + layout.leader_mm : 1.0;
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
        if (layout.list.empty() && !layout.inside[i] && layout.leader_mm > 0)
            pen.line({layout.own[i], bar.y_mm}, {layout.middles[i], bar.y_mm - layout.leader_mm}, hair_mm);
        if (layout.inside[i] || layout.list.empty())
            pen.text({.at = {layout.middles[i],
                             layout.inside[i] ? bar.y_mm + 4.0 : bar.y_mm - 1.2 - layout.leader_mm},
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

} // namespace

double reels_least_mm(const ReelPlan& plan, const PaperFlow& flow) {
    const double captions_mm = captions_wide_mm(plan.reels, flow.measure());
    return 4.5 + strong_height_mm + 2.5 +
           lay_reel(plan.reels.front(), flow.content(), captions_mm, flow.measure()).height_mm;
}

void draw_reels(PaperFlow& flow, const ReelPlan& plan) {
    const double captions_mm = captions_wide_mm(plan.reels, flow.measure());
    const auto height = [&](const Reel& reel) {
        return lay_reel(reel, flow.content(), captions_mm, flow.measure()).height_mm;
    };
    for (std::size_t i = 0; i < plan.reels.size(); ++i) {
        if (i == 0 || height(plan.reels[i]) > flow.left_mm()) {
            if (i > 0)
                flow.new_page();
            flow.subheading(plan.heading, height(plan.reels[i]));
        }
        draw_reel(flow, plan.reels[i], captions_mm);
    }
}

} // namespace stoutloom::layout::papers
