// The keying decision by flow against trying every assignment of ends to studs, on thousands of small random
// landings.
#include "testing/testing.h"

#include "check/assembly.h"
#include "check/keying.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <set>

using namespace stoutloom;

namespace {

using check::Assembly;
using check::Puzzle;

int pick(std::mt19937_64& random, int from, int to) {
    return std::uniform_int_distribution<int>(from, to)(random);
}

// Studs and lugs as sizes 0..3: a lug goes on a stud no larger than itself, as rings do.
Puzzle random_puzzle(std::mt19937_64& random) {
    Puzzle puzzle;
    const int studs = pick(random, 2, 4), ends = pick(random, 2, 6);
    std::vector<int> size;
    for (int s = 0; s < studs; ++s) {
        size.push_back(pick(random, 0, 2));
        puzzle.node.push_back(pick(random, 0, 4) == 0 && s > 0 ? puzzle.node.back() : s);
    }
    std::vector<int> belong(static_cast<std::size_t>(studs), 0);
    for (int e = 0; e < ends; ++e) {
        const int home = pick(random, 0, studs - 1);
        puzzle.home.push_back(home);
        ++belong[static_cast<std::size_t>(home)];
        puzzle.class_of.push_back(pick(random, 0, 3) == 0 && e > 0 ? puzzle.class_of.back() : e);
        const int lug = size[static_cast<std::size_t>(home)] + (pick(random, 0, 5) == 0 ? 1 : 0);
        std::vector<bool> row;
        for (int s = 0; s < studs; ++s)
            row.push_back(s == home || lug >= size[static_cast<std::size_t>(s)]);
        puzzle.fits.push_back(row);
    }
    for (int s = 0; s < studs; ++s) {
        const int here = belong[static_cast<std::size_t>(s)];
        puzzle.may_stay_bare.push_back(here == 0 || pick(random, 0, 7) == 0);
        puzzle.most.push_back(std::max(pick(random, 1, 4), here));
    }
    for (int m = pick(random, 0, 2); m > 0; --m) {
        const int a = 2 * (m - 1), b = a + 1;
        const auto has = [&](int node) {
            return std::count(puzzle.node.begin(), puzzle.node.end(), node) > 0;
        };
        if (has(a) && has(b))
            puzzle.mirrors.emplace_back(a, b);
    }
    return puzzle;
}

// Every assignment, by counting in base `studs`.
std::vector<Assembly> all_complete(const Puzzle& puzzle) {
    std::vector<Assembly> complete;
    const int studs = static_cast<int>(puzzle.node.size());
    Assembly at(puzzle.home.size(), 0);
    while (true) {
        std::vector<int> load(puzzle.node.size(), 0);
        bool good = true;
        for (std::size_t e = 0; e < at.size(); ++e) {
            good = good && puzzle.fits[e][static_cast<std::size_t>(at[e])];
            ++load[static_cast<std::size_t>(at[e])];
        }
        for (std::size_t s = 0; s < load.size(); ++s)
            good = good && load[s] <= puzzle.most[s] && (load[s] > 0 || puzzle.may_stay_bare[s]);
        if (good)
            complete.push_back(at);
        std::size_t digit = 0;
        while (digit < at.size() && ++at[digit] == studs)
            at[digit++] = 0;
        if (digit == at.size())
            return complete;
    }
}

// What an assembly is electrically: for each node the sorted classes on it.
std::map<int, std::multiset<int>> circuit(const Puzzle& puzzle, const Assembly& at) {
    std::map<int, std::multiset<int>> nodes;
    for (std::size_t e = 0; e < at.size(); ++e)
        nodes[puzzle.node[static_cast<std::size_t>(at[e])]].insert(puzzle.class_of[e]);
    return nodes;
}

// The intended circuit with each subset of the mirrors turned round.
std::vector<std::map<int, std::multiset<int>>> intended(const Puzzle& puzzle) {
    std::vector<std::map<int, std::multiset<int>>> all = {circuit(puzzle, puzzle.home)};
    for (const auto& [a, b] : puzzle.mirrors) {
        const auto so_far = all;
        for (auto turned : so_far) {
            std::multiset<int> at_a, at_b;
            if (turned.contains(a))
                at_a = turned[a];
            if (turned.contains(b))
                at_b = turned[b];
            turned.erase(a);
            turned.erase(b);
            if (!at_b.empty())
                turned[a] = at_b;
            if (!at_a.empty())
                turned[b] = at_a;
            all.push_back(turned);
        }
    }
    return all;
}

bool right(const std::vector<std::map<int, std::multiset<int>>>& wanted, const Puzzle& puzzle,
           const Assembly& at) {
    return std::find(wanted.begin(), wanted.end(), circuit(puzzle, at)) != wanted.end();
}

int moves(const Puzzle& puzzle, const Assembly& at) {
    int count = 0;
    for (std::size_t e = 0; e < at.size(); ++e)
        count += at[e] != puzzle.home[e];
    return count;
}

} // namespace

TEST_CASE("keying by flow agrees with trying every assignment") {
    auto random = testing::random_source("keying puzzles");
    int unkeyed = 0, keyed = 0, revealing = 0, mirrored = 0;
    for (int round = 0; round < 6000; ++round) {
        const Puzzle puzzle = random_puzzle(random);
        const std::vector<Assembly> complete = all_complete(puzzle);
        const auto wanted = intended(puzzle);
        std::vector<Assembly> wrong;
        for (const Assembly& at : complete) {
            CHECK(check::as_intended(puzzle, at) == right(wanted, puzzle, at));
            if (!right(wanted, puzzle, at))
                wrong.push_back(at);
        }
        const check::Wrongs found = check::wrong_assemblies(puzzle);
        CAPTURE(round);
        REQUIRE(found.completing.empty() == wrong.empty());
        for (const Assembly& at : found.completing)
            CHECK(std::find(wrong.begin(), wrong.end(), at) != wrong.end());
        // With no part to turn round, the first witness moves as few ends as any wrong assembly can.
        if (!wrong.empty() && puzzle.mirrors.empty() &&
            std::set<int>(puzzle.class_of.begin(), puzzle.class_of.end()).size() == puzzle.class_of.size()) {
            int fewest = 1000;
            for (const Assembly& at : wrong)
                fewest = std::min(fewest, moves(puzzle, at));
            CHECK(moves(puzzle, found.completing.front()) == fewest);
        }
        for (const auto& [end, stud] : found.self_revealing) {
            const auto e = static_cast<std::size_t>(end);
            CHECK(puzzle.fits[e][static_cast<std::size_t>(stud)]);
            for (const Assembly& at : complete)
                CHECK(at[e] != stud);
        }
        unkeyed += !wrong.empty();
        keyed += wrong.empty();
        revealing += !found.self_revealing.empty();
        mirrored += !puzzle.mirrors.empty();
    }
    // The draw must really reach all four corners.
    CHECK(unkeyed > 1000);
    CHECK(keyed > 300);
    CHECK(revealing > 300);
    CHECK(mirrored > 1000);
}

namespace {

// A device with random studs, one cable to each of several far posts; the same question asked of the harness.
model::Harness random_landing(std::mt19937_64& random) {
    static const std::vector<std::string> sizes = {"M5", "M6", "1/4 in", "M8", "5/16 in", "3/8 in", "M10"};
    model::Harness harness;
    harness.nominal_v.value = 12;
    const auto terminal = [&](std::size_t device, const std::string& id, const std::string& stud) {
        model::Terminal made;
        made.id = id;
        made.address = harness.devices[device].id + "." + id;
        made.device = static_cast<model::DeviceIndex>(device);
        made.stud = *base::fastener_by_name(stud);
        harness.devices[device].terminals.push_back(
            static_cast<model::TerminalIndex>(harness.terminals.size()));
        harness.terminals.push_back(made);
        return harness.devices[device].terminals.back();
    };
    const int studs = pick(random, 2, 3), ends = pick(random, 2, 4);
    harness.devices.push_back({.id = "G1",
                               .label = {},
                               .zone = {},
                               .terminals = {},
                               .seat = {},
                               .data = model::Generator{},
                               .span = {}});
    for (int s = 0; s < studs; ++s)
        terminal(0, "T" + std::to_string(s), sizes[static_cast<std::size_t>(pick(random, 0, 6))]);
    for (int e = 0; e < ends; ++e) {
        const std::string id = "X" + std::to_string(e);
        harness.devices.push_back({.id = id,
                                   .label = {},
                                   .zone = {},
                                   .terminals = {},
                                   .seat = {},
                                   .data = model::Post{},
                                   .span = {}});
        const auto far = terminal(harness.devices.size() - 1, "a", "M8");
        const auto home = harness.devices[0].terminals[static_cast<std::size_t>(pick(random, 0, studs - 1))];
        model::Cable cable;
        cable.id = "W" + std::to_string(e);
        cable.section_mm2.value = 16;
        cable.from.at = home;
        cable.from.lug = harness.terminal(home).stud;
        cable.to.at = far;
        cable.to.lug = harness.terminal(far).stud;
        harness.cables.push_back(cable);
    }
    return harness;
}

} // namespace

TEST_CASE("a harness landing is keyed exactly when no other complete assembly exists") {
    auto random = testing::random_source("keying landings");
    int unkeyed = 0, keyed = 0;
    for (int round = 0; round < 3000; ++round) {
        const model::Harness harness = random_landing(random);
        const std::vector<model::TerminalIndex>& studs = harness.devices[0].terminals;
        // By brute force from the sizes alone: all far ends differ, so any complete assembly but the intended
        // is wrong.
        std::vector<std::size_t> at(harness.cables.size(), 0);
        bool any_wrong = false;
        while (true) {
            std::vector<int> load(studs.size(), 0), belong(studs.size(), 0);
            bool good = true, same = true;
            for (std::size_t e = 0; e < at.size(); ++e) {
                const model::CableEnd& end = harness.cables[e].from;
                good = good && base::can_go_on(end.lug, harness.terminal(studs[at[e]]).stud);
                same = same && studs[at[e]] == end.at;
                ++load[at[e]];
                for (std::size_t s = 0; s < studs.size(); ++s)
                    belong[s] += studs[s] == end.at;
            }
            for (std::size_t s = 0; s < studs.size(); ++s)
                good = good && load[s] <= 4 && (load[s] > 0 || belong[s] == 0);
            any_wrong = any_wrong || (good && !same);
            std::size_t digit = 0;
            while (digit < at.size() && ++at[digit] == studs.size())
                at[digit++] = 0;
            if (digit == at.size())
                break;
        }
        const auto landings = check::judge_landings(harness);
        REQUIRE(landings.size() == 1);
        REQUIRE(landings[0].keyed != any_wrong);
        if (any_wrong)
            CHECK_FALSE(landings[0].wrong.front().sentence.empty());
        (any_wrong ? unkeyed : keyed) += 1;
    }
    CHECK(unkeyed > 300);
    CHECK(keyed > 300);
}
