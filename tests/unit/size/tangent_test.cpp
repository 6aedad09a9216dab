// The bound on the volts between two nodes of a loop, against the same loop solved: under it at every choice
// of resistances, and on it where it was taken.
#include "size/block_flow.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <cmath>
#include <random>

namespace {

using namespace stoutloom::size;

double between(std::mt19937_64& source, double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(source);
}

/// A ring of nodes with chords; currents taken out at nodes and given back at others.
DutyGraph random_mesh(std::mt19937_64& source, int nodes, int chords, int loads) {
    DutyGraph graph;
    graph.nodes = nodes;
    Block block;
    const auto wire = [&](int a, int b) {
        if (a == b)
            return;
        block.wires.push_back(graph.wires.size());
        Wire made;
        made.a = a;
        made.b = b;
        made.block = 0;
        graph.wires.push_back(made);
    };
    const auto some = [&] { return static_cast<int>(between(source, 0, nodes - 1e-9)); };
    for (int node = 0; node < nodes; ++node) {
        wire(node, (node + 1) % nodes);
        block.nodes.push_back(node);
    }
    for (int chord = 0; chord < chords; ++chord)
        wire(some(), some());
    for (int load = 0; load < loads; ++load) {
        Appliance appliance;
        appliance.plus = some();
        appliance.minus = some();
        graph.appliances.push_back(appliance);
    }
    graph.blocks.push_back(block);
    graph.hangs_at.push_back(block.nodes);
    return graph;
}

} // namespace

TEST_CASE("the bound on a loop lies under its volts everywhere and on them where it was taken") {
    auto source = stoutloom::testing::random_source("tangent");
    double closest = 1e9;
    for (int round = 0; round < 400; ++round) {
        const DutyGraph graph = random_mesh(source, 3 + round % 4, round % 3, 1 + round % 4);
        const std::size_t wires = graph.wires.size();
        std::vector<Interval> range(wires), current;
        std::vector<double> taken_at(wires);
        for (std::size_t w = 0; w < wires; ++w) {
            range[w] = {between(source, 0.1, 1), between(source, 1, 8)};
            taken_at[w] = between(source, range[w].low, range[w].high);
        }
        const double vague_a = round % 2 == 0 ? 0 : 0.5;
        for (std::size_t k = 0; k < graph.appliances.size(); ++k) {
            const double middle_a = between(source, -20, 100);
            current.push_back({middle_a - vague_a, middle_a + vague_a});
        }
        const std::vector<std::pair<int, int>> pairs = {{0, 1 + round % 2}};
        const BlockTangent tangent = block_tangent(
            {.graph = &graph, .block = 0, .wire_ohm = &range, .appliance_a = &current, .pairs = &pairs},
            taken_at, pairs.front());
        const auto bound_v = [&](const std::vector<double>& ohm) {
            double sum = tangent.constant_v;
            for (std::size_t w = 0; w < wires; ++w)
                sum -= tangent.of_siemens[w] / ohm[w] + tangent.of_ohm[w] * ohm[w];
            return sum;
        };
        for (int other = 0; other < 30; ++other) {
            std::vector<double> ohm = taken_at;
            for (std::size_t w = 0; w < wires && other > 0; ++w)
                ohm[w] = between(source, range[w].low, range[w].high);
            std::vector<Interval> exact_ohm, exact_a;
            for (const double one : ohm)
                exact_ohm.push_back({one, one});
            for (const Interval one : current) {
                const double somewhere_a = between(source, one.low, one.high);
                exact_a.push_back({somewhere_a, somewhere_a});
            }
            const double volts = block_flow({.graph = &graph,
                                             .block = 0,
                                             .wire_ohm = &exact_ohm,
                                             .appliance_a = &exact_a,
                                             .pairs = &pairs})
                                     .pair_v.front()
                                     .low;
            REQUIRE(bound_v(ohm) <= volts + 1e-9 * (1 + std::abs(volts)));
            if (other == 0 && vague_a == 0)
                REQUIRE(bound_v(ohm) == doctest::Approx(volts).epsilon(1e-6));
            if (other > 0)
                closest = std::min(closest, volts - bound_v(ohm));
        }
    }
    CHECK(closest < 0.5); // elsewhere it is no idle bound either
}
