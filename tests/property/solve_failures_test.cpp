// Single failures from one factor against a network built anew without the failed part, at the same
// resistances.
#include "solve/failures.h"
#include "solve/solved.h"

#include "testing/random_kit.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <map>
#include <string>

using namespace stoutloom;

namespace {

solve::Variation without_part(const model::Harness& harness, const solve::Failure& failure) {
    solve::Variation without;
    if (failure.cable && !failure.one_run)
        without.opened_cables = {*failure.cable};
    if (failure.device)
        without.opened_devices = {*failure.device};
    if (failure.seat)
        without.opened_seats = {*failure.seat};
    if (failure.metal)
        without.opened_metal = {*failure.metal};
    for (std::size_t c = 0; failure.nut && c < harness.cables.size(); ++c)
        if (solve::is_bolted_to(harness.cables[c], *failure.nut))
            without.opened_cables.push_back(static_cast<model::CableIndex>(c));
    return without;
}

bool is_post(const model::Harness& harness, const solve::Failure& failure) {
    return failure.device && harness.device(*failure.device).kind() == model::DeviceKind::battery;
}

/// The network without the part, at the healthy cable temperatures.
std::optional<solve::Solved> anew(const model::Harness& harness, const model::Duty& duty,
                                  const solve::Failure& failure, const solve::Solved& healthy) {
    solve::Solved solved;
    solved.network = solve::build_network(harness, duty, without_part(harness, failure));
    solved.islands = solve::find_islands(solved.network);
    for (std::size_t c = 0; c < harness.cables.size(); ++c)
        if (const int branch = solved.network.cable_branch[c]; branch >= 0)
            solved.network.branches[static_cast<std::size_t>(branch)].ohm =
                healthy.network.branches[static_cast<std::size_t>(healthy.network.cable_branch[c])].ohm;
    if (failure.one_run) {
        const double runs = harness.cable(*failure.cable).parallel;
        solved.network
            .branches[static_cast<std::size_t>(solved.network.cable_branch[model::at(*failure.cable)])]
            .ohm *= runs / (runs - 1);
    }
    for (solve::Port& port : solved.network.ports)
        if (port.kind == solve::PortKind::battery && failure.device == port.device) {
            port.pieces = {{.alpha_a = 0, .beta_s = 0, .upto_v = std::numeric_limits<double>::infinity()}};
            port.base = port.start = 0;
        }
    if (!solve::solve_electrically(harness, solved))
        return std::nullopt;
    return solved;
}

} // namespace

TEST_CASE("a failure from the healthy factor is the network built without the part") {
    auto source = testing::random_source("single failures");
    int failures = 0;
    int moved = 0;
    int untold = 0;
    int nuts = 0, metals = 0, seats = 0; // that move currents
    double worst = 0;
    for (int round = 0; round < 40; ++round) {
        testing::RandomKit random(source, {});
        model::Harness harness = random.kit().harness;
        harness.cables[static_cast<std::size_t>(round) % harness.cables.size()].parallel = 2 + round % 2;
        const auto& duty = harness.duties[static_cast<std::size_t>(round % 5)];
        const auto healthy = solve::solve_network(harness, duty, {});
        const auto sweep = solve::single_failures(harness, duty);
        REQUIRE(healthy.has_value());
        REQUIRE(sweep.has_value());
        CHECK(sweep->results.size() >= harness.cables.size());
        for (const auto& result : sweep->results) {
            const auto reference = anew(harness, duty, result.failure, *healthy);
            if (!reference || result.unsolved) {
                ++untold;
                continue;
            }
            ++failures;
            double greatest_a = 1;
            double shift_a = 0;
            for (std::size_t c = 0; c < harness.cables.size(); ++c) {
                const double expected = reference->branch_a(reference->network.cable_branch[c]);
                greatest_a = std::max(greatest_a, std::abs(expected));
                shift_a = std::max(shift_a,
                                   std::abs(expected - healthy->branch_a(healthy->network.cable_branch[c])));
            }
            moved += shift_a > 0.1 ? 1 : 0;
            // Without its battery a network hangs on little; more digits go.
            const double tolerance = is_post(harness, result.failure) ? 1e-5 : 1e-6;
            nuts += result.failure.nut.has_value() && shift_a > 0.1;
            metals += result.failure.metal.has_value() && shift_a > 0.1;
            seats += result.failure.seat.has_value() && shift_a > 0.1;
            for (std::size_t c = 0; c < harness.cables.size(); ++c) {
                const double expected = reference->branch_a(reference->network.cable_branch[c]);
                worst = std::max(worst, std::abs(result.cable_a[c] - expected) / greatest_a);
                CHECK(std::abs(result.cable_a[c] - expected) < tolerance * greatest_a);
            }
            for (std::size_t i = 0; i < harness.incidentals.size(); ++i)
                CHECK(std::abs(result.incidental_a[i] -
                               reference->branch_a(reference->network.incidental_branch[i])) <
                      1e-6 * greatest_a);
        }
    }
    MESSAGE(failures << " failures, " << moved << " move more than 0.1 A, greatest difference " << worst
                     << ", " << untold << " that cannot be told");
    MESSAGE(nuts << " nuts, " << metals << " studs of masses and " << seats
                 << " seats among those that move");
    CHECK(nuts > 50);
    CHECK(metals > 10);
    CHECK(seats > 10);
    CHECK(moved > failures / 10);
    CHECK(untold < failures / 50);
}

// The whole point gives the cables that carry more the temperature of a current that is never too small, so
// no consumer is told more volts than it gets when everything has settled.
TEST_CASE("volts after a failure are not told better than a full re-solve gives them") {
    auto source = testing::random_source("points of failures");
    int asked = 0;
    int hotter = 0;
    for (int round = 0; round < 25; ++round) {
        testing::RandomKit random(source, {});
        const model::Harness& harness = random.kit().harness;
        const auto& duty = harness.duties[static_cast<std::size_t>(round % 5)];
        const auto sweep = solve::single_failures(harness, duty);
        REQUIRE(sweep.has_value());
        for (const auto& result : sweep->results) {
            // A regulator that lost its sense falls back in one and is told as lost in the other.
            if (result.unsolved || result.failure.one_run || !result.lost_sense.empty() ||
                is_post(harness, result.failure))
                continue;
            const auto full = solve::operating_point(harness, duty, without_part(harness, result.failure));
            if (!full)
                continue;
            for (std::size_t t = 0; t < harness.terminals.size(); ++t)
                CHECK(std::isnan(full->terminal_v[t]) == std::isnan(result.point.terminal_v[t]));
            for (std::size_t c = 0; c < harness.cables.size(); ++c)
                hotter += result.point.cables[c].conductor_degc > sweep->healthy.cables[c].conductor_degc + 5;
            for (std::size_t d = 0; d < harness.devices.size(); ++d) {
                const solve::DeviceState& told = result.point.devices[d];
                if (harness.devices[d].kind() != model::DeviceKind::consumer || !full->devices[d].running ||
                    std::isnan(told.volts_v))
                    continue;
                ++asked;
                CHECK(told.volts_v <= full->devices[d].volts_v + 0.05);
                CHECK(told.volts_v >= full->devices[d].volts_v - 0.5);
            }
        }
    }
    CHECK(asked > 100);
    CHECK(hotter > 10);
}

TEST_CASE("a dirty joint from the healthy factor is the network built with it") {
    auto source = testing::random_source("dirty joints");
    std::map<std::string, int> asked;
    for (int round = 0; round < 15; ++round) {
        testing::RandomKit random(source, {.power_loads = false});
        const model::Harness& harness = random.kit().harness;
        const auto& duty = harness.duties[static_cast<std::size_t>(round % 5)];
        const auto healthy = solve::solve_network(harness, duty, {});
        const auto joints = solve::dirty_joints(harness, duty, 10);
        REQUIRE(healthy.has_value());
        REQUIRE(joints.has_value());
        for (const auto& joint : *joints) {
            if (joint.unsolved)
                continue;
            solve::Variation dirty;
            if (joint.is_lug())
                dirty.dirty_joints = {{.cable = joint.cable, .end = joint.end, .factor = 10}};
            for (std::size_t c = 0; joint.nut && c < harness.cables.size(); ++c)
                for (const int end : {0, 1})
                    if (const model::Cable& cable = harness.cables[c];
                        (end == 0 ? cable.from.at : cable.to.at) == *joint.nut &&
                        static_cast<model::CableIndex>(c) != joint.cable)
                        dirty.dirty_joints.push_back(
                            {.cable = static_cast<model::CableIndex>(c), .end = end, .factor = 10});
            solve::Solved solved;
            solved.network = solve::build_network(harness, duty, dirty);
            solved.islands = solve::find_islands(solved.network);
            for (std::size_t c = 0; c < harness.cables.size(); ++c) {
                const auto parts = solve::cable_parts(harness, static_cast<model::CableIndex>(c), dirty);
                solved.network.branches[static_cast<std::size_t>(solved.network.cable_branch[c])].ohm =
                    solve::copper_ohm(*parts, healthy->heat[c].segment_degc) + parts->end_ohm[0] +
                    parts->end_ohm[1];
            }
            int soiled = -1;
            for (std::size_t b = 0; !joint.is_lug() && b < solved.network.branches.size(); ++b)
                if (const solve::Branch& branch = solved.network.branches[b];
                    branch.owner == solve::Owner::device &&
                    ((joint.seat && branch.part == "seat" && branch.index == model::at(*joint.seat)) ||
                     (joint.metal && branch.part == "metal" &&
                      branch.a == solved.network.node_of[model::at(*joint.metal)])))
                    soiled = static_cast<int>(b);
            if (soiled >= 0)
                solved.network.branches[static_cast<std::size_t>(soiled)].ohm *= 10;
            REQUIRE(solve::solve_electrically(harness, solved).has_value());
            ++asked[joint.seat ? "seat" : joint.metal ? "metal" : joint.nut ? "nut" : "lug"];
            if (!joint.is_lug()) {
                REQUIRE(soiled >= 0);
                const double through_a = solved.branch_a(soiled);
                const double ohm = solved.network.branches[static_cast<std::size_t>(soiled)].ohm;
                CHECK(std::abs(joint.current_a - through_a) < 1e-6 * (1 + std::abs(through_a)));
                CHECK(joint.heat_w == doctest::Approx(through_a * through_a * ohm).epsilon(1e-5));
                CHECK(std::abs(joint.meter_v - std::abs(through_a) * ohm) < 1e-8);
                continue;
            }
            const double expected_a = solved.branch_a(solved.network.cable_branch[model::at(joint.cable)]);
            const auto parts = solve::cable_parts(harness, joint.cable, dirty);
            CHECK(std::abs(joint.current_a - expected_a) < 1e-6 * (1 + std::abs(expected_a)));
            CHECK(std::abs(joint.meter_v - std::abs(expected_a) * parts->end_ohm[joint.end]) < 1e-8);
        }
    }
    for (const std::string kind : {"lug", "nut", "metal", "seat"})
        CHECK_MESSAGE(asked[kind] > 10, kind);
}
