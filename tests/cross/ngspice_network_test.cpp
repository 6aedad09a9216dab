// The same networks in ngspice, from the deck that the program writes: node volts must agree to 1e-6
// relative.
//
// Precision: the deck itself sets reltol=1e-9 vntol=1e-12 abstol=1e-12 and numdgt=17. ngspice loses nothing
// else that matters on networks of this size, so the tolerance is the 1e-6 and a floor of a nanovolt
// for grounds.
#include "solve/solve.h"

#include "testing/random_kit.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <charconv>
#include <cmath>
#include <map>
#include <sstream>

using namespace stoutloom;

namespace {

constexpr double relative = 1e-6;
// A part held only by a 1 Mohm leak: ngspice puts 1e-12 S of its own beside it.
constexpr double floor_v = 2e-9;

/// Lines "v(n7) = 1.23e+01" of the batch output.
std::map<std::string, double> printed_volts(const std::string& out) {
    std::map<std::string, double> volts;
    std::istringstream lines(out);
    for (std::string line; std::getline(lines, line);) {
        const std::size_t close = line.find(") = ");
        if (line.rfind("v(", 0) != 0 || close == std::string::npos)
            continue;
        double value = 0;
        const char* begin = line.data() + close + 4;
        const auto read = std::from_chars(begin, line.data() + line.size(), value);
        if (read.ec == std::errc())
            volts[line.substr(2, close - 2)] = value;
    }
    return volts;
}

struct Compared {
    int nodes = 0;
    int missing = 0;
    double worst = 0;   // error over tolerance
    bool alone = false; // ngspice came to it without first guesses too
};

Compared against(const std::map<std::string, double>& volts, const model::Harness& harness,
                 const model::Duty& duty, const solve::Variation& variation,
                 const solve::OperatingPoint& point) {
    Compared compared;
    for (std::size_t t = 0; t < harness.terminals.size(); ++t) {
        const double ours = point.terminal_v[t];
        const std::string node =
            solve::deck_node_name(harness, duty, static_cast<model::TerminalIndex>(t), variation);
        if (std::isnan(ours))
            continue;
        const auto found = volts.find(node);
        if (node != "0" && found == volts.end()) {
            ++compared.missing;
            continue;
        }
        const double theirs = node == "0" ? 0.0 : found->second;
        const double off = std::abs(ours - theirs) / (relative * std::abs(theirs) + floor_v);
        compared.worst = std::isfinite(off) ? std::max(compared.worst, off) : 1e9;
        ++compared.nodes;
    }
    return compared;
}

/// The deck without the first guesses it offers: ngspice must then find everything by itself.
std::string without_guesses(const std::string& deck) {
    std::istringstream lines(deck);
    std::string kept;
    for (std::string line; std::getline(lines, line);)
        if (line.rfind(".nodeset", 0) != 0)
            kept += line + '\n';
    return kept;
}

Compared compare(const model::Harness& harness, const model::Duty& duty, const solve::Variation& variation,
                 const testing::TemporaryFolder& folder) {
    const auto deck = solve::spice_deck(harness, duty, variation);
    const auto point = solve::operating_point(harness, duty, variation);
    REQUIRE(deck.has_value());
    REQUIRE(point.has_value());
    const testing::Ran ran = testing::run({"ngspice", "-b", folder.file("deck.cir", *deck)});
    REQUIRE_MESSAGE(ran.exit_code == 0, (ran.out + ran.err));
    Compared compared = against(printed_volts(ran.out), harness, duty, variation, *point);
    if (compared.worst > 1 || compared.missing > 0)
        MESSAGE(*deck << ran.out << ran.err);
    REQUIRE(compared.missing == 0);
    REQUIRE(compared.worst <= 1);

    // Alone, ngspice may fail to converge, or take the lower solution of a constant-power load; where it
    // comes to an answer on a harness without such loads, the answer must be the same.
    const bool any_power =
        std::any_of(harness.devices.begin(), harness.devices.end(), [](const model::Device& device) {
            return device.kind() == model::DeviceKind::consumer &&
                   std::get<model::Consumer>(device.data).demand == model::Demand::power;
        });
    if (any_power)
        return compared;
    const testing::Ran alone =
        testing::run({"ngspice", "-b", folder.file("alone.cir", without_guesses(*deck))});
    const Compared unguided = against(printed_volts(alone.out), harness, duty, variation, *point);
    if (unguided.missing > 0)
        return compared;
    compared.alone = true;
    REQUIRE(unguided.worst <= 1);
    return compared;
}

} // namespace

TEST_CASE("node volts of random harnesses agree with ngspice") {
    REQUIRE_MESSAGE(testing::have_program("ngspice"),
                    "ngspice is needed for this test: apt-get install ngspice");
    auto source = testing::random_source("ngspice networks");
    const testing::TemporaryFolder folder;
    int harnesses = 0;
    int unsolved = 0;
    int nodes = 0;
    int alone = 0;
    double worst = 0;
    while (harnesses < 300) {
        testing::RandomKit random(source, {});
        const model::Harness& harness = random.kit().harness;
        const auto& duty = harness.duties[static_cast<std::size_t>(random.whole(0, 4))];
        solve::Variation variation;
        variation.worst = random.chance(0.3);
        if (!solve::operating_point(harness, duty, variation)) {
            ++unsolved;
            continue;
        }
        const Compared compared = compare(harness, duty, variation, folder);
        nodes += compared.nodes;
        worst = std::max(worst, compared.worst);
        alone += compared.alone ? 1 : 0;
        ++harnesses;
    }
    MESSAGE(harnesses << " harnesses, " << nodes << " terminal volts, greatest difference "
                      << worst * relative << " relative; " << alone
                      << " found by ngspice without first guesses too; " << unsolved
                      << " without an operating point");
    CHECK(unsolved < harnesses / 10);
    CHECK(alone > 20);
    CHECK(nodes > 20 * harnesses);
}
