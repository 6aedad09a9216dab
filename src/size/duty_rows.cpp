// Rows out of the intervals of one duty: what each option loses at least on the ways of a requirement.
#include "size/duty_bounds.h"

#include <limits>

namespace stoutloom::size {
namespace {

/// Rounding of what a row adds up, and of the solver's own answers.
constexpr double dust_v = 1e-7;
constexpr double over_limit = 1 + 1e-6; // as in duty_bounds.cpp

} // namespace

/// The choice that a wire's resistance hangs on, studs aside.
std::optional<std::size_t> DutyBounds::choice_of(const Wire& wire) const {
    if (wire.kind == WireKind::cable)
        return table_.choice_of_cable(wire.index);
    if (wire.kind == WireKind::fuse_link)
        return table_.choice_of_link(wire.index);
    return std::nullopt;
}

void DutyBounds::drop_terms(const std::vector<Way>& ways, const OpenOptions& open, TermsByChoice& by_choice,
                            double& rest_v, const Assignment* at) const {
    rest_v = 0;
    for (const Way& way : ways)
        for (const Leg& leg : way) {
            const auto choice = leg.wire ? choice_of(graph_.wires[*leg.wire]) : std::nullopt;
            if (leg.wire)
                joint_terms(leg, open, by_choice);
            if (!leg.wire && at != nullptr) {
                rest_v += block_terms(leg.block, {leg.from, leg.to}, open, *at, by_choice);
                continue;
            }
            if (!choice) {
                // With studs to be chosen at its ends: what the cable itself loses, the ends are terms.
                const bool apart = leg.wire && graph_.wires[*leg.wire].kind == WireKind::cable &&
                                   !table_.joints(graph_.wires[*leg.wire].index).empty();
                rest_v += (apart ? leg.sign * wire_v_at(*leg.wire, 0) : leg_v(leg)).low;
                continue;
            }
            const std::uint64_t bits = open.bits[*choice];
            std::vector<double>& amounts = by_choice[*choice];
            amounts.resize(static_cast<std::size_t>(64 - std::countl_zero(bits)), 0.0);
            for (std::uint64_t left = bits; left != 0; left &= left - 1) {
                const std::size_t option = lowest(left);
                amounts[option] += (leg.sign * wire_v_at(*leg.wire, option)).low;
            }
        }
}

/// Volts between two nodes of a block: by the bound that touches at an assignment. Returns what hangs on no
/// choice.
double DutyBounds::block_terms(std::size_t b, std::pair<int, int> pair, const OpenOptions& open,
                               const Assignment& at, TermsByChoice& by_choice) const {
    const Block& block = graph_.blocks[b];
    std::vector<double> ohm;
    for (const std::size_t w : block.wires) {
        const auto choice = choice_of(graph_.wires[w]);
        const Interval here = wire_ohm_at(w, choice ? at[*choice] : 0, open);
        ohm.push_back((here.low + here.high) / 2);
    }
    const BlockTangent tangent = block_tangent({.graph = &graph_,
                                                .block = b,
                                                .wire_ohm = &known_.wire_ohm,
                                                .appliance_a = &known_.appliance_a,
                                                .pairs = &pairs_[b]},
                                               ohm, pair);
    double rest_v = tangent.constant_v - dust_v;
    for (std::size_t i = 0; i < block.wires.size(); ++i) {
        const std::size_t w = block.wires[i];
        const auto least_v = [&](std::size_t option) {
            const Interval possible = wire_ohm_at(w, option, open);
            return -tangent.of_siemens[i] / possible.low - tangent.of_ohm[i] * possible.high;
        };
        const auto choice = choice_of(graph_.wires[w]);
        if (!choice) {
            rest_v += least_v(0);
            continue;
        }
        const std::uint64_t bits = open.bits[*choice];
        std::vector<double>& amounts = by_choice[*choice];
        amounts.resize(static_cast<std::size_t>(64 - std::countl_zero(bits)), 0.0);
        for (std::uint64_t left = bits; left != 0; left &= left - 1)
            amounts[lowest(left)] += least_v(lowest(left));
    }
    return rest_v;
}

/// What a wire has in one size over all that the box leaves open otherwise.
Interval DutyBounds::wire_ohm_at(std::size_t w, std::size_t option, const OpenOptions& open) const {
    const Wire& wire = graph_.wires[w];
    if (wire.kind == WireKind::fixed)
        return {wire.ohm, wire.ohm};
    if (wire.kind == WireKind::fuse_link)
        return table_.link_ohm(wire.index, option);
    return cable_ohm_at(w, option) + table_.joints_ohm(wire.index, open.bits);
}

/// The ends of a cable on studs that are to be chosen.
void DutyBounds::joint_terms(const Leg& leg, const OpenOptions& open, TermsByChoice& by_choice) const {
    const Wire& wire = graph_.wires[*leg.wire];
    if (wire.kind != WireKind::cable)
        return;
    for (const CableTable::Joint& joint : table_.joints(wire.index)) {
        const std::uint64_t bits = open.bits[joint.choice];
        std::vector<double>& amounts = by_choice[joint.choice];
        amounts.resize(static_cast<std::size_t>(64 - std::countl_zero(bits)), 0.0);
        for (std::uint64_t left = bits; left != 0; left &= left - 1) {
            const std::size_t option = lowest(left);
            const Interval ohm{joint.ohm[option], joint.ohm[option]};
            amounts[option] += (leg.sign * times(known_.wire_a[*leg.wire], ohm)).low;
        }
    }
}

/// Two nodes of a loop that both duties have: the loop driven by the difference of the two duties' outside
/// currents, plus what a cable's being warmer in one of them can do. (A resistance moves the volts by no more
/// than its own change times its own current.)
std::optional<double> DutyBounds::least_more_across(const Leg& leg, const DutyBounds& other,
                                                    const Leg& others_leg, const OpenOptions& open) const {
    const Block &mine = graph_.blocks[leg.block], &its = other.graph_.blocks[others_leg.block];
    if (mine.nodes != its.nodes || mine.wires.size() != its.wires.size())
        return std::nullopt;
    DutyGraph both;
    std::vector<Interval> ohm, more_a;
    double warmer_ohm_a = 0;
    std::vector<double> differ_ohm;
    for (std::size_t i = 0; i < mine.wires.size(); ++i) {
        const Wire &one = graph_.wires[mine.wires[i]], &two = other.graph_.wires[its.wires[i]];
        if (one.kind != two.kind || one.index != two.index || one.a != two.a || one.b != two.b ||
            (one.kind == WireKind::fixed && one.ohm != two.ohm))
            return std::nullopt;
        both.wires.push_back(one);
        ohm.push_back(hull(known_.wire_ohm[mine.wires[i]], other.known_.wire_ohm[its.wires[i]]));
        const auto choice = choice_of(one);
        double most = 0;
        for (std::uint64_t left = choice ? open.bits[*choice] : 1; left != 0; left &= left - 1) {
            const Interval here = wire_ohm_at(mine.wires[i], lowest(left), open),
                           there = other.wire_ohm_at(its.wires[i], lowest(left), open);
            most = std::max({most, here.high - there.low, there.high - here.low});
        }
        differ_ohm.push_back(most);
    }
    // Nodes of the block keep their numbers; one number more stands for everywhere else.
    const int elsewhere = mine.nodes.back() + 1;
    both.nodes = elsewhere + 1;
    std::vector<int> hangs(static_cast<std::size_t>(both.nodes), -1);
    for (const int node : mine.nodes)
        hangs[static_cast<std::size_t>(node)] = node;
    both.hangs_at.push_back(std::move(hangs));
    both.blocks.push_back({.wires = {}, .nodes = mine.nodes});
    for (std::size_t i = 0; i < both.wires.size(); ++i)
        both.blocks.front().wires.push_back(i);
    DutyGraph alone = both;
    const auto add = [&](DutyGraph& to, const DutyBounds& from, std::size_t block) {
        for (const Appliance& appliance : from.graph_.appliances) {
            const auto hung = [&](int node) {
                const int at = from.graph_.hangs_at[block][static_cast<std::size_t>(node)];
                return at < 0 ? elsewhere : at;
            };
            to.appliances.push_back({.port = std::nullopt,
                                     .ohm = 0,
                                     .plus = hung(appliance.plus),
                                     .minus = hung(appliance.minus),
                                     .device = std::nullopt,
                                     .supplied = false});
        }
    };
    add(both, *this, leg.block);
    add(both, other, others_leg.block);
    add(alone, other, others_leg.block);
    more_a = known_.appliance_a;
    for (const Interval one : other.known_.appliance_a)
        more_a.push_back(-one);
    const std::vector<std::pair<int, int>> pairs = {{leg.from, leg.to}};
    const BlockAnswer more =
        block_flow({.graph = &both, .block = 0, .wire_ohm = &ohm, .appliance_a = &more_a, .pairs = &pairs});
    const BlockAnswer theirs = block_flow({.graph = &alone,
                                           .block = 0,
                                           .wire_ohm = &ohm,
                                           .appliance_a = &other.known_.appliance_a,
                                           .pairs = &pairs});
    for (std::size_t i = 0; i < differ_ohm.size(); ++i)
        warmer_ohm_a += differ_ohm[i] * greatest_magnitude(theirs.wire_a[i]);
    return more.pair_v.front().low - warmer_ohm_a - dust_v;
}

double DutyBounds::least_more_v(const std::vector<Way>& ways, const DutyBounds& other,
                                const std::vector<Way>& others_ways, const OpenOptions& open) const {
    double sum = 0;
    std::vector<const Leg*> theirs;
    for (const Way& way : others_ways)
        for (const Leg& leg : way)
            theirs.push_back(&leg);
    for (const Way& way : ways)
        for (const Leg& leg : way) {
            const auto across = std::find_if(theirs.begin(), theirs.end(), [&](const Leg* one) {
                return !leg.wire && !one->wire && leg.from == one->from && leg.to == one->to;
            });
            if (across != theirs.end()) {
                if (const auto more = least_more_across(leg, other, **across, open)) {
                    sum += *more;
                    theirs.erase(across);
                    continue;
                }
            }
            // One cable loses at one size in both: compared size by size.
            const auto same = std::find_if(theirs.begin(), theirs.end(), [&](const Leg* one) {
                if (!leg.wire || !one->wire)
                    return false;
                const Wire &mine = graph_.wires[*leg.wire], &its = other.graph_.wires[*one->wire];
                return mine.kind != WireKind::fixed && mine.kind == its.kind && mine.index == its.index &&
                       (mine.kind == WireKind::fuse_link || table_.joints(mine.index).empty());
            });
            if (same == theirs.end()) {
                sum += leg_v(leg).low;
                continue;
            }
            const Wire& wire = graph_.wires[*leg.wire];
            const auto choice = choice_of(wire);
            double least = std::numeric_limits<double>::infinity();
            for (std::uint64_t left = choice ? open.bits[*choice] : 1; left != 0; left &= left - 1)
                least =
                    std::min(least, (leg.sign * wire_v_at(*leg.wire, lowest(left))).low -
                                        ((*same)->sign * other.wire_v_at(*(*same)->wire, lowest(left))).high);
            sum += least;
            theirs.erase(same);
        }
    for (const Leg* leg : theirs)
        sum -= other.leg_v(*leg).high;
    return sum;
}

void DutyBounds::add_current_rows(const OpenOptions& open, const Assignment& at,
                                  std::vector<Row>& rows) const {
    const bool all_day = !harness_.duties[duty_].duration_s;
    for (std::size_t w = 0; w < graph_.wires.size(); ++w) {
        const Wire& wire = graph_.wires[w];
        if (wire.block < 0)
            continue;
        if (wire.kind == WireKind::cable && all_day)
            add_rows_of_wire(
                w, open, at, "cable-ampacity " + name_of(w),
                [&](std::size_t option) { return table_.usable_a(wire.index, option); }, rows);
        if (wire.kind == WireKind::cable)
            add_ground_rows(w, open, at, rows);
        if (wire.allowed_a)
            add_rows_of_wire(
                w, open, at, rule_of_path(wire), [&](std::size_t) { return wire.allowed_a; }, rows);
    }
}

/// `allowed_a`: by option; nothing: that option may carry any current.
void DutyBounds::add_rows_of_wire(std::size_t w, const OpenOptions& open, const Assignment& at,
                                  const std::string& why, const AllowedA& allowed_a,
                                  std::vector<Row>& rows) const {
    const Wire& wire = graph_.wires[w];
    const auto choice = choice_of(wire);
    const auto allowed_v = [&](std::size_t option) {
        const auto here_a = allowed_a(option);
        return here_a ? std::optional(*here_a * over_limit * wire_ohm_at(w, option, open).high)
                      : std::nullopt;
    };
    const auto here_v = allowed_v(choice ? at[*choice] : 0);
    if (!here_v)
        return;
    for (const auto& ends : {std::pair(wire.a, wire.b), std::pair(wire.b, wire.a)}) {
        TermsByChoice terms;
        double rest_v = block_terms(static_cast<std::size_t>(wire.block), ends, open, at, terms);
        if (!choice)
            rest_v -= *here_v;
        for (std::uint64_t left = choice ? open.bits[*choice] : 0; left != 0; left &= left - 1)
            terms[*choice][lowest(left)] -= allowed_v(lowest(left)).value_or(any_v);
        rows.push_back({.terms = {}, .limit = 1e-6 * (1 + *here_v) - rest_v, .why = why});
        for (auto& [which, amounts] : terms)
            rows.back().terms.push_back({which, std::move(amounts)});
    }
}

} // namespace stoutloom::size
