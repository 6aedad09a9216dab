#include "layout/papers/loom_board.h"

#include "base/quantity.h"
#include "layout/papers/loom_flags.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace stoutloom::layout::papers {
namespace {

constexpr double flag_room_mm = 64, left_room_mm = 6, right_room_mm = 2, foot_mm = 32, least_flags_mm = 15,
                 stub_half_mm = 0.7, stub_mm = 5.8, chain_mm = 8, over_flags_mm = 1.2, under_board_mm = 1,
                 under_words_mm = 1.4;
constexpr double pitch_mm = line_pitch * text_height_mm;
constexpr std::array<double, 15> scales = {1, 2, 2.5, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 75, 100, 200};

double shown_bundle_mm(const TrunkPart& part) {
    return std::clamp(part.bundle_mm * 0.2, 1.6, 9.0);
}

/// Words under the dimension chain: each in the first line where it is free of its neighbours.
class UnderLines {
  public:
    explicit UnderLines(const Box& area) : area_(area) {}
    // NOLINTNEXTLINE(bugprone-easily-swappable-parameters): across, then down
    void put(Pen& pen, double middle, double y, const std::string& words, Weight weight) {
        const double wide = pen.width_mm(words, text_height_mm, weight);
        const double left = std::clamp(middle - wide / 2, area_.x_mm, area_.right_mm() - wide);
        std::size_t line = 0;
        while (line < ends_.size() && ends_[line] > left - 2)
            ++line;
        if (line == most_lines)
            return; // told in the table below
        if (line == ends_.size())
            ends_.push_back(0);
        ends_[line] = left + wide;
        pen.text(
            {.at = {left, y + 4.4 + pitch_mm * static_cast<double>(line)}, .words = words, .weight = weight});
    }

    /// From the dimension line to the last words.
    double depth_mm() const { return 4.4 + pitch_mm * static_cast<double>(ends_.size()); }

  private:
    static constexpr std::size_t most_lines = 4;
    Box area_;
    std::vector<double> ends_;
};

/// A stretch's length and zone beside each other; else each in a line of its own.
bool in_one_line(const LoomBoard& board, double per_m, const TextMeasure& measure) {
    return std::all_of(board.parts.begin(), board.parts.end(), [&](const TrunkPart& part) {
        return measure.width_mm(part.length, text_height_mm, Weight::bold) + 2 +
                   measure.width_mm(part.zone, text_height_mm, Weight::regular) + 2 <=
               (part.to_m - part.from_m) * per_m;
    });
}

/// Trunk, dimension chain and zone names; returns how far they reach below the trunk's middle.
double draw_trunk(Pen& pen, const LoomBoard& board, Point start, double per_m, const Box& area) {
    UnderLines under(area);
    const bool one_line = in_one_line(board, per_m, pen.measure());
    for (const TrunkPart& part : board.parts) {
        const double from = start.x_mm + part.from_m * per_m, to = start.x_mm + part.to_m * per_m;
        const double half = shown_bundle_mm(part) / 2;
        pen.box({from, start.y_mm - half, to - from, 2 * half}, {.width_mm = thin_mm, .fill = Paint::bed});
        const double y = start.y_mm + chain_mm;
        pen.line({from, start.y_mm + 5.5}, {from, y + 0.8}, hair_mm);
        pen.line({to, start.y_mm + 5.5}, {to, y + 0.8}, hair_mm);
        pen.line({from, y}, {to, y}, rule_mm);
        if (to - from > 7) {
            pen.arrow_head({from, y}, -1);
            pen.arrow_head({to, y}, 1);
        }
        if (one_line) {
            const double wide = pen.width_mm(part.length, text_height_mm, Weight::bold) + 2 +
                                pen.width_mm(part.zone, text_height_mm);
            const Box length = pen.text(
                {.at = {(from + to - wide) / 2, y + 4.4}, .words = part.length, .weight = Weight::bold});
            pen.text({.at = {length.right_mm() + 2, y + 4.4}, .words = part.zone});
            continue;
        }
        under.put(pen, (from + to) / 2, y, part.length, Weight::bold);
        under.put(pen, (from + to) / 2, y, part.zone, Weight::regular);
    }
    return chain_mm + (one_line ? 4.4 + under_words_mm : under.depth_mm() - pitch_mm + under_words_mm);
}

std::vector<LoomFlag> flags_at(const PaperFlow& flow, const LoomBoard& board, double scale) {
    const Box& area = flow.content();
    const double per_m = 1000 / scale, left = area.x_mm + left_room_mm;
    std::vector<FlagWish> wishes;
    for (std::size_t i = 0; i < board.breakouts.size(); ++i)
        wishes.push_back({.breakout = &board.breakouts[i],
                          .number = i + 1,
                          .x_mm = left + board.breakouts[i].at_m * per_m});
    return loom_flags(wishes,
                      {.height_mm = area.height_mm - foot_mm - 26,
                       .left_mm = area.x_mm,
                       .right_mm = area.right_mm(),
                       .widest_mm = flag_room_mm - 6,
                       .first_mm = left + stub_half_mm,
                       .last_mm = left + board.length_m * per_m - stub_half_mm},
                      flow.measure());
}

double flags_height_mm(const std::vector<LoomFlag>& flags) {
    double top = least_flags_mm;
    for (const LoomFlag& flag : flags)
        top = std::max(top, flag.foot_mm + flag.tall_mm + over_flags_mm);
    return top;
}

/// How a board stands on its sheet.
struct BoardPlan {
    double scale = 1;
    std::vector<LoomFlag> flags;
    std::string scale_words;
    bool words_beside = false; // beside the heading
    double height_mm = 0;      // under its heading
};

/// The largest scale at which the flags say as much, and no higher up, as with all their room at the right.
void set_scale(BoardPlan& plan, const PaperFlow& flow, const LoomBoard& board) {
    const double room = flow.content().width_mm - left_room_mm;
    plan.scale = board_scale(board.length_m, room - flag_room_mm);
    plan.flags = flags_at(flow, board, plan.scale);
    const auto lines = [](const std::vector<LoomFlag>& flags) {
        std::size_t all = 0;
        for (const LoomFlag& flag : flags)
            all += flag.lines.size();
        return all;
    };
    const auto mirrored = [](const std::vector<LoomFlag>& flags) {
        return std::any_of(flags.begin(), flags.end(),
                           [](const LoomFlag& flag) { return flag.left_of_pole; });
    };
    for (const double scale : scales) {
        if (scale >= plan.scale)
            return;
        if (board.length_m * 1000 / scale > room - right_room_mm)
            continue;
        std::vector<LoomFlag> flags = flags_at(flow, board, scale);
        if (flags.size() != plan.flags.size() || lines(flags) < lines(plan.flags) || mirrored(flags) ||
            flags_height_mm(flags) > flags_height_mm(plan.flags) + 0.001)
            continue;
        plan.scale = scale;
        plan.flags = std::move(flags);
        return;
    }
}

BoardPlan plan_of(const PaperFlow& flow, const LoomBoard& board, const LoomWords& words) {
    BoardPlan plan;
    set_scale(plan, flow, board);
    plan.scale_words =
        filled(words.scale,
               {"1 : " + base::shown_number(plan.scale, plan.scale < 10 ? 1 : 0, base::Rounding::nearest)}) +
        " " + words.scale_remark;
    const TextMeasure& measure = flow.measure();
    plan.words_beside = measure.width_mm(board.heading, strong_height_mm, Weight::bold) + 5 +
                            measure.width_mm(plan.scale_words, text_height_mm, Weight::regular) <=
                        flow.content().width_mm;
    const Box& far = flow.content();
    Pen scratch("scratch", Role::cable, measure);
    plan.height_mm = (plan.words_beside ? 0 : flow.paragraph_height_mm(plan.scale_words)) +
                     flags_height_mm(plan.flags) + stub_mm +
                     draw_trunk(scratch, board, {far.x_mm + left_room_mm, 0}, 1000 / plan.scale, far) +
                     under_board_mm + flow.tables_in_strips_mm({board.cables});
    for (const std::string& remark : board.remarks)
        plan.height_mm += flow.paragraph_height_mm(remark);
    return plan;
}

void draw_board(PaperFlow& flow, const LoomBoard& board, const BoardPlan& plan) {
    const Box& area = flow.content();
    const double per_m = 1000 / plan.scale, left = area.x_mm + left_room_mm;
    flow.subheading(board.heading, 40);
    Pen pen(board.id, Role::cable, flow.measure());
    pen.told(board.heading, {});
    if (plan.words_beside)
        pen.text({.at = {area.x_mm + pen.width_mm(board.heading, strong_height_mm, Weight::bold) + 5,
                         flow.y_mm() - 2.5},
                  .words = plan.scale_words});
    else
        flow.paragraph(plan.scale_words);
    const double top = flags_height_mm(plan.flags), trunk = flow.y_mm() + top + stub_mm;
    // The breakouts leave the trunk as stubs of the bundle, under their flags.
    for (const LoomFlag& flag : plan.flags)
        pen.box({flag.x_mm - stub_half_mm, trunk - stub_mm, 2 * stub_half_mm, stub_mm},
                {.width_mm = thin_mm, .fill = Paint::bed});
    const double below = draw_trunk(pen, board, {left, trunk}, per_m, area);
    draw_loom_flags(pen, plan.flags, trunk - stub_mm);
    pen.put_on(flow.page());
    flow.advance(top + stub_mm + below + under_board_mm);
    for (const std::string& remark : board.remarks)
        flow.paragraph(remark);
    flow.tables_in_strips({board.cables});
}

} // namespace

std::string filled(std::string words, const std::vector<std::string>& values) {
    for (std::size_t i = 0; i < values.size(); ++i) {
        const std::string mark = "{" + std::to_string(i) + "}";
        if (const std::size_t at = words.find(mark); at != std::string::npos)
            words.replace(at, mark.size(), values[i]);
    }
    return words;
}

double board_scale(double length_m, double room_mm) {
    for (const double scale : scales)
        if (length_m * 1000 / scale <= room_mm)
            return scale;
    return 1000;
}

std::vector<Page> build_loom_boards(const LoomBoardsContent& content, PaperSize size,
                                    const TextMeasure& measure) {
    PaperFlow flow({.sheet = {.size = size, .portrait = false},
                    .id = "loom-boards",
                    .heading = {.words = content.words.heading, .remark = {}},
                    .continued = content.words.continued},
                   measure);
    if (content.boards.empty())
        flow.paragraph(content.words.none);
    std::vector<std::pair<const LoomBoard*, BoardPlan>> rest;
    for (const LoomBoard& board : content.boards)
        rest.emplace_back(&board, plan_of(flow, board, content.words));
    while (!rest.empty()) {
        // Several on a sheet where they have room: a low board may pass a high one.
        const auto fits = [&](const auto& board) {
            return flow.subheading_height_mm() + board.second.height_mm <= flow.left_mm() + 0.001;
        };
        auto next = std::find_if(rest.begin(), rest.end(), fits);
        if (next == rest.end())
            next = rest.begin();
        if (!flow.fresh() && !fits(*next))
            flow.new_page();
        draw_board(flow, *next->first, next->second);
        rest.erase(next);
    }
    return flow.done();
}

} // namespace stoutloom::layout::papers
