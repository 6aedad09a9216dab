// What must hold for every solved harness: Kirchhoff's current law over every part, energy neither made nor
// lost, regimes that agree with trying every choice, more copper never hotter.
#include "solve/assumed.h"
#include "solve/solve.h"
#include "solve/solved.h"

#include "testing/random_kit.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numeric>

using namespace stoutloom;

namespace {

/// Parts that stand on a mass are one body with it.
std::size_t body_of(const model::Harness& harness, model::TerminalIndex terminal) {
    const model::DeviceIndex device = harness.terminal(terminal).device;
    return model::at(harness.device(device).seat.value_or(device));
}

double seat_current_a(const solve::OperatingPoint& point, std::size_t device) {
    return point.devices[device].current_a;
}

/// Current into each terminal from cables and incidental paths.
std::vector<double> currents_into(const model::Harness& harness, const solve::OperatingPoint& point) {
    std::vector<double> into(harness.terminals.size(), 0.0);
    const auto add = [&](model::TerminalIndex from, model::TerminalIndex to, double current_a) {
        into[model::at(from)] -= current_a;
        into[model::at(to)] += current_a;
    };
    for (std::size_t c = 0; c < harness.cables.size(); ++c)
        add(harness.cables[c].from.at, harness.cables[c].to.at, point.cables[c].current_a);
    for (std::size_t i = 0; i < harness.incidentals.size(); ++i)
        add(harness.incidentals[i].from, harness.incidentals[i].to, point.incidental_a[i]);
    return into;
}

double greatest_a(const solve::OperatingPoint& point) {
    double greatest = 1;
    for (const auto& cable : point.cables)
        greatest = std::max(greatest, std::abs(cable.current_a));
    return greatest;
}

/// Power turned to heat or work, by the states and the metal's own resistance.
double consumed_w(const model::Harness& harness, const solve::OperatingPoint& point,
                  const std::vector<double>& into) {
    double sum_w = 0;
    for (const auto& cable : point.cables)
        sum_w += cable.current_a * cable.drop_v;
    for (std::size_t i = 0; i < harness.incidentals.size(); ++i)
        sum_w += point.incidental_a[i] * point.incidental_a[i] * harness.incidentals[i].resistance_ohm.value;
    for (std::size_t d = 0; d < harness.devices.size(); ++d) {
        const model::Device& device = harness.devices[d];
        const auto& state = point.devices[d];
        const bool source =
            device.kind() == model::DeviceKind::battery || device.kind() == model::DeviceKind::generator;
        if (std::isfinite(state.volts_v))
            sum_w += (source ? -1 : 1) * state.volts_v * state.current_a;
        if (device.seat)
            sum_w += std::pow(seat_current_a(point, d), 2) * solve::seat_resistance_ohm;
        if (const auto* mass = std::get_if<model::Mass>(&device.data))
            for (const model::TerminalIndex terminal : device.terminals)
                if (!harness.terminal(terminal).implicit)
                    sum_w += std::pow(into[model::at(terminal)], 2) * mass->resistance_ohm.value / 2;
    }
    return sum_w;
}

} // namespace

TEST_CASE("no current is lost in any part") {
    auto source = testing::random_source("current law");
    for (int round = 0; round < 120; ++round) {
        testing::RandomKit random(source, {});
        const model::Harness& harness = random.kit().harness;
        const auto point =
            solve::operating_point(harness, harness.duties[static_cast<std::size_t>(round % 5)]);
        REQUIRE(point.has_value());
        const auto into = currents_into(harness, *point);
        std::vector<double> sum(harness.devices.size(), 0.0);
        for (std::size_t t = 0; t < into.size(); ++t)
            sum[body_of(harness, static_cast<model::TerminalIndex>(t))] += into[t];
        // A case-return part feeds its mass: taken together, what flows in flows out.
        for (const double left_a : sum)
            CHECK(std::abs(left_a) < 1e-7 * greatest_a(*point));
    }
}

TEST_CASE("a part's own current is what its feed brings") {
    auto source = testing::random_source("own current");
    for (int round = 0; round < 80; ++round) {
        testing::RandomKit random(source, {.remote_sense = false, .coils = false});
        const model::Harness& harness = random.kit().harness;
        const auto point =
            solve::operating_point(harness, harness.duties[static_cast<std::size_t>(round % 5)]);
        REQUIRE(point.has_value());
        const auto into = currents_into(harness, *point);
        for (std::size_t d = 0; d < harness.devices.size(); ++d) {
            const auto kind = harness.devices[d].kind();
            if (kind == model::DeviceKind::mass || kind == model::DeviceKind::post)
                continue;
            const bool gives = kind == model::DeviceKind::battery || kind == model::DeviceKind::generator;
            const double fed_a = into[model::at(harness.devices[d].terminals.front())];
            // The leak of each source and consumer: 14 to 60 uA.
            CHECK(std::abs(fed_a - (gives ? -1 : 1) * point->devices[d].current_a) <
                  1e-3 + 1e-7 * greatest_a(*point));
        }
    }
}

TEST_CASE("what the sources give is what the parts take") {
    auto source = testing::random_source("energy");
    for (int round = 0; round < 80; ++round) {
        testing::RandomKit random(source, {.remote_sense = false, .coils = false});
        const model::Harness& harness = random.kit().harness;
        const auto point =
            solve::operating_point(harness, harness.duties[static_cast<std::size_t>(round % 5)]);
        REQUIRE(point.has_value());
        double turned_over_w = 1;
        for (const auto& device : point->devices)
            if (std::isfinite(device.volts_v))
                turned_over_w += std::abs(device.volts_v * device.current_a);
        // Thirty leaks of 28 V over 1 Mohm: 24 mW.
        CHECK(std::abs(consumed_w(harness, *point, currents_into(harness, *point))) <
              1e-6 * turned_over_w + 3e-2);
    }
}

TEST_CASE("thicker copper is never hotter and never drops more") {
    auto source = testing::random_source("more copper");
    testing::Kit kit;
    kit.battery("G", {.emf_v = 12.6, .ohm = 0.005, .acceptance_a = 20});
    kit.consumer("E", model::Demand::current, 60);
    const auto feed = kit.cable("W1", "G.+", "E.+", {.section_mm2 = 10, .length_m = 3});
    kit.cable("W2", "E.-", "G.-", {.section_mm2 = 35, .length_m = 3});
    std::uniform_real_distribution<double> section(6, 110);
    for (int round = 0; round < 40; ++round) {
        const double thin = section(source);
        const double thick = thin * std::uniform_real_distribution<double>(1.05, 2)(source);
        std::optional<solve::CableState> last;
        for (const double mm2 : {thin, std::min(thick, 120.0)}) {
            kit.harness.cables[model::at(feed)].section_mm2 = testing::written(mm2);
            const auto point = solve::operating_point(kit.harness, kit.duty("standby"));
            REQUIRE(point.has_value());
            const auto& now = point->cables[model::at(feed)];
            if (last) {
                CHECK(now.conductor_degc < last->conductor_degc);
                CHECK(std::abs(now.drop_v) < std::abs(last->drop_v));
            }
            last = now;
        }
    }
}
