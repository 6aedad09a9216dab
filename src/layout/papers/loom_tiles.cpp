// The loom at true size over many sheets: what a draughtsman lays on the bench, cuts and glues.
#include "layout/papers/loom_board.h"
#include "layout/papers/loom_flags.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout::papers {
namespace {

constexpr double overlap_mm = 10, cut_mm = overlap_mm / 2, cut_clear_mm = 2, rule_foot_mm = 6,
                 strip_wide_mm = 70, strip_tall_mm = 3, flag_room_mm = 70, thickest_mm = 60, thinnest_mm = 3;

/// One tile of the board: from `from_m` on, `span_m` long.
struct Tile {
    const LoomBoard* board;
    double from_m, span_m;
    std::size_t number, count;
    double gap_before_m = 0, gap_after_m = 0; // straight trunk without tiles, from cut line to cut line
    bool first() const { return number == 1; }
    bool last() const { return number == count; }
};

/// Where things stand on the sheet.
struct Place {
    Box area;
    double top, trunk, half, rule; // under the heading; trunk's middle; half its thickness; the rule's line
    double per_m = 1000;
};

double half_bundle_mm(const TrunkPart& part) {
    return std::clamp(part.bundle_mm, thinnest_mm, thickest_mm) / 2;
}

double x_of(const Place& place, const Tile& tile, double at_m) {
    return place.area.x_mm + (at_m - tile.from_m) * place.per_m;
}

/// "A" joins the first two tiles; no I, no O; after Z come AA, AB ...
std::string join_letter(std::size_t join) {
    static const std::string letters = "ABCDEFGHJKLMNPQRSTUVWXYZ";
    std::string name(1, letters[join % letters.size()]);
    return join < letters.size() ? name : join_letter(join / letters.size() - 1) + name;
}

/// The trunk's two edges, open where it goes on in the next tile, with its zone's name under it.
void draw_trunk(Pen& pen, const Tile& tile, const Place& place) {
    const double left = place.area.x_mm, right = left + tile.span_m * place.per_m;
    for (const TrunkPart& part : tile.board->parts) {
        const double begin = x_of(place, tile, part.from_m), end = x_of(place, tile, part.to_m);
        const double from = std::max(left, begin), to = std::min(right, end);
        if (to - from < 0.2)
            continue;
        const double half = half_bundle_mm(part), top = place.trunk - half, foot = place.trunk + half;
        for (const double y : {top, foot})
            pen.line({from, y}, {to, y}, thin_mm);
        if (begin >= left - 1e-6)
            pen.line({from, top}, {from, foot}, thin_mm);
        if (end <= right + 1e-6)
            pen.line({to, top}, {to, foot}, thin_mm);
        pen.line({from, place.trunk}, {to, place.trunk}, hair_mm, Dash::dash_dot);
        const double words_from = std::max(from, tile.first() ? from : left + cut_mm) + cut_clear_mm,
                     words_to = std::min(to, tile.last() ? to : right - cut_mm) - cut_clear_mm;
        if (pen.width_mm(part.zone, text_height_mm) <= words_to - words_from)
            pen.text(
                {.at = {words_from, place.trunk + place.half + 1.5 + text_height_mm}, .words = part.zone});
    }
}

void draw_rule(Pen& pen, const Tile& tile, const Place& place) {
    const Box& area = place.area;
    const int first = static_cast<int>(std::ceil(tile.from_m * 100 - 1e-6));
    const int last = static_cast<int>(std::floor((tile.from_m + tile.span_m) * 100 + 1e-6));
    for (int cm = first; cm <= last; ++cm) {
        const double x = x_of(place, tile, cm / 100.0);
        pen.line({x, place.rule}, {x, place.rule - (cm % 10 == 0 ? 4.0 : cm % 5 == 0 ? 2.8 : 1.6)}, rule_mm);
        if (cm % 10 == 0 && x > area.x_mm + 4 && x < area.right_mm() - 10)
            pen.text(
                {.at = {x, place.rule + 4}, .words = std::to_string(cm) + " cm", .anchor = Anchor::middle});
    }
    pen.line({area.x_mm, place.rule}, {area.x_mm + tile.span_m * place.per_m, place.rule}, thin_mm);
}

/// Between this tile's cuts: each place is on one tile.
bool holds(const Tile& tile, double at_m) {
    const double from = tile.first() ? -1e9 : tile.from_m + cut_mm / 1000,
                 to = tile.last() ? 1e9 : tile.from_m + tile.span_m - cut_mm / 1000;
    return at_m > from + 1e-6 && at_m <= to + 1e-6;
}

bool any_breakout(const Tile& tile) {
    return std::any_of(tile.board->breakouts.begin(), tile.board->breakouts.end(),
                       [&](const Breakout& breakout) { return holds(tile, breakout.at_m); });
}

/// The breakouts between this tile's cuts, each told on one tile.
std::vector<FlagWish> wishes_of(const Tile& tile, const Place& place) {
    std::vector<FlagWish> wishes;
    for (std::size_t i = 0; i < tile.board->breakouts.size(); ++i) {
        const double at = tile.board->breakouts[i].at_m;
        if (holds(tile, at))
            wishes.push_back(
                {.breakout = &tile.board->breakouts[i], .number = i + 1, .x_mm = x_of(place, tile, at)});
    }
    return wishes;
}

void draw_breakouts(Pen& pen, const Tile& tile, const Place& place) {
    const std::vector<FlagWish> wishes = wishes_of(tile, place);
    for (const FlagWish& wish : wishes)
        pen.circle({wish.x_mm, place.trunk}, 2, {.width_mm = medium_mm, .fill = Paint::white});
    const double poles = place.trunk - place.half - 2, edge = cut_mm + cut_clear_mm;
    const std::vector<LoomFlag> flags =
        loom_flags(wishes,
                   {.height_mm = poles - place.top - 2,
                    .left_mm = place.area.x_mm + (tile.first() ? 0 : edge),
                    .right_mm = place.area.x_mm + tile.span_m * place.per_m - (tile.last() ? 0 : edge),
                    .widest_mm = flag_room_mm},
                   pen.measure());
    draw_loom_flags(pen, flags, poles);
    for (const LoomFlag& flag : flags)
        pen.line({flag.x_mm, poles}, {flag.x_mm, place.trunk - 2.4}, thin_mm);
}

/// Where a tile is cut: `inwards` 1 at its left, -1 at its right.
struct Cut {
    double x_mm, inwards;
    std::string letter, straight; // what its neighbour bears too; the stretch between the two, if any
    double room_mm;               // for the stretch: the other half is the other cut's
};

/// From under the heading to the rule.
void draw_cut(Pen& pen, const Place& place, const Cut& cut) {
    const auto& [x, inwards, letter, straight, room_mm] = cut;
    pen.line({x, place.top}, {x, place.rule - 5}, rule_mm, Dash::dashed);
    for (const double y : {place.top + strong_height_mm, place.rule - 6.5})
        pen.text({.at = {x + inwards * 2, y},
                  .words = letter,
                  .height_mm = strong_height_mm,
                  .weight = Weight::bold,
                  .anchor = inwards > 0 ? Anchor::left : Anchor::right});
    if (straight.empty())
        return;
    pen.text({.at = {x + inwards * 2, place.rule - 11.5}, // over the letter, under the trunk's zone
              .words = shortened(straight, {.width_mm = room_mm, .weight = Weight::bold}, pen.measure()),
              .weight = Weight::bold,
              .anchor = inwards > 0 ? Anchor::left : Anchor::right});
}

/// The whole trunk small, this tile's stretch filled, the breakouts as ticks.
void draw_strip(Pen& pen, const Tile& tile, const Box& area) {
    const double length = tile.board->length_m, per_m = strip_wide_mm / length,
                 left = area.right_mm() - strip_wide_mm, top = area.y_mm + 3.4;
    const double from = std::clamp(tile.from_m * per_m, 0.0, strip_wide_mm - 0.5),
                 to = std::clamp((tile.from_m + tile.span_m) * per_m, from + 0.5, strip_wide_mm);
    pen.box({left, top, strip_wide_mm, strip_tall_mm}, {.width_mm = rule_mm});
    pen.box({left + from, top, to - from, strip_tall_mm}, {.width_mm = 0, .fill = Paint::ink});
    for (const Breakout& breakout : tile.board->breakouts) {
        const double x = left + std::clamp(breakout.at_m * per_m, 0.0, strip_wide_mm);
        pen.line({x, top - 1.8}, {x, top}, rule_mm);
    }
}

void draw_tile(PaperFlow& flow, const Tile& tile, const LoomWords& words) {
    const Box& area = flow.content();
    Pen pen(flow.next_id(tile.board->id), Role::cable, flow.measure());
    Place place{.area = area,
                .top = flow.y_mm(),
                .trunk = 0,
                .half = thinnest_mm / 2,
                .rule = area.bottom_mm() - rule_foot_mm};
    for (const TrunkPart& part : tile.board->parts)
        place.half = std::max(place.half, half_bundle_mm(part));
    place.trunk = place.rule - 22 - place.half;
    draw_strip(pen, tile, area);
    draw_trunk(pen, tile, place);
    draw_breakouts(pen, tile, place);
    draw_rule(pen, tile, place);
    const auto straight = [&](double gap_m) {
        return gap_m > 0 ? filled(words.straight, {words.measure(gap_m)}) : std::string();
    };
    const double half = tile.span_m * place.per_m / 2 - cut_mm - 2 * cut_clear_mm;
    if (!tile.first())
        draw_cut(pen, place,
                 {area.x_mm + cut_mm, 1, join_letter(tile.number - 2), straight(tile.gap_before_m), half});
    if (!tile.last())
        draw_cut(pen, place,
                 {area.x_mm + tile.span_m * place.per_m - cut_mm, -1, join_letter(tile.number - 1),
                  straight(tile.gap_after_m), half});
    if (tile.count > 1)
        pen.text({.at = {area.x_mm + area.width_mm / 2, place.rule - 6.5},
                  .words = words.cut_here,
                  .anchor = Anchor::middle});
    pen.put_on(flow.page());
}

/// The board in equal steps, less the steps at which nothing branches off. The first and the last always
/// stand: the loom begins and ends there.
std::vector<Tile> tiles_of(const LoomBoard& board, double span_m) {
    const double step = span_m - overlap_mm / 1000;
    const auto steps =
        static_cast<std::size_t>(std::max(1.0, std::ceil((board.length_m - span_m) / step + 1 - 1e-9)));
    std::vector<Tile> tiles;
    std::size_t before = 0;
    for (std::size_t i = 0; i < steps; ++i) {
        Tile tile{.board = &board,
                  .from_m = step * static_cast<double>(i),
                  .span_m = span_m,
                  .number = i + 1,
                  .count = steps};
        if (!tile.first() && !tile.last() && !any_breakout(tile))
            continue;
        if (!tiles.empty() && i > before + 1)
            tiles.back().gap_after_m = tile.gap_before_m = step * static_cast<double>(i - before - 1);
        before = i;
        tiles.push_back(tile);
    }
    for (std::size_t i = 0; i < tiles.size(); ++i) {
        tiles[i].number = i + 1;
        tiles[i].count = tiles.size();
    }
    return tiles;
}

} // namespace

std::vector<Page> build_loom_tiles(const LoomBoardsContent& content, PaperSize size,
                                   const TextMeasure& measure) {
    std::vector<Page> pages;
    for (const LoomBoard& board : content.boards) {
        const Box area = content_box({.size = size, .portrait = false});
        for (const Tile& tile : tiles_of(board, std::floor(area.width_mm) / 1000)) {
            const std::string own = std::to_string(tile.number),
                              number = own + " / " + std::to_string(tile.count);
            PaperFlow flow({.sheet = {.size = size, .portrait = false},
                            .id = "loom-tile-" + board.id + "-" + own,
                            .heading = {.words = board.heading,
                                        .remark = filled(content.words.tile, {number}),
                                        .keep_free_mm = strip_wide_mm + 4},
                            .continued = {}},
                           measure);
            draw_tile(flow, tile, content.words);
            for (Page& page : flow.done())
                pages.push_back(std::move(page));
        }
    }
    return pages;
}

} // namespace stoutloom::layout::papers
