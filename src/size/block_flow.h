// Currents in a loop of wires whose resistances and outside currents are known as intervals only.
// Room-internal.
//
// With the outside currents fixed, each wire's current and each potential difference is a quotient of two
// functions that are linear in any one wire's resistance, and its denominator has no zero for resistances
// above zero: so it is monotone in each single resistance, and over a box of resistances its extremes lie at
// corners of the box. All corners are solved; at each, everything is linear in the outside currents, which
// are then put in as intervals.
//
// A bound that is one term for each wire: the volts v = p'Yc between a pair p for outside currents c (Y the
// inverse of the matrix of conductances) are ((p+c)'Y(p+c) - (p-c)'Y(p-c)) / 4, with p and c scaled to be
// alike. The heat d'Yd is at least 2 u'd - sum of siemens * (volts of u across the wire)^2 for any potentials
// u (Dirichlet's principle) and at most the sum of ohm * (current)^2 of any currents that meet d (Thomson's
// principle); taken with the potentials and currents of one choice of wires, both hold for every other.
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

/// A bound from below on the volts between two nodes of a block that is a sum over its wires, one term each:
///   volts >= constant_v - sum over wires of (of_siemens / ohm + of_ohm * ohm)
/// for all resistances, with equality (but for what is not known of the outside currents) where it was taken.
struct BlockTangent {
    double constant_v = 0;
    std::vector<double> of_siemens, of_ohm; // as Block::wires, none below zero
};
/// `ohm`: where it is taken, as Block::wires.
BlockTangent block_tangent(const BlockQuestion& question, const std::vector<double>& ohm,
                           std::pair<int, int> pair);

} // namespace stoutloom::size
