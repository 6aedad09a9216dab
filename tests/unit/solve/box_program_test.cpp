// The small linear programme behind the worst-case bounds: textbook corners, limits that cannot be met,
// random cases against trying every corner of the box cut by one row.
#include "solve/box_program.h"

#include "testing/testing.h"

#include <doctest/doctest.h>

#include <limits>

using namespace stoutloom::solve;

namespace {

constexpr double endless = std::numeric_limits<double>::infinity();

} // namespace

TEST_CASE("a textbook corner is found exactly") {
    // Dantzig's classic: 3x + 5y, x <= 4, 2y <= 12, 3x + 2y <= 18: (2, 6) gives 36 (Hillier and Lieberman,
    // from memory).
    BoxSolver solver({.low = {0, 0}, .high = {4, 6}, .rows = {{.a = {3, 2}, .low = -endless, .high = 18}}});
    CHECK_FALSE(solver.impossible());
    const auto best = solver.maximise({3, 5});
    CHECK(best.bound == doctest::Approx(36));
    CHECK(best.x[0] == doctest::Approx(2));
    CHECK(best.x[1] == doctest::Approx(6));
    // From the same corner the other way: the least of 3x + 5y is 0.
    CHECK(solver.maximise({-3, -5}).bound == doctest::Approx(0));
}

TEST_CASE("rows that pass the box by are told impossible") {
    CHECK(BoxSolver({.low = {0, 0}, .high = {1, 1}, .rows = {{.a = {1, 1}, .low = 2.5, .high = endless}}})
              .impossible());
    CHECK(BoxSolver({.low = {0, 0},
                     .high = {1, 1},
                     .rows = {{.a = {1, 1}, .low = 1.5, .high = 3}, {.a = {1, 1}, .low = 0, .high = 1}}})
              .impossible());
    CHECK_FALSE(BoxSolver({.low = {0, 0}, .high = {1, 1}, .rows = {{.a = {1, 1}, .low = 2, .high = endless}}})
                    .impossible());
}

TEST_CASE("no sampled point ever beats the bound, and the corner found attains it") {
    auto source = stoutloom::testing::random_source("box programme");
    std::uniform_real_distribution<double> real(-1, 1);
    std::uniform_int_distribution<int> size(1, 8);
    int possible = 0;
    for (int round = 0; round < 300; ++round) {
        const auto n = static_cast<std::size_t>(size(source));
        const auto m = static_cast<std::size_t>(size(source)) / 2;
        BoxProgram program;
        for (std::size_t j = 0; j < n; ++j) {
            program.low.push_back(real(source) - 1);
            program.high.push_back(program.low.back() + real(source) + 1);
        }
        for (std::size_t i = 0; i < m; ++i) {
            BoxRow row{.a = {}, .low = real(source) < 0 ? -endless : real(source) - 1, .high = 0};
            for (std::size_t j = 0; j < n; ++j)
                row.a.push_back(real(source));
            row.high = std::max(row.low, -2.0) + 1 + real(source);
            program.rows.push_back(row);
        }
        std::vector<double> c;
        for (std::size_t j = 0; j < n; ++j)
            c.push_back(real(source));
        BoxSolver solver(program);
        const auto fits = [&](const std::vector<double>& x, double slack) {
            for (const auto& row : program.rows) {
                double sum = 0;
                for (std::size_t j = 0; j < n; ++j)
                    sum += row.a[j] * x[j];
                if (sum < row.low - slack || sum > row.high + slack)
                    return false;
            }
            return true;
        };
        std::vector<double> x(n);
        double sampled = -endless;
        for (int sample = 0; sample < 400; ++sample) {
            for (std::size_t j = 0; j < n; ++j)
                x[j] = std::uniform_real_distribution<double>(program.low[j], program.high[j])(source);
            if (!fits(x, 0))
                continue;
            double sum = 0;
            for (std::size_t j = 0; j < n; ++j)
                sum += c[j] * x[j];
            sampled = std::max(sampled, sum);
        }
        if (solver.impossible()) {
            CHECK(sampled == -endless);
            continue;
        }
        const auto best = solver.maximise(c);
        CHECK(sampled <= best.bound + 1e-9);
        if (sampled == -endless)
            continue;
        ++possible;
        CHECK(fits(best.x, 1e-7));
        double attained = 0;
        for (std::size_t j = 0; j < n; ++j)
            attained += c[j] * best.x[j];
        CHECK(attained == doctest::Approx(best.bound).epsilon(1e-6));
    }
    CHECK(possible > 100);
}
