// The worst-case bound against trying every combination: never below, and how often a combination attains it.
#include "solve/regime_bounds.h"
#include "solve/temperatures.h"
#include "solve/worst_case.h"

#include "testing/random_kit.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace stoutloom;

namespace {

std::vector<std::vector<double>> ambient(const model::Harness& harness) {
    std::vector<std::vector<double>> degc;
    for (std::size_t c = 0; c < harness.cables.size(); ++c)
        degc.push_back(
            solve::ambient_of(*solve::cable_parts(harness, static_cast<model::CableIndex>(c), {})));
    return degc;
}

std::vector<bool> combination(std::size_t choice, std::size_t loads) {
    std::vector<bool> on;
    for (std::size_t i = 0; i < loads; ++i)
        on.push_back((choice >> i & 1U) != 0);
    return on;
}

} // namespace

TEST_CASE("no combination exceeds the bound of its regime") {
    auto source = testing::random_source("worst case brute force");
    int cables = 0;
    int tight = 0;
    double loosest = 1;
    std::size_t most_loads = 0;
    for (int round = 0; round < 60; ++round) {
        testing::RandomKit random(source, {.most_sources = 2, .most_consumers = round % 6 == 0 ? 14 : 7});
        const model::Harness& harness = random.kit().harness;
        const auto& duty = harness.duties[static_cast<std::size_t>(random.whole(0, 4))];
        auto frozen = solve::FrozenNetwork::at(harness, duty, {}, ambient(harness));
        REQUIRE(frozen.has_value());
        const auto bounds = solve::regime_bounds(*frozen);
        REQUIRE_MESSAGE(bounds.has_value(), (bounds ? "" : bounds.error().message));
        const std::size_t loads = frozen->loads().size();
        most_loads = std::max(most_loads, loads);
        std::vector<double> greatest(harness.cables.size(), 0.0);
        for (std::size_t choice = 0; choice < (std::size_t{1} << loads); ++choice) {
            const auto currents = frozen->currents_a(harness, combination(choice, loads));
            REQUIRE(currents.has_value());
            for (std::size_t c = 0; c < greatest.size(); ++c)
                greatest[c] = std::max(greatest[c], std::abs((*currents)[c]));
        }
        for (std::size_t c = 0; c < greatest.size(); ++c) {
            const double bound = bounds->cables[c].bound_a;
            CHECK(greatest[c] <= bound * (1 + 1e-9) + 1e-5);
            if (greatest[c] < 0.1)
                continue;
            ++cables;
            tight += greatest[c] >= 0.999 * bound ? 1 : 0;
            loosest = std::max(loosest, bound / greatest[c]);
        }
    }
    MESSAGE(cables << " cables with current, bound attained in " << tight << ", loosest bound " << loosest
                   << " times the greatest, up to " << most_loads << " consumers");
    CHECK(tight > cables / 2);
}

TEST_CASE("the witness is the best combination wherever the bound is attained") {
    auto source = testing::random_source("worst case witness");
    int attained = 0;
    int cables = 0;
    for (int round = 0; round < 12; ++round) {
        testing::RandomKit random(source, {.most_sources = 2, .most_consumers = 5, .coils = false});
        const model::Harness& harness = random.kit().harness;
        const auto& duty = harness.duties[static_cast<std::size_t>(random.whole(1, 3))];
        const auto worst = solve::worst_combination(harness, duty);
        REQUIRE_MESSAGE(worst.has_value(), (worst ? "" : worst.error().message));
        std::vector<double> greatest(harness.cables.size(), 0.0);
        for (std::size_t choice = 0; choice < (std::size_t{1} << worst->choices.size()); ++choice) {
            solve::Variation these;
            these.running.emplace();
            for (std::size_t i = 0; i < worst->choices.size(); ++i)
                if ((choice >> i & 1U) != 0)
                    these.running->push_back(worst->choices[i]);
            const auto point = solve::operating_point(harness, duty, these);
            REQUIRE(point.has_value());
            for (std::size_t c = 0; c < greatest.size(); ++c)
                greatest[c] = std::max(greatest[c], std::abs(point->cables[c].current_a));
        }
        for (std::size_t c = 0; c < greatest.size(); ++c) {
            const auto& cable = worst->cables[c];
            CHECK(std::abs(cable.witness_a) <= greatest[c] + 1e-6);
            // Every combination here has its own cable temperatures, the bound two sets of them.
            CHECK(cable.bound_a >= greatest[c] * (1 - 2e-3) - 1e-3);
            if (greatest[c] < 0.1)
                continue;
            ++cables;
            if (!cable.attained())
                continue;
            ++attained;
            CHECK(std::abs(cable.witness_a) == doctest::Approx(greatest[c]).epsilon(2e-3));
        }
    }
    MESSAGE(cables << " cables with current, bound attained by the witness in " << attained);
    CHECK(attained > cables / 2);
}
