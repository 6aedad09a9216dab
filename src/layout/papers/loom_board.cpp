#include "layout/papers/loom_board.h"

#include "layout/papers/cut_list.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace stoutloom::layout::papers {
namespace {

constexpr double flag_room_mm = 64, left_room_mm = 6, foot_mm = 24, flag_pad_mm = 1.6, flag_gap_mm = 2.2,
                 least_flags_mm = 34;
constexpr double pitch_mm = line_pitch * text_height_mm;

/// A breakout as a flag on its pole; heights count from the trunk upwards.
struct Flag {
    double x_mm = 0, wide_mm = 0, tall_mm = 0, foot_mm = 0;
    std::vector<std::string> lines; // the first one bold
};

Flag flag_for(const Breakout& breakout, std::size_t number, double x, bool brief,
              const TextMeasure& measure) {
    Flag flag;
    flag.x_mm = x;
    const Measured bold{.width_mm = flag_room_mm - 6, .weight = Weight::bold};
    flag.lines.push_back(shortened(std::to_string(number) + "  " + breakout.unit, bold, measure));
    if (!brief)
        for (const Breakout::Tail& tail : breakout.tails)
            flag.lines.push_back(shortened(tail.cable + "  " + tail.terminal + "  " + tail.length,
                                           {.width_mm = flag_room_mm - 6}, measure));
    for (std::size_t i = 0; i < flag.lines.size(); ++i)
        flag.wide_mm = std::max(flag.wide_mm, measure.width_mm(flag.lines[i], text_height_mm,
                                                               i == 0 ? Weight::bold : Weight::regular));
    flag.tall_mm = lines_height_mm(flag.lines.size(), text_height_mm) + 1;
    return flag;
}

/// From the right: a flag stands above every pole that its words would reach.
double raise(std::vector<Flag>& flags) {
    double top = 0;
    for (std::size_t i = flags.size(); i-- > 0;) {
        Flag& flag = flags[i];
        flag.foot_mm = 5;
        for (std::size_t j = i + 1; j < flags.size(); ++j)
            if (flags[j].x_mm < flag.x_mm + flag_pad_mm + flag.wide_mm + 2)
                flag.foot_mm = std::max(flag.foot_mm, flags[j].foot_mm + flags[j].tall_mm + flag_gap_mm);
        top = std::max(top, flag.foot_mm + flag.tall_mm);
    }
    return top;
}

std::vector<Flag> flags_of(const LoomBoard& board, double left, double per_m, double room,
                           const TextMeasure& measure) {
    std::vector<Flag> flags;
    for (const bool brief : {false, true}) {
        flags.clear();
        for (std::size_t i = 0; i < board.breakouts.size(); ++i) {
            double x = left + board.breakouts[i].at_m * per_m;
            // Two breakouts at one place: their poles stand side by side.
            if (!flags.empty())
                x = std::max(x, flags.back().x_mm + 1.6);
            flags.push_back(flag_for(board.breakouts[i], i + 1, x, brief, measure));
        }
        if (raise(flags) <= room)
            break;
    }
    return flags;
}

void draw_flags(Pen& pen, const std::vector<Flag>& flags, double trunk_top) {
    for (const Flag& flag : flags) {
        const double foot = trunk_top - flag.foot_mm, top = foot - flag.tall_mm;
        pen.line({flag.x_mm, trunk_top}, {flag.x_mm, top}, thin_mm);
        double y = top + text_height_mm;
        for (std::size_t i = 0; i < flag.lines.size(); ++i, y += pitch_mm)
            pen.text({.at = {flag.x_mm + flag_pad_mm, y},
                      .words = flag.lines[i],
                      .weight = i == 0 ? Weight::bold : Weight::regular});
    }
}

double shown_bundle_mm(const TrunkPart& part) {
    return std::clamp(part.bundle_mm * 0.2, 1.6, 9.0);
}

/// Trunk, dimension chain and zone names.
void draw_trunk(Pen& pen, const LoomBoard& board, Point start, double per_m) {
    for (const TrunkPart& part : board.parts) {
        const double from = start.x_mm + part.from_m * per_m, to = start.x_mm + part.to_m * per_m;
        const double half = shown_bundle_mm(part) / 2;
        pen.box({from, start.y_mm - half, to - from, 2 * half}, {.width_mm = thin_mm, .fill = Paint::bed});
        const double y = start.y_mm + 9.5;
        pen.line({from, start.y_mm + 5.5}, {from, y + 1.5}, hair_mm);
        pen.line({to, start.y_mm + 5.5}, {to, y + 1.5}, hair_mm);
        pen.line({from, y}, {to, y}, rule_mm);
        if (to - from > 7) {
            pen.arrow_head({from, y}, -1);
            pen.arrow_head({to, y}, 1);
        }
        const double wide = to - from - 1;
        const double middle = (from + to) / 2;
        const auto put = [&](const std::string& words, double drop, Weight weight) {
            if (pen.width_mm(words, text_height_mm, weight) > wide)
                return;
            pen.text({.at = {middle, y + drop}, .words = words, .weight = weight, .anchor = Anchor::middle});
        };
        put(part.length, 4.4, Weight::bold);
        put(part.zone, 8.8, Weight::regular);
    }
}

std::string filled(std::string words, const std::vector<std::string>& values) {
    for (std::size_t i = 0; i < values.size(); ++i) {
        const std::string mark = "{" + std::to_string(i) + "}";
        if (const std::size_t at = words.find(mark); at != std::string::npos)
            words.replace(at, mark.size(), values[i]);
    }
    return words;
}

void draw_board(PaperFlow& flow, const LoomBoard& board, const LoomWords& words) {
    if (!flow.fresh())
        flow.new_page();
    flow.subheading(board.heading, 40);
    const Box& area = flow.content();
    const double room = area.width_mm - flag_room_mm - left_room_mm,
                 scale = board_scale(board.length_m, room);
    const double per_m = 1000 / scale, left = area.x_mm + left_room_mm;
    flow.paragraph(filled(words.scale, {"1 : " + std::to_string(static_cast<int>(scale))}) + " " +
                   words.scale_remark);
    const double flag_room = flow.left_mm() - foot_mm - 6;
    const std::vector<Flag> flags = flags_of(board, left, per_m, flag_room, flow.measure());
    double top = least_flags_mm;
    for (const Flag& flag : flags)
        top = std::max(top, flag.foot_mm + flag.tall_mm + 3);
    Pen pen(board.id, Role::cable, flow.measure());
    pen.told(board.heading, {});
    const double trunk = flow.y_mm() + top + 4;
    draw_trunk(pen, board, {left, trunk}, per_m);
    draw_flags(pen, flags, trunk - 5.0);
    for (const Flag& flag : flags)
        pen.line({flag.x_mm, trunk - 5.0}, {flag.x_mm, trunk}, thin_mm);
    pen.put_on(flow.page());
    flow.advance(top + 4 + foot_mm);
    for (const std::string& remark : board.remarks)
        flow.paragraph(remark);
    flow.table(board.cables);
}

/// One tile of the true-size board: from `from_m` on, `span_m` long.
struct Tile {
    const LoomBoard* board;
    double from_m, span_m;
    std::size_t number, count;
};

void draw_ruler(Pen& pen, const Box& area, const Tile& tile, double y) {
    const int first = static_cast<int>(std::ceil(tile.from_m * 100 - 1e-6));
    const int last = static_cast<int>(std::floor((tile.from_m + tile.span_m) * 100 + 1e-6));
    for (int cm = first; cm <= last; ++cm) {
        const double x = area.x_mm + (cm / 100.0 - tile.from_m) * 1000;
        pen.line({x, y}, {x, y - (cm % 10 == 0 ? 4.0 : cm % 5 == 0 ? 2.8 : 1.6)}, rule_mm);
        if (cm % 10 == 0 && x > area.x_mm + 4 && x < area.right_mm() - 10)
            pen.text({.at = {x, y + 4}, .words = std::to_string(cm) + " cm", .anchor = Anchor::middle});
    }
    pen.line({area.x_mm, y}, {area.x_mm + tile.span_m * 1000, y}, thin_mm);
}

void draw_cut_line(Pen& pen, double x, double top, double bottom) {
    pen.line({x, top}, {x, bottom}, rule_mm, Dash::dashed);
}

void draw_tile(PaperFlow& flow, const Tile& tile, const LoomWords& words) {
    const Box& area = flow.content();
    Pen pen(flow.next_id(tile.board->id), Role::cable, flow.measure());
    const double top = flow.y_mm(), trunk = top + (area.bottom_mm() - top) * 0.55,
                 foot = area.bottom_mm() - 6;
    const auto x_of = [&](double at_m) { return area.x_mm + (at_m - tile.from_m) * 1000; };
    const double end_x = std::min(area.x_mm + tile.span_m * 1000, x_of(tile.board->length_m));
    for (const TrunkPart& part : tile.board->parts) {
        const double from = std::max(area.x_mm, x_of(part.from_m)), to = std::min(end_x, x_of(part.to_m));
        if (to - from < 0.2)
            continue;
        const double half = std::clamp(part.bundle_mm, 3.0, 60.0) / 2;
        pen.box({from, trunk - half, to - from, 2 * half}, {.width_mm = thin_mm, .fill = Paint::white});
        pen.line({from, trunk}, {to, trunk}, hair_mm, Dash::dash_dot);
    }
    std::vector<Flag> flags;
    for (std::size_t i = 0; i < tile.board->breakouts.size(); ++i) {
        const double at = tile.board->breakouts[i].at_m;
        if (at < tile.from_m - 1e-6 || at > tile.from_m + tile.span_m - 0.010 + 1e-6)
            continue;
        double x = std::min(x_of(at), area.right_mm() - flag_room_mm);
        if (!flags.empty())
            x = std::max(x, flags.back().x_mm + 1.6);
        flags.push_back(flag_for(tile.board->breakouts[i], i + 1, x, false, flow.measure()));
        pen.circle({x_of(at), trunk}, 2, {.width_mm = medium_mm, .fill = Paint::white});
    }
    const double room = trunk - 36 - top;
    if (raise(flags) > room) {
        for (Flag& flag : flags) {
            flag.lines.resize(1);
            flag.tall_mm = text_height_mm + 1;
        }
        raise(flags);
    }
    draw_flags(pen, flags, trunk - 32);
    for (const Flag& flag : flags)
        pen.line({flag.x_mm, trunk - 32}, {flag.x_mm, trunk - 30.5}, thin_mm);
    draw_ruler(pen, area, tile, foot);
    if (tile.number > 1)
        draw_cut_line(pen, area.x_mm + 5, trunk + 32, foot - 5);
    if (tile.number < tile.count)
        draw_cut_line(pen, area.x_mm + tile.span_m * 1000 - 5, trunk + 32, foot - 5);
    pen.text({.at = {area.x_mm + area.width_mm / 2, foot - 6.5},
              .words = words.cut_here,
              .anchor = Anchor::middle});
    pen.put_on(flow.page());
}

} // namespace

double board_scale(double length_m, double room_mm) {
    static constexpr std::array<double, 10> scales = {1, 2, 5, 10, 20, 25, 50, 100, 200, 500};
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

std::vector<Page> build_loom_tiles(const LoomBoardsContent& content, PaperSize size,
                                   const TextMeasure& measure) {
    std::vector<Page> pages;
    for (const LoomBoard& board : content.boards) {
        const Box area = content_box({.size = size, .portrait = false});
        const double span = std::floor(area.width_mm) / 1000, step = span - 0.010;
        const auto count =
            static_cast<std::size_t>(std::max(1.0, std::ceil((board.length_m - span) / step + 1 - 1e-9)));
        for (std::size_t i = 0; i < count; ++i) {
            const std::string number = std::to_string(i + 1) + " / " + std::to_string(count);
            PaperFlow flow(
                {.sheet = {.size = size, .portrait = false},
                 .id = "loom-tile-" + board.id + "-" + std::to_string(i + 1),
                 .heading = {.words = board.heading, .remark = filled(content.words.tile, {number})},
                 .continued = {}},
                measure);
            draw_tile(flow,
                      {.board = &board,
                       .from_m = step * static_cast<double>(i),
                       .span_m = span,
                       .number = i + 1,
                       .count = count},
                      content.words);
            for (Page& page : flow.done())
                pages.push_back(std::move(page));
        }
    }
    return pages;
}

} // namespace stoutloom::layout::papers
