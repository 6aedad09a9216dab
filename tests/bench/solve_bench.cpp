// How the network solution scales beside two references run here: ngspice on the deck (whole process) and a
// dense elimination; and single failures from one factor beside a new solution each. Prints ratios; it never
// decides.
#include "solve/failures.h"
#include "solve/solve.h"
#include "solve/solved.h"
#include "solve/worst_case.h"

#include "testing/kit.h"
#include "testing/testing.h"

#include <Eigen/LU>
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <chrono>

using namespace stoutloom;

namespace {

/// A feed along `posts` posts, a consumer at each, one battery, one charging unit, all returns on one mass.
testing::Kit chain(int posts) {
    testing::Kit kit;
    std::vector<std::string> studs = {"battery"};
    kit.mass("U", 1e-4, studs);
    kit.battery("G", {});
    kit.generator("A", {.seat = "U"});
    kit.cable("WG", "G.-", "U.battery", {});
    kit.post("X0");
    kit.cable("WB", "G.+", "X0", {});
    for (int i = 1; i <= posts; ++i) {
        const std::string id = fmt::format("X{}", i);
        kit.post(id);
        kit.cable(fmt::format("WX{}", i), fmt::format("X{}", i - 1), id,
                  {.section_mm2 = 70, .length_m = 0.2});
        kit.consumer(fmt::format("E{}", i), model::Demand::current, 60.0 / posts, "U");
        kit.cable(fmt::format("WE{}", i), id, fmt::format("E{}.+", i), {.section_mm2 = 6, .length_m = 1});
    }
    kit.cable("WA", "A.B+", fmt::format("X{}", posts), {});
    return kit;
}

double seconds(const auto& work) {
    const auto begin = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

double dense_seconds(const solve::Network& network) {
    Eigen::MatrixXd matrix = 1e-9 * Eigen::MatrixXd::Identity(network.nodes, network.nodes);
    for (const auto& branch : network.branches) {
        matrix(branch.a, branch.a) += 1 / branch.ohm;
        matrix(branch.b, branch.b) += 1 / branch.ohm;
        matrix(branch.a, branch.b) -= 1 / branch.ohm;
        matrix(branch.b, branch.a) -= 1 / branch.ohm;
    }
    return seconds([&] { (void)Eigen::PartialPivLU<Eigen::MatrixXd>(matrix).determinant(); });
}

void row(int posts, const testing::TemporaryFolder& folder) {
    const testing::Kit kit = chain(posts);
    const auto& duty = kit.duty("cruise");
    auto healthy = solve::solve_network(kit.harness, duty, {});
    if (!healthy) {
        fmt::print("{:6} {}\n", posts, healthy.error().message);
        return;
    }
    const double whole = seconds([&] { (void)solve::solve_network(kit.harness, duty, {}); });
    const double once = seconds([&] { (void)solve::solve_electrically(kit.harness, *healthy); });
    const double dense = dense_seconds(healthy->network);
    const auto deck = solve::spice_deck(kit.harness, duty);
    const std::string path = folder.file("bench.cir", *deck);
    const double spice = seconds([&] { (void)testing::run({"ngspice", "-b", path}); });
    const double sweep = seconds([&] { (void)solve::single_failures(kit.harness, duty); });
    const double anew = once * static_cast<double>(kit.harness.cables.size());
    fmt::print(
        "{:6} nodes {:9.3f} ms once {:9.3f} ms with temperatures   ngspice {:7.1f} x   dense {:7.1f} x   "
        "{} failures {:9.1f} ms, anew {:5.1f} x\n",
        healthy->network.nodes, 1e3 * once, 1e3 * whole, spice / once, dense / once,
        kit.harness.cables.size(), 1e3 * sweep, anew / sweep);
    if (posts > 12)
        return;
    const double worst = seconds([&] { (void)solve::worst_combination(kit.harness, duty); });
    fmt::print("       worst of 2^{} combinations {:9.1f} ms, trying each {:7.1f} x\n", posts, 1e3 * worst,
               once * static_cast<double>(1U << static_cast<unsigned>(posts)) / worst);
}

} // namespace

TEST_CASE("how the solver scales beside its references") {
    const testing::TemporaryFolder folder;
    for (const int posts : {4, 12, 40, 100})
        row(posts, folder);
}
