// The two flow problems, against textbook networks and against trying everything.
#include "check/flow.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>

using namespace stoutloom;
using check::Arc;
using check::Pipe;

TEST_CASE("greatest flow of two pipes in series is the smaller and of two beside each other the sum") {
    const std::vector<Pipe> series = {{0, 1, 5}, {1, 2, 3}};
    const auto narrow = check::greatest_flow(3, series, 0, 2);
    CHECK(narrow.value == doctest::Approx(3));
    REQUIRE(narrow.cut.size() == 1);
    CHECK(narrow.cut[0] == 1);
    const std::vector<Pipe> beside = {{0, 1, 5}, {1, 0, 3}};
    CHECK(check::greatest_flow(2, beside, 0, 1).value == doctest::Approx(8));
}

TEST_CASE("an infinite way has no cut and no way at all carries nothing") {
    const double endless = std::numeric_limits<double>::infinity();
    const std::vector<Pipe> pipes = {{0, 1, endless}, {1, 2, endless}, {3, 4, 1}};
    CHECK(std::isinf(check::greatest_flow(5, pipes, 0, 2).value));
    CHECK(check::greatest_flow(5, pipes, 0, 4).value == 0);
    CHECK(std::isinf(check::greatest_flow(5, pipes, 1, 1).value));
}

TEST_CASE("greatest flow equals least cut over every subset of nodes") {
    auto random = testing::random_source("flow cuts");
    for (int round = 0; round < 500; ++round) {
        const int nodes = std::uniform_int_distribution<int>(2, 6)(random);
        std::vector<Pipe> pipes;
        for (int p = std::uniform_int_distribution<int>(1, 10)(random); p > 0; --p)
            pipes.push_back({std::uniform_int_distribution<int>(0, nodes - 1)(random),
                             std::uniform_int_distribution<int>(0, nodes - 1)(random),
                             std::uniform_int_distribution<int>(0, 9)(random) * 0.5});
        double least = std::numeric_limits<double>::infinity();
        for (unsigned side = 0; side < (1U << nodes); ++side) {
            if ((side & 1U) == 0 || (side >> 1U & 1U) != 0)
                continue;
            double cut = 0;
            for (const Pipe& pipe : pipes)
                if ((side >> pipe.a & 1U) != (side >> pipe.b & 1U))
                    cut += pipe.capacity;
            least = std::min(least, cut);
        }
        const auto flow = check::greatest_flow(nodes, pipes, 0, 1);
        CHECK(flow.value == doctest::Approx(least));
        double told = 0;
        for (const std::size_t index : flow.cut)
            told += pipes[index].capacity;
        CHECK(told == doctest::Approx(least));
    }
}

TEST_CASE("a circulation meets its bounds at least cost or there is none") {
    // 0 -> 1 by a dear and a cheap arc, back by an arc that must carry two.
    const std::vector<Arc> arcs = {{0, 1, 0, 2, 5}, {0, 1, 0, 1, 1}, {1, 0, 2, 2, 0}};
    const auto flows = check::cheapest_circulation(2, arcs);
    REQUIRE(flows.has_value());
    CHECK(*flows == std::vector<int>{1, 1, 2});
    const std::vector<Arc> too_much = {{0, 1, 0, 1, 0}, {1, 0, 2, 2, 0}};
    CHECK_FALSE(check::cheapest_circulation(2, too_much).has_value());
    const std::vector<Arc> crossed = {{0, 1, 3, 2, 0}};
    CHECK_FALSE(check::cheapest_circulation(2, crossed).has_value());
}

TEST_CASE("circulations agree with trying every whole flow") {
    auto random = testing::random_source("circulations");
    const auto pick = [&](int from, int to) { return std::uniform_int_distribution<int>(from, to)(random); };
    int feasible = 0;
    for (int round = 0; round < 800; ++round) {
        const int nodes = pick(2, 4);
        std::vector<Arc> arcs;
        for (int a = pick(2, 6); a > 0; --a) {
            const int least = pick(0, 3) == 0 ? 1 : 0;
            arcs.push_back({pick(0, nodes - 1), pick(0, nodes - 1), least, least + pick(0, 2), pick(0, 3)});
        }
        int best = -1;
        std::vector<int> flow;
        for (const Arc& arc : arcs)
            flow.push_back(arc.least);
        while (true) {
            std::vector<int> surplus(static_cast<std::size_t>(nodes), 0);
            int cost = 0;
            for (std::size_t a = 0; a < arcs.size(); ++a) {
                surplus[static_cast<std::size_t>(arcs[a].to)] += flow[a];
                surplus[static_cast<std::size_t>(arcs[a].from)] -= flow[a];
                cost += flow[a] * arcs[a].cost;
            }
            if (std::all_of(surplus.begin(), surplus.end(), [](int s) { return s == 0; }) &&
                (best < 0 || cost < best))
                best = cost;
            std::size_t digit = 0;
            while (digit < arcs.size() && ++flow[digit] > arcs[digit].greatest) {
                flow[digit] = arcs[digit].least;
                ++digit;
            }
            if (digit == arcs.size())
                break;
        }
        const auto found = check::cheapest_circulation(nodes, arcs);
        REQUIRE(found.has_value() == (best >= 0));
        if (!found)
            continue;
        ++feasible;
        int cost = 0;
        for (std::size_t a = 0; a < arcs.size(); ++a)
            cost += (*found)[a] * arcs[a].cost;
        CHECK(cost == best);
    }
    CHECK(feasible > 200);
}
