#include "layout/papers/loom_board.h"

#include "base/quantity.h"
#include "layout/papers/loom_flags.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace stoutloom::layout::papers {
namespace {

constexpr double flag_room_mm = 64, left_room_mm = 6, foot_mm = 32, least_flags_mm = 20, stub_half_mm = 0.7;
constexpr double pitch_mm = line_pitch * text_height_mm;

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

/// Trunk, dimension chain and zone names; returns how far they reach below the trunk's middle.
double draw_trunk(Pen& pen, const LoomBoard& board, Point start, double per_m, const Box& area) {
    UnderLines under(area);
    for (const TrunkPart& part : board.parts) {
        const double from = start.x_mm + part.from_m * per_m, to = start.x_mm + part.to_m * per_m;
        const double half = shown_bundle_mm(part) / 2;
        pen.box({from, start.y_mm - half, to - from, 2 * half}, {.width_mm = thin_mm, .fill = Paint::bed});
        const double y = start.y_mm + 9.5;
        pen.line({from, start.y_mm + 5.5}, {from, y + 0.8}, hair_mm);
        pen.line({to, start.y_mm + 5.5}, {to, y + 0.8}, hair_mm);
        pen.line({from, y}, {to, y}, rule_mm);
        if (to - from > 7) {
            pen.arrow_head({from, y}, -1);
            pen.arrow_head({to, y}, 1);
        }
        under.put(pen, (from + to) / 2, y, part.length, Weight::bold);
        under.put(pen, (from + to) / 2, y, part.zone, Weight::regular);
    }
    return 9.5 + under.depth_mm();
}

void draw_board(PaperFlow& flow, const LoomBoard& board, const LoomWords& words) {
    if (!flow.fresh())
        flow.new_page();
    flow.subheading(board.heading, 40);
    const Box& area = flow.content();
    const double room = area.width_mm - flag_room_mm - left_room_mm,
                 scale = board_scale(board.length_m, room);
    const double per_m = 1000 / scale, left = area.x_mm + left_room_mm;
    flow.paragraph(filled(words.scale,
                          {"1 : " + base::shown_number(scale, scale < 10 ? 1 : 0, base::Rounding::nearest)}) +
                   " " + words.scale_remark);
    std::vector<FlagWish> wishes;
    for (std::size_t i = 0; i < board.breakouts.size(); ++i)
        wishes.push_back({.breakout = &board.breakouts[i],
                          .number = i + 1,
                          .x_mm = left + board.breakouts[i].at_m * per_m});
    const std::vector<LoomFlag> flags = loom_flags(wishes,
                                                   {.height_mm = flow.left_mm() - foot_mm - 16,
                                                    .left_mm = area.x_mm,
                                                    .right_mm = area.right_mm(),
                                                    .widest_mm = flag_room_mm - 6,
                                                    .first_mm = left + stub_half_mm,
                                                    .last_mm = left + board.length_m * per_m - stub_half_mm},
                                                   flow.measure());
    double top = least_flags_mm;
    for (const LoomFlag& flag : flags)
        top = std::max(top, flag.foot_mm + flag.tall_mm + 3);
    Pen pen(board.id, Role::cable, flow.measure());
    pen.told(board.heading, {});
    const double trunk = flow.y_mm() + top + 8;
    // The breakouts leave the trunk as stubs of the bundle, under their flags.
    for (const LoomFlag& flag : flags)
        pen.box({flag.x_mm - stub_half_mm, trunk - 8.5, 2 * stub_half_mm, 8.5},
                {.width_mm = thin_mm, .fill = Paint::bed});
    const double below = draw_trunk(pen, board, {left, trunk}, per_m, area);
    draw_loom_flags(pen, flags, trunk - 8.5);
    pen.put_on(flow.page());
    flow.advance(top + 8 + below + 1);
    for (const std::string& remark : board.remarks)
        flow.paragraph(remark);
    flow.table(board.cables);
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
    static constexpr std::array<double, 15> scales = {1,  2,  2.5, 5,  7.5, 10,  15, 20,
                                                      25, 30, 40,  50, 75,  100, 200};
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
    for (const LoomBoard& board : content.boards)
        draw_board(flow, board, content.words);
    return flow.done();
}

} // namespace stoutloom::layout::papers
