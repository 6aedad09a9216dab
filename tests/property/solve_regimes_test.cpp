// The regime search against trying every choice of pieces, each solved by a plain dense elimination over all
// nodes that shares nothing with the search; and from any starting choice the search comes to the same place.
#include "solve/solved.h"

#include "testing/random_kit.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace stoutloom;

namespace {

using Row = std::vector<double>;

/// Gaussian elimination with row exchange; the last column is the right-hand side. Empty if singular.
std::vector<double> eliminated(std::vector<Row> rows) {
    const std::size_t n = rows.size();
    for (std::size_t i = 0; i < n; ++i) {
        std::size_t best = i;
        for (std::size_t r = i; r < n; ++r)
            if (std::abs(rows[r][i]) > std::abs(rows[best][i]))
                best = r;
        if (rows[best][i] == 0)
            return {};
        std::swap(rows[i], rows[best]);
        for (std::size_t r = 0; r < n; ++r) {
            const double share = r == i ? 0 : rows[r][i] / rows[i][i];
            if (share != 0)
                for (std::size_t c = i; c <= n; ++c)
                    rows[r][c] -= share * rows[i][c];
        }
    }
    std::vector<double> found(n);
    for (std::size_t i = 0; i < n; ++i)
        found[i] = rows[i][n] / rows[i][i];
    return found;
}

/// Node volts with every port on a given piece: nodal equations, local zeros pinned.
std::vector<double> volts_at(const solve::Solved& solved, const std::vector<std::size_t>& pieces) {
    const auto n = static_cast<std::size_t>(solved.network.nodes);
    std::vector<Row> rows(n, Row(n + 1, 0.0));
    const auto at = [](int node) { return static_cast<std::size_t>(node); };
    for (const auto& branch : solved.network.branches) {
        rows[at(branch.a)][at(branch.a)] += 1 / branch.ohm;
        rows[at(branch.b)][at(branch.b)] += 1 / branch.ohm;
        rows[at(branch.a)][at(branch.b)] -= 1 / branch.ohm;
        rows[at(branch.b)][at(branch.a)] -= 1 / branch.ohm;
    }
    for (std::size_t k = 0; k < pieces.size(); ++k) {
        const solve::Port& port = solved.picture.ports[k];
        const solve::Piece& piece = port.pieces[pieces[k]];
        for (const auto& [node, sign] : {std::pair(port.plus, 1.0), std::pair(port.minus, -1.0)}) {
            rows[at(node)][at(port.sense_plus)] += sign * piece.beta_s;
            rows[at(node)][at(port.sense_minus)] -= sign * piece.beta_s;
            rows[at(node)][n] += sign * piece.alpha_a;
        }
    }
    for (const int zero : solved.islands.local_zero) {
        std::fill(rows[at(zero)].begin(), rows[at(zero)].end(), 0.0);
        rows[at(zero)][at(zero)] = 1;
    }
    return eliminated(std::move(rows));
}

bool inside(const solve::Solved& solved, const std::vector<std::size_t>& pieces,
            const std::vector<double>& volts) {
    for (std::size_t k = 0; k < pieces.size(); ++k) {
        const solve::Port& port = solved.picture.ports[k];
        const double v = volts[static_cast<std::size_t>(port.sense_plus)] -
                         volts[static_cast<std::size_t>(port.sense_minus)];
        if (v > port.pieces[pieces[k]].upto_v + 1e-8)
            return false;
        if (pieces[k] > 0 && v < port.pieces[pieces[k] - 1].upto_v - 1e-8)
            return false;
    }
    return true;
}

std::size_t choices_of(const solve::Solved& solved) {
    std::size_t choices = 1;
    for (const auto& port : solved.picture.ports)
        choices *= port.pieces.size();
    return choices;
}

} // namespace

TEST_CASE("the regimes found are the ones that trying every choice finds") {
    auto source = testing::random_source("regimes by enumeration");
    int compared = 0;
    int several = 0;
    while (compared < 40) {
        testing::RandomKit random(
            source, {.most_sources = 2, .most_consumers = 2, .power_loads = false, .coils = false});
        const model::Harness& harness = random.kit().harness;
        const auto solved =
            solve::solve_network(harness, harness.duties[static_cast<std::size_t>(random.whole(1, 3))], {});
        REQUIRE(solved.has_value());
        const std::size_t choices = choices_of(*solved);
        if (choices > 300)
            continue;
        ++compared;
        int fitting = 0;
        double nearest = 1e9;
        for (std::size_t choice = 0; choice < choices; ++choice) {
            std::vector<std::size_t> pieces;
            std::size_t rest = choice;
            for (const auto& port : solved->picture.ports) {
                pieces.push_back(rest % port.pieces.size());
                rest /= port.pieces.size();
            }
            const auto volts = volts_at(*solved, pieces);
            if (volts.empty() || !inside(*solved, pieces, volts))
                continue;
            ++fitting;
            double off = 0;
            for (std::size_t n = 0; n < volts.size(); ++n)
                off = std::max(off, std::abs(volts[n] - solved->node_v[n]));
            nearest = std::min(nearest, off);
        }
        CHECK(fitting >= 1);
        several += fitting > 1 ? 1 : 0; // only on the very bend between two pieces
        CHECK(nearest < 1e-6);
    }
    MESSAGE(compared << " harnesses, " << several << " with more than one fitting choice");
    CHECK(several <= 4);
}

TEST_CASE("the search comes to the same place from any start") {
    auto source = testing::random_source("regime starts");
    int most_changes = 0;
    for (int round = 0; round < 60; ++round) {
        testing::RandomKit random(source, {.power_loads = false, .remote_sense = false});
        const model::Harness& harness = random.kit().harness;
        const auto solved =
            solve::solve_network(harness, harness.duties[static_cast<std::size_t>(round % 5)], {});
        REQUIRE(solved.has_value());
        for (int start = 0; start < 5; ++start) {
            std::vector<std::size_t> pieces;
            for (const auto& port : solved->picture.ports)
                pieces.push_back(
                    static_cast<std::size_t>(random.whole(0, static_cast<int>(port.pieces.size()) - 1)));
            const auto again = solve::settle(solved->picture, pieces);
            REQUIRE(again.has_value());
            most_changes = std::max(most_changes, again->changes);
            for (std::size_t k = 0; k < pieces.size(); ++k)
                CHECK(again->volts[k] == doctest::Approx(solved->answer.volts[k]).epsilon(1e-6));
        }
    }
    MESSAGE("at most " << most_changes << " changes of regime");
}
