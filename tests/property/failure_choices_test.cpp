// After a failure three choices of what is switched on are solved: the duty's own, everything, and nothing
// that may be off. Here every choice is, to see what the three leave out.
#include "solve/failures.h"
#include "solve/worst_case.h"

#include "testing/random_kit.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace stoutloom;

namespace {

using Currents = std::vector<double>; // magnitudes: cables, then incidental paths

std::optional<std::vector<Currents>> by_failure(const model::Harness& harness, const model::Duty& duty,
                                                const std::vector<model::DeviceIndex>& running) {
    solve::Variation variation;
    variation.running = running;
    const auto sweep = solve::single_failures(harness, duty, variation);
    if (!sweep)
        return std::nullopt;
    std::vector<Currents> all;
    for (const solve::FailureResult& result : sweep->results) {
        Currents& currents = all.emplace_back();
        if (result.unsolved)
            continue;
        for (const double one : result.cable_a)
            currents.push_back(std::abs(one));
        for (const double one : result.incidental_a)
            currents.push_back(std::abs(one));
    }
    return all;
}

void raise(std::vector<Currents>& greatest, const std::vector<Currents>& found) {
    greatest.resize(found.size());
    for (std::size_t i = 0; i < found.size(); ++i) {
        greatest[i].resize(std::max(greatest[i].size(), found[i].size()), 0.0);
        for (std::size_t c = 0; c < found[i].size(); ++c)
            greatest[i][c] = std::max(greatest[i][c], found[i][c]);
    }
}

} // namespace

TEST_CASE("what other choices of loads do after a failure lies near those that are solved") {
    auto source = testing::random_source("choices after failures");
    std::size_t asked = 0, beyond = 0;
    double worst_share = 1;
    for (int round = 0; round < 12; ++round) {
        testing::RandomKit random(source, {.most_sources = 2, .most_consumers = 5, .power_loads = false});
        const model::Harness& harness = random.kit().harness;
        const model::Duty& duty = harness.duties[round % 2 == 0 ? 2 : 3];
        std::vector<model::DeviceIndex> choices, always;
        for (std::size_t d = 0; d < harness.devices.size(); ++d)
            if (const auto device = static_cast<model::DeviceIndex>(d);
                harness.devices[d].kind() == model::DeviceKind::consumer)
                (solve::is_choice(harness, duty, device) ? choices : always).push_back(device);
        const auto worst = solve::worst_combination(harness, duty);
        REQUIRE(worst.has_value());
        std::vector<Currents> solved, greatest;
        for (std::size_t on = 0; on < std::size_t{1} << choices.size(); ++on) {
            std::vector<model::DeviceIndex> running = always;
            for (std::size_t i = 0; i < choices.size(); ++i)
                if ((on >> i & 1) != 0)
                    running.push_back(choices[i]);
            const auto found = by_failure(harness, duty, running);
            if (!found)
                continue;
            raise(greatest, *found);
            std::sort(running.begin(), running.end());
            const bool of_some_cable =
                std::any_of(worst->cables.begin(), worst->cables.end(),
                            [&](const solve::WorstCurrent& one) { return one.running == running; });
            if (on == 0 || on + 1 == std::size_t{1} << choices.size() || of_some_cable)
                raise(solved, *found);
        }
        REQUIRE(solved.size() == greatest.size());
        for (std::size_t i = 0; i < solved.size(); ++i)
            for (std::size_t c = 0; c < solved[i].size(); ++c) {
                if (greatest[i][c] < 1)
                    continue;
                ++asked;
                beyond += greatest[i][c] > solve::clearly_more * solved[i][c];
                worst_share = std::max(worst_share, greatest[i][c] / std::max(solved[i][c], 1.0));
            }
    }
    MESSAGE(asked << " currents over 1 A; " << beyond << " by another choice more than 5 % greater, at most "
                  << worst_share << " times");
    CHECK(asked > 1000);
    CHECK(beyond * 4 < asked);
}
