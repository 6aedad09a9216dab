#include "size/block_flow.h"

#include <cmath>
#include <limits>
#include <map>

namespace stoutloom::size {
namespace {

// 2^8 corners of a loop are solved at most; beyond, only what Kirchhoff's current law says is used.
constexpr std::size_t most_uncertain = 8;

/// What several appliances together take out of one node of the block and return at another.
struct Transfer {
    std::size_t from = 0, to = 0; // local nodes
    Interval current_a;
};

class Flow {
  public:
    explicit Flow(const BlockQuestion& question)
        : question_(question), graph_(*question.graph), block_(graph_.blocks[question.block]) {
        for (std::size_t i = 0; i < block_.nodes.size(); ++i)
            local_[block_.nodes[i]] = i;
        collect();
    }

    BlockAnswer run() {
        std::vector<std::size_t> uncertain;
        for (std::size_t i = 0; i < block_.wires.size(); ++i)
            if (const Interval ohm = ohm_of(i); ohm.high > ohm.low * (1 + 1e-12))
                uncertain.push_back(i);
        if (uncertain.size() > most_uncertain)
            return crude();
        constexpr double infinite = std::numeric_limits<double>::infinity();
        answer_.wire_a.assign(block_.wires.size(), {infinite, -infinite});
        answer_.pair_v.assign(question_.pairs->size(), {infinite, -infinite});
        std::vector<double> ohm(block_.wires.size());
        for (std::size_t corner = 0; corner < (std::size_t{1} << uncertain.size()); ++corner) {
            for (std::size_t i = 0; i < ohm.size(); ++i)
                ohm[i] = ohm_of(i).low;
            for (std::size_t u = 0; u < uncertain.size(); ++u)
                if ((corner >> u & 1U) != 0)
                    ohm[uncertain[u]] = ohm_of(uncertain[u]).high;
            solve_corner(ohm);
        }
        return std::move(answer_);
    }

    BlockTangent tangent(const std::vector<double>& ohm, std::pair<int, int> pair) const {
        const std::size_t n = block_.nodes.size(), a = local_.at(pair.first), b = local_.at(pair.second);
        std::vector<double> p(n, 0.0), c(n, 0.0);
        p[a] += 1;
        p[b] -= 1;
        double vague_a = 0;
        for (const Transfer& transfer : transfers_) {
            if (transfer.from == transfer.to)
                continue;
            const double middle_a = (transfer.current_a.low + transfer.current_a.high) / 2;
            c[transfer.from] -= middle_a;
            c[transfer.to] += middle_a;
            vague_a += width(transfer.current_a) / 2;
        }
        const auto unit = potentials(ohm);
        const double heat_p = product(p, potential_of(unit, p)), heat_c = product(c, potential_of(unit, c));
        const double scale = heat_c > 0 && heat_p > 0 ? std::sqrt(std::sqrt(heat_c / heat_p)) : 1;
        std::vector<double> sum(n), difference(n);
        for (std::size_t i = 0; i < n; ++i) {
            sum[i] = scale * p[i] + c[i] / scale;
            difference[i] = scale * p[i] - c[i] / scale;
        }
        const std::vector<double> u = potential_of(unit, sum), w = potential_of(unit, difference);
        BlockTangent tangent{.constant_v = product(sum, u) / 2, .of_siemens = {}, .of_ohm = {}};
        std::vector<double> most(ohm.size());
        for (std::size_t i = 0; i < ohm.size(); ++i) {
            const Wire& wire = graph_.wires[block_.wires[i]];
            const std::size_t from = local_.at(wire.a), to = local_.at(wire.b);
            const double across_v = u[from] - u[to], along_a = (w[from] - w[to]) / ohm[i];
            tangent.of_siemens.push_back(across_v * across_v / 4);
            tangent.of_ohm.push_back(along_a * along_a / 4);
            most[i] = ohm_of(i).high;
        }
        // No pair of nodes drives more volts across another pair than across itself, and that grows with
        // every ohm.
        const auto at_most = potentials(most);
        tangent.constant_v -= vague_a * product(p, potential_of(at_most, p));
        return tangent;
    }

  private:
    static double product(const std::vector<double>& one, const std::vector<double>& other) {
        double sum = 0;
        for (std::size_t i = 0; i < one.size(); ++i)
            sum += one[i] * other[i];
        return sum;
    }
    /// Potentials for currents put in at each node that sum to nothing.
    std::vector<double> potential_of(const std::vector<std::vector<double>>& unit,
                                     const std::vector<double>& in_a) const {
        std::vector<double> volts(in_a.size(), 0.0);
        for (std::size_t s = 0; s < in_a.size(); ++s)
            for (std::size_t i = 0; i < in_a.size(); ++i)
                volts[i] -= in_a[s] * unit[s][i];
        return volts;
    }

    Interval ohm_of(std::size_t i) const { return (*question_.wire_ohm)[block_.wires[i]]; }

    /// The node whose outside current is least known is the ground: its current follows from the others'.
    void collect() {
        const std::vector<int>& hangs = graph_.hangs_at[question_.block];
        std::map<std::pair<std::size_t, std::size_t>, Interval> sums;
        const std::size_t nowhere = block_.nodes.size();
        std::vector<double> vague(block_.nodes.size(), 0.0);
        for (std::size_t k = 0; k < graph_.appliances.size(); ++k) {
            const int plus = hangs[static_cast<std::size_t>(graph_.appliances[k].plus)];
            const int minus = hangs[static_cast<std::size_t>(graph_.appliances[k].minus)];
            if (plus == minus)
                continue;
            const std::size_t from = plus < 0 ? nowhere : local_.at(plus);
            const std::size_t to = minus < 0 ? nowhere : local_.at(minus);
            const Interval current = (*question_.appliance_a)[k];
            auto [place, fresh] = sums.try_emplace({from, to}, Interval{0, 0});
            place->second = place->second + current;
            if (from != nowhere)
                vague[from] += width(current);
            if (to != nowhere)
                vague[to] += width(current);
        }
        ground_ = static_cast<std::size_t>(std::max_element(vague.begin(), vague.end()) - vague.begin());
        for (const auto& [ends, current] : sums)
            transfers_.push_back({ends.first == nowhere ? ground_ : ends.first,
                                  ends.second == nowhere ? ground_ : ends.second, current});
    }

    /// Potential of every node for one ampere drawn from each node and returned at the ground, by Gauss
    /// elimination.
    std::vector<std::vector<double>> potentials(const std::vector<double>& ohm) const {
        const std::size_t n = block_.nodes.size();
        std::vector<std::vector<double>> rows(n, std::vector<double>(2 * n, 0.0));
        for (std::size_t i = 0; i < ohm.size(); ++i) {
            const Wire& wire = graph_.wires[block_.wires[i]];
            const std::size_t a = local_.at(wire.a), b = local_.at(wire.b);
            const double siemens = 1 / ohm[i];
            rows[a][a] += siemens;
            rows[b][b] += siemens;
            rows[a][b] -= siemens;
            rows[b][a] -= siemens;
        }
        for (std::size_t i = 0; i < n; ++i) {
            rows[ground_][i] = 0;
            rows[i][ground_] = 0;
            if (i != ground_)
                rows[i][n + i] = -1;
        }
        rows[ground_][ground_] = 1;
        for (std::size_t pivot = 0; pivot < n; ++pivot)
            for (std::size_t i = 0; i < n; ++i) {
                if (i == pivot || rows[i][pivot] == 0)
                    continue;
                const double share = rows[i][pivot] / rows[pivot][pivot];
                for (std::size_t j = pivot; j < 2 * n; ++j)
                    rows[i][j] -= share * rows[pivot][j];
            }
        std::vector<std::vector<double>> by_source(n, std::vector<double>(n, 0.0)); // [drawn at][node]
        for (std::size_t i = 0; i < n; ++i)
            for (std::size_t j = 0; j < n; ++j)
                by_source[j][i] = rows[i][n + j] / rows[i][i];
        return by_source;
    }

    void solve_corner(const std::vector<double>& ohm) {
        const auto potential = potentials(ohm);
        const auto difference = [&](std::size_t a, std::size_t b) {
            Interval sum{0, 0};
            for (const Transfer& transfer : transfers_) {
                const double gain = (potential[transfer.from][a] - potential[transfer.from][b]) -
                                    (potential[transfer.to][a] - potential[transfer.to][b]);
                sum = sum + gain * transfer.current_a;
            }
            return sum;
        };
        for (std::size_t i = 0; i < ohm.size(); ++i) {
            const Wire& wire = graph_.wires[block_.wires[i]];
            answer_.wire_a[i] =
                hull(answer_.wire_a[i], (1 / ohm[i]) * difference(local_.at(wire.a), local_.at(wire.b)));
        }
        for (std::size_t p = 0; p < answer_.pair_v.size(); ++p) {
            const auto [first, second] = (*question_.pairs)[p];
            answer_.pair_v[p] = hull(answer_.pair_v[p], difference(local_.at(first), local_.at(second)));
        }
    }

    /// No wire carries more than all outside currents together, and no two nodes differ by more than that
    /// current through all wires in a row.
    BlockAnswer crude() const {
        double total_a = 0, total_ohm = 0;
        for (const Transfer& transfer : transfers_)
            total_a += greatest_magnitude(transfer.current_a);
        for (std::size_t i = 0; i < block_.wires.size(); ++i)
            total_ohm += ohm_of(i).high;
        return {.wire_a = std::vector<Interval>(block_.wires.size(), {-total_a, total_a}),
                .pair_v = std::vector<Interval>(question_.pairs->size(),
                                                {-total_a * total_ohm, total_a * total_ohm})};
    }

    const BlockQuestion& question_;
    const DutyGraph& graph_;
    const Block& block_;
    std::map<int, std::size_t> local_;
    std::vector<Transfer> transfers_;
    std::size_t ground_ = 0;
    BlockAnswer answer_;
};

} // namespace

BlockAnswer block_flow(const BlockQuestion& question) {
    Flow flow(question);
    return flow.run();
}

BlockTangent block_tangent(const BlockQuestion& question, const std::vector<double>& ohm,
                           std::pair<int, int> pair) {
    return Flow(question).tangent(ohm, pair);
}

} // namespace stoutloom::size
