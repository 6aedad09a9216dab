// Single failures from one factor and its updates, against ngspice with the branch taken out of the healthy
// deck.
//
// Cranking: the battery discharges and the starter draws its current whatever the volts, so the deck without
// the branch is the failed network as long as the starter still turns. Cable temperatures are the healthy
// ones in both. Tolerance: 1e-5 of the greatest current, as node volts are read from fifteen digits over
// milliohms.
#include "read/read.h"
#include "solve/failures.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <charconv>
#include <cmath>
#include <limits>
#include <map>
#include <sstream>

using namespace stoutloom;

namespace {

double number(const std::string& text) {
    double value = std::numeric_limits<double>::quiet_NaN();
    std::from_chars(text.data(), text.data() + text.size(), value);
    return value;
}

/// A resistor of the deck, with what the comment above it says it is: "cable W3", "incidental path X9".
struct Resistor {
    std::string name, a, b;
    double ohm = 0;
};
std::map<std::string, Resistor> resistors(const std::string& deck) {
    std::map<std::string, Resistor> found;
    std::istringstream lines(deck);
    std::string about;
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with("* cable ") || line.starts_with("* incidental path "))
            about = line.substr(2, line.find(',') - 2);
        else if (line.starts_with("R") && !about.empty()) {
            std::istringstream words(line);
            Resistor one;
            std::string ohm;
            words >> one.name >> one.a >> one.b >> ohm;
            one.ohm = number(ohm);
            found[about] = one;
            about.clear();
        }
    }
    return found;
}

std::string without(const std::string& deck, const Resistor& branch) {
    std::istringstream lines(deck);
    std::string kept;
    for (std::string line; std::getline(lines, line);)
        if (!line.starts_with(branch.name + " "))
            kept += line + '\n';
    return kept;
}

std::map<std::string, double> volts_of(const std::string& deck, const testing::TemporaryFolder& folder) {
    const testing::Ran ran = testing::run({"ngspice", "-b", folder.file("deck.cir", deck)});
    REQUIRE_MESSAGE(ran.exit_code == 0, (ran.out + ran.err));
    std::map<std::string, double> volts = {{"0", 0.0}};
    std::istringstream lines(ran.out);
    for (std::string line; std::getline(lines, line);)
        if (const std::size_t close = line.find(") = "); line.starts_with("v(") && close != std::string::npos)
            volts[line.substr(2, close - 2)] = number(line.substr(close + 4));
    return volts;
}

double current_a(const std::map<std::string, double>& volts, const Resistor& branch) {
    const auto a = volts.find(branch.a), b = volts.find(branch.b);
    return a == volts.end() || b == volts.end() ? std::numeric_limits<double>::quiet_NaN()
                                                : (a->second - b->second) / branch.ohm;
}

/// Failures compared.
int compare(const std::string& name) {
    const auto file = read::read_file(testing::tree_path("harnesses/" + name));
    REQUIRE(file.has_value());
    const model::Harness& harness = file->harness;
    const model::Duty& duty = harness.duty(*model::find_duty(harness, "cranking"));
    const auto deck = solve::spice_deck(harness, duty);
    const auto sweep = solve::single_failures(harness, duty);
    REQUIRE(deck.has_value());
    REQUIRE(sweep.has_value());
    const testing::TemporaryFolder folder;
    const auto parts = resistors(*deck);
    int compared = 0;
    for (const solve::FailureResult& result : sweep->results) {
        if (!result.failure.cable || !result.dead.empty() || result.unsolved)
            continue;
        const std::string& failed = harness.cable(*result.failure.cable).id;
        CAPTURE(failed);
        const auto volts = volts_of(without(*deck, parts.at("cable " + failed)), folder);
        double greatest_a = 0;
        for (const double one : result.cable_a)
            greatest_a = std::max(greatest_a, std::abs(one));
        const auto hold = [&](const std::string& part, double ours_a) {
            const double theirs_a = current_a(volts, parts.at(part));
            CHECK_MESSAGE(std::abs(ours_a - theirs_a) <= 1e-5 * greatest_a, part, ": ", ours_a, " against ",
                          theirs_a);
        };
        for (std::size_t c = 0; c < harness.cables.size(); ++c)
            if (harness.cables[c].id != failed)
                hold("cable " + harness.cables[c].id, result.cable_a[c]);
        for (std::size_t p = 0; p < harness.incidentals.size(); ++p)
            hold("incidental path " + harness.incidentals[p].id, result.incidental_a[p]);
        ++compared;
    }
    return compared;
}

} // namespace

TEST_CASE("what a lost cable or strap does while cranking agrees with ngspice without that branch") {
    // Planned: straps, body lead, second return, unit and sense leads. As found less is doubled.
    CHECK(compare("library-van-planned.xml") >= 6);
    CHECK(compare("library-van-original.xml") >= 2);
}
