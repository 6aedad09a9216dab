// The searches by stages and by merging on their own, without the look down the tree before them: against
// trying everything, on trunks with branches (the shape of a kit) with a few boxes across.
#include "size/merging.h"
#include "size/stages.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <bit>
#include <limits>
#include <random>

namespace {

using namespace stoutloom::size;

struct Ladder {
    std::vector<Variable> variables;
    std::vector<Row> rows;
    Open open;
};

std::size_t pick(std::mt19937_64& source, std::size_t count) {
    return std::uniform_int_distribution<std::size_t>(0, count - 1)(source);
}

/// Two pieces of trunk, a branch after each and one at the end; a drop limit for each branch, now and then
/// two of them in other amounts (another duty); a box against a trunk size with a branch size.
Ladder random_ladder(std::mt19937_64& source) {
    Ladder made;
    const std::size_t count = 5;
    for (std::size_t i = 0; i < count; ++i) {
        Variable variable{"v" + std::to_string(i), {}};
        std::int64_t cost = 0;
        for (std::size_t option = 0; option < 2 + pick(source, 3); ++option)
            variable.cost.push_back(cost += static_cast<std::int64_t>(pick(source, 30)));
        const std::uint64_t all = (std::uint64_t{1} << variable.cost.size()) - 1;
        std::uint64_t open = 0;
        while (open == 0)
            open = pick(source, 3) == 0 ? all & (1 + pick(source, 15)) : all;
        made.open.push_back(open);
        made.variables.push_back(std::move(variable));
    }
    const auto drop = [&](const std::vector<std::size_t>& over, double factor) {
        Row row{{}, 0, "drop"};
        double most = 0;
        for (const std::size_t i : over) {
            Term term{i, {}};
            for (std::size_t option = 0; option < made.variables[i].cost.size(); ++option)
                term.amount.push_back(factor * static_cast<double>(60 + 20 * i) /
                                      static_cast<double>(1 + 2 * option));
            most += term.amount.front();
            row.terms.push_back(std::move(term));
        }
        row.limit = most * 0.01 * static_cast<double>(20 + pick(source, 80));
        made.rows.push_back(std::move(row));
    };
    for (const double factor : {1.0, 0.8}) {
        drop({0, 1}, factor);
        drop({0, 2, 3}, factor);
        drop({0, 2, 4}, factor);
        if (pick(source, 2) == 0)
            break;
    }
    if (pick(source, 2) == 0)
        made.rows.push_back(row_against(made.variables, {{0, 0, pick(source, 2)}, {4, 0, 0}}, "box"));
    return made;
}

std::optional<std::int64_t> least_by_trying(const Ladder& ladder) {
    std::optional<std::int64_t> least;
    Assignment choice(ladder.variables.size(), 0);
    for (;;) {
        bool good = std::all_of(ladder.rows.begin(), ladder.rows.end(),
                                [&](const Row& row) { return holds(row, choice); });
        for (std::size_t i = 0; i < choice.size(); ++i)
            good = good && (ladder.open[i] >> choice[i] & 1) != 0;
        if (good && (!least || cost_of(ladder.variables, choice) < *least))
            least = cost_of(ladder.variables, choice);
        std::size_t i = 0;
        for (; i < choice.size() && ++choice[i] == ladder.variables[i].cost.size(); ++i)
            choice[i] = 0;
        if (i == choice.size())
            return least;
    }
}

StagesAnswer by_stages(const Ladder& ladder, double hopeless_over, std::size_t most_places = 1000) {
    std::vector<std::vector<double>> reduced;
    for (const Variable& variable : ladder.variables)
        reduced.emplace_back(variable.cost.begin(), variable.cost.end());
    const auto rows = needed_rows(ladder.rows, ladder.open);
    const auto order = order_of(ladder.variables.size(), rows, ladder.open);
    return cheapest_by_stages({.variables = &ladder.variables,
                               .rows = rows,
                               .open = &ladder.open,
                               .order = &order,
                               .reduced = &reduced,
                               .constant = 0,
                               .hopeless_over = hopeless_over,
                               .node_limit = 1'000'000,
                               .most_places = most_places});
}

MergingAnswer by_merging(const Ladder& ladder, double hopeless_over, std::size_t most_options = 1000,
                         std::int64_t step_limit = 1'000'000'000, std::size_t most_pairs = 20'000) {
    return cheapest_by_merging({.variables = &ladder.variables,
                                .rows = needed_rows(ladder.rows, ladder.open),
                                .open = &ladder.open,
                                .hopeless_over = hopeless_over,
                                .mend = {},
                                .node_limit = 1'000'000,
                                .step_limit = step_limit,
                                .most_options = most_options,
                                .most_pairs = most_pairs});
}

/// Of 200 ladders, on how many a search that is hindered gives up; none of those may tell a choice.
template <class Asked> int given_up(const char* name, Asked asked) {
    auto source = stoutloom::testing::random_source(name);
    int count = 0;
    for (int round = 0; round < 200; ++round) {
        const auto answer = asked(random_ladder(source));
        count += answer.complete ? 0 : 1;
        CHECK((answer.complete || !answer.choice));
    }
    return count;
}

} // namespace

TEST_CASE("the search by merging ends at the least cost that trying everything finds") {
    auto source = stoutloom::testing::random_source("merging");
    int found = 0, none = 0;
    for (int round = 0; round < 3000; ++round) {
        const Ladder ladder = random_ladder(source);
        const auto expected = least_by_trying(ladder);
        // With next to nothing known, with the least cost just asked for, and with only less asked for.
        // Merged to the end, and split from the beginning or from some way on.
        for (const auto& [over, most_pairs] : {std::pair{1e9, 20'000U},
                                               {0.5, 20'000U},
                                               {-0.5, 20'000U},
                                               {1e9, 1U},
                                               {0.5, 1U},
                                               {-0.5, 1U},
                                               {1e9, 12U}}) {
            const MergingAnswer answer =
                by_merging(ladder, static_cast<double>(expected.value_or(0)) + (expected ? over : 1e9), 1000,
                           1'000'000'000, most_pairs);
            REQUIRE(answer.complete);
            if (!expected || over < 0) {
                REQUIRE(!answer.choice);
                continue;
            }
            REQUIRE(answer.choice);
            REQUIRE(cost_of(ladder.variables, *answer.choice) == *expected);
            for (const Row& row : ladder.rows)
                REQUIRE(holds(row, *answer.choice));
            for (std::size_t i = 0; i < answer.choice->size(); ++i)
                REQUIRE((ladder.open[i] >> (*answer.choice)[i] & 1) == 1);
        }
        (expected ? found : none) += 1;
    }
    CHECK(found > 1000);
    CHECK(none > 300);
}

TEST_CASE("a search by merging that grows too wide or works too long says that it knows nothing") {
    CHECK(given_up("merging too wide", [](const Ladder& ladder) { return by_merging(ladder, 1e9, 1); }) > 10);
    const auto worked = [](std::int64_t steps) {
        return given_up("merging too long",
                        [&](const Ladder& ladder) { return by_merging(ladder, 1e9, 1000, steps); });
    };
    CHECK(given_up("splitting too long",
                   [](const Ladder& ladder) { return by_merging(ladder, 1e9, 1000, 2000, 1); }) > 10);
    CHECK(worked(1) > 10);
    CHECK(worked(1'000'000'000) == 0);
}

TEST_CASE("the search by stages ends at the least cost that trying everything finds") {
    constexpr double nothing_known = std::numeric_limits<double>::infinity();
    auto source = stoutloom::testing::random_source("stages");
    int found = 0, none = 0;
    for (int round = 0; round < 3000; ++round) {
        const Ladder ladder = random_ladder(source);
        const auto expected = least_by_trying(ladder);
        const StagesAnswer answer = by_stages(ladder, nothing_known);
        REQUIRE(answer.complete);
        REQUIRE(answer.choice.has_value() == expected.has_value());
        (expected ? found : none) += 1;
        if (!expected)
            continue;
        REQUIRE(cost_of(ladder.variables, *answer.choice) == *expected);
        for (const Row& row : ladder.rows)
            REQUIRE(holds(row, *answer.choice));
        // With a good choice known, only what is cheaper is asked for: of that there is none.
        CHECK(!by_stages(ladder, static_cast<double>(*expected) - 0.5).choice);
        CHECK(by_stages(ladder, static_cast<double>(*expected) + 0.5).choice);
    }
    CHECK(found > 1000);
    CHECK(none > 300);
}

TEST_CASE("a search by stages that grows too wide says that it knows nothing") {
    CHECK(given_up("stages too wide", [](const Ladder& ladder) {
              return by_stages(ladder, std::numeric_limits<double>::infinity(), 1);
          }) > 10);
}
