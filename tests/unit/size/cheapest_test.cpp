// The branch and bound against trying everything, on rows of every kind: knapsacks, forbidden boxes,
// mixtures.
#include "size/cheapest.h"
#include "size/search.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <random>

namespace {

using namespace stoutloom::size;

struct Puzzle {
    std::vector<Variable> variables;
    std::vector<Row> rows;
};

std::vector<Assignment> every(const std::vector<Variable>& variables) {
    std::vector<Assignment> all = {{}};
    for (const Variable& variable : variables) {
        std::vector<Assignment> longer;
        for (const Assignment& so_far : all)
            for (std::size_t option = 0; option < variable.cost.size(); ++option) {
                longer.push_back(so_far);
                longer.back().push_back(option);
            }
        all = std::move(longer);
    }
    return all;
}

std::optional<std::int64_t> least_by_trying(const Puzzle& puzzle) {
    std::optional<std::int64_t> least;
    for (const Assignment& choice : every(puzzle.variables)) {
        if (!std::all_of(puzzle.rows.begin(), puzzle.rows.end(),
                         [&](const Row& row) { return holds(row, choice); }))
            continue;
        const std::int64_t cost = cost_of(puzzle.variables, choice);
        if (!least || cost < *least)
            least = cost;
    }
    return least;
}

std::size_t pick(std::mt19937_64& source, std::size_t count) {
    return std::uniform_int_distribution<std::size_t>(0, count - 1)(source);
}

Puzzle random_puzzle(std::mt19937_64& source) {
    Puzzle puzzle;
    const std::size_t count = 1 + pick(source, 5);
    for (std::size_t i = 0; i < count; ++i) {
        Variable variable{"v" + std::to_string(i), {}};
        std::int64_t cost = static_cast<std::int64_t>(pick(source, 5));
        for (std::size_t option = 0; option < 1 + pick(source, 5); ++option) {
            variable.cost.push_back(cost);
            cost += static_cast<std::int64_t>(pick(source, 40)); // now and then two options cost the same
        }
        puzzle.variables.push_back(variable);
    }
    const std::size_t rows = pick(source, 7);
    for (std::size_t r = 0; r < rows; ++r) {
        if (pick(source, 2) == 0) {
            std::vector<Range> box;
            for (std::size_t i = 0; i < count; ++i) {
                if (pick(source, 3) == 0)
                    continue;
                const std::size_t options = puzzle.variables[i].cost.size();
                const std::size_t low = pick(source, options);
                box.push_back({i, low, low + pick(source, options - low)});
            }
            puzzle.rows.push_back(row_against(puzzle.variables, box, "box " + std::to_string(r)));
            continue;
        }
        // A drop: thicker loses less, not quite evenly.
        Row row;
        row.why = "drop " + std::to_string(r);
        double greatest = 0;
        for (std::size_t i = 0; i < count; ++i) {
            if (pick(source, 3) == 0)
                continue;
            Term term{i, {}};
            double amount = 1 + static_cast<double>(pick(source, 100));
            greatest += amount;
            for (std::size_t option = 0; option < puzzle.variables[i].cost.size(); ++option) {
                term.amount.push_back(amount);
                amount *= 0.4 + 0.007 * static_cast<double>(pick(source, 100));
            }
            row.terms.push_back(term);
        }
        row.limit = greatest * 0.01 * static_cast<double>(pick(source, 110));
        puzzle.rows.push_back(row);
    }
    return puzzle;
}

} // namespace

TEST_CASE("the cheapest choice is the one that trying everything finds") {
    auto source = stoutloom::testing::random_source("cheapest");
    int impossible = 0, found = 0;
    for (int round = 0; round < 3000; ++round) {
        const Puzzle puzzle = random_puzzle(source);
        const auto expected = least_by_trying(puzzle);
        Cheapest cheapest;
        CheapestQuestion question;
        question.variables = &puzzle.variables;
        question.rows = &puzzle.rows;
        const CheapestAnswer answer = cheapest.find(question);
        REQUIRE(answer.complete);
        REQUIRE(answer.choice.has_value() == expected.has_value());
        (expected ? found : impossible) += 1;
        if (!expected)
            continue;
        REQUIRE(answer.cost == *expected);
        REQUIRE(cost_of(puzzle.variables, *answer.choice) == *expected);
        for (const Row& row : puzzle.rows)
            REQUIRE(holds(row, *answer.choice));
    }
    CHECK(found > 1000);
    CHECK(impossible > 100);
}

TEST_CASE("the search over a hidden rule ends at the least good choice and proves it") {
    auto source = stoutloom::testing::random_source("search");
    for (int round = 0; round < 400; ++round) {
        const Puzzle hidden = random_puzzle(source);
        const auto expected = least_by_trying(hidden);
        // Half of the rows are known beforehand, the rest only tells of each choice whether it is good.
        std::vector<Row> known;
        for (std::size_t r = 0; r < hidden.rows.size(); r += 2)
            known.push_back(hidden.rows[r]);
        std::int64_t asked = 0;
        const SearchResult result = search(hidden.variables, known, [&](const Assignment& choice) {
            ++asked;
            Answer answer;
            answer.good = std::all_of(hidden.rows.begin(), hidden.rows.end(),
                                      [&](const Row& row) { return holds(row, choice); });
            std::vector<Range> alone;
            for (std::size_t i = 0; i < choice.size(); ++i)
                alone.push_back({i, choice[i], choice[i]});
            if (!answer.good)
                answer.rows.push_back(row_against(hidden.variables, alone, "alone"));
            return answer;
        });
        REQUIRE(result.proof.complete);
        REQUIRE(result.best.has_value() == expected.has_value());
        CHECK(result.proof.questions == asked);
        if (expected) {
            REQUIRE(result.cost == *expected);
            CHECK(result.proof.lower_bound == *expected);
        } else {
            // Every row of the conflict is needed.
            const auto needed = conflict(hidden.variables, result.rows);
            REQUIRE(!needed.empty());
        }
    }
}

TEST_CASE("a chain of forty sections under one drop limit is solved in few nodes") {
    // 40 pieces in series, 12 sizes each: 12^40 choices. The least copper of a chain is a knapsack.
    const std::vector<double> sections = {1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120};
    Puzzle puzzle;
    Row row;
    row.why = "chain";
    for (std::size_t i = 0; i < 40; ++i) {
        const double length_m = 0.3 + 0.17 * static_cast<double>((i * 7) % 11);
        Variable variable{"W" + std::to_string(i), {}};
        Term term{i, {}};
        for (const double section : sections) {
            variable.cost.push_back(static_cast<std::int64_t>(88.9 * section * length_m + 0.5));
            term.amount.push_back(20 * 0.0185 * length_m / section);
        }
        puzzle.variables.push_back(variable);
        row.terms.push_back(term);
    }
    row.limit = 0.6;
    puzzle.rows.push_back(row);
    Cheapest cheapest;
    CheapestQuestion question;
    question.variables = &puzzle.variables;
    question.rows = &puzzle.rows;
    question.node_limit = 3'000'000;
    const CheapestAnswer answer = cheapest.find(question);
    REQUIRE(answer.complete);
    REQUIRE(answer.choice);
    CHECK(holds(row, *answer.choice));
    MESSAGE("nodes ", answer.effort.nodes);
    CHECK(answer.effort.nodes < 1'000'000);
}
