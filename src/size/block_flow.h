// Currents in a loop of wires whose resistances and outside currents are known as intervals only.
// Room-internal.
//
// With the outside currents fixed, each wire's current and each potential difference is a quotient of two
// functions that are linear in any one wire's resistance, and its denominator has no zero for resistances
// above zero: so it is monotone in each single resistance, and over a box of resistances its extremes lie at
// corners of the box. All corners are solved; at each, everything is linear in the outside currents, which
// are then put in as intervals.
#pragma once

#include "size/duty_graph.h"
#include "size/interval.h"

#include <utility>
#include <vector>

namespace stoutloom::size {

struct BlockQuestion {
    const DutyGraph* graph = nullptr;
    std::size_t block = 0;
    const std::vector<Interval>* wire_ohm = nullptr;         // by wire of the graph
    const std::vector<Interval>* appliance_a = nullptr;      // by appliance
    const std::vector<std::pair<int, int>>* pairs = nullptr; // potential differences asked for
};
struct BlockAnswer {
    std::vector<Interval> wire_a; // as Block::wires, positive from a to b
    std::vector<Interval> pair_v; // as the pairs, first minus second
};
BlockAnswer block_flow(const BlockQuestion& question);

} // namespace stoutloom::size
