// Loom boards: each loom straightened along its trunk, with the breakouts, their lengths and a stated scale;
// and the same at 1 : 1 in tiles.
#pragma once

#include "layout/papers/tables.h"

#include <functional>

namespace stoutloom::layout::papers {

/// Cables that leave the trunk at one place towards one unit.
struct Breakout {
    double at_m = 0;  // along the trunk
    std::string unit; // "−G1  Charging unit"
    struct Tail {
        std::string cable, terminal, length; // "W1", "−G1.B+", "0.70 m"
        double length_m = 0;
    };
    std::vector<Tail> tails;
};
/// A stretch of trunk with the same cables in it.
struct TrunkPart {
    double from_m = 0, to_m = 0;
    double bundle_mm = 20; // about, over the cables
    std::size_t cables = 1;
    std::string length; // "4.40 m"
    std::string zone;   // "Under floor"
};
struct LoomBoard {
    std::string id, heading;         // "L1", "Loom L1"
    double length_m = 1;             // of the trunk
    std::vector<TrunkPart> parts;    // from left to right
    std::vector<Breakout> breakouts; // rising along the trunk
    std::vector<std::string> remarks;
    TableBlock cables;
};
struct LoomWords {
    std::string heading, continued, scale, scale_remark, none, tile, print_check, cut_here;
    std::string straight;                       // "{0} straight to the next cut": there is no tile
    std::function<std::string(double)> measure; // a length as the reader's tape tells it
};
struct LoomBoardsContent {
    std::vector<LoomBoard> boards;
    LoomWords words; // {0} in `scale`: "1 : 20"; in `tile`: "2 / 9"; in `straight`: a length
};
std::vector<Page> build_loom_boards(const LoomBoardsContent& content, PaperSize size,
                                    const TextMeasure& measure);
/// True size, A4 or Letter landscape tiles that overlap by 10 mm: cut lines in the middle of the overlap, a
/// letter on both sides of each join, a rule along the foot, and a strip that tells which tile this is. Where
/// nothing branches off there is no tile: the length from cut line to cut line is told, for a tape.
std::vector<Page> build_loom_tiles(const LoomBoardsContent& content, PaperSize size,
                                   const TextMeasure& measure);

/// The values in place of the marks `{0}`, `{1}` ...
std::string filled(std::string words, const std::vector<std::string>& values);
/// 1 : n with n from 1, 2, 5, 10, 20, 50 ... so that `length_m` fits `room_mm`.
double board_scale(double length_m, double room_mm);

} // namespace stoutloom::layout::papers
