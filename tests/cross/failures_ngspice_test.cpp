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
#include <string>
#include <vector>

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

std::string without(std::string deck, const std::vector<Resistor>& branches) {
    for (const Resistor& branch : branches) {
        std::istringstream lines(deck);
        std::string kept;
        for (std::string line; std::getline(lines, line);)
            if (!line.starts_with(branch.name + " "))
                kept += line + '\n';
        deck = std::move(kept);
    }
    return deck;
}

/// Every resistor under a comment that begins so, between these two terminals.
std::vector<Resistor> between(const std::string& deck, const std::string& about, const std::string& one,
                              const std::string& other) {
    std::map<std::string, std::string> node = {};
    std::istringstream lines(deck);
    std::vector<Resistor> found;
    bool here = false;
    for (std::string line; std::getline(lines, line);) {
        if (const std::size_t equals = line.find(" = ");
            line.starts_with("* ") && equals != std::string::npos)
            node[line.substr(equals + 3)] = line.substr(2, equals - 2);
        if (line.starts_with("* "))
            here = line.starts_with("* " + about);
        std::istringstream words(line);
        Resistor branch;
        words >> branch.name >> branch.a >> branch.b;
        const auto joins = [&](const std::string& a, const std::string& b) {
            return branch.a == node[a] && branch.b == node[b];
        };
        if (here && line.starts_with("R") && (joins(one, other) || joins(other, one)))
            found.push_back(branch);
    }
    return found;
}

/// What the failure takes out of the deck; empty for kinds that are not asked here.
std::vector<Resistor> taken_out(const model::Harness& harness, const solve::Failure& failure,
                                const std::string& deck, const std::map<std::string, Resistor>& parts) {
    std::vector<Resistor> gone;
    for (const model::Cable& cable : harness.cables)
        if ((failure.cable && &harness.cable(*failure.cable) == &cable && !failure.one_run) ||
            (failure.nut && solve::is_bolted_to(cable, *failure.nut)))
            gone.push_back(parts.at("cable " + cable.id));
    if (failure.metal) {
        const model::Device& mass = harness.device(harness.terminal(*failure.metal).device);
        gone = between(deck, "mass " + mass.id, harness.terminal(*failure.metal).address, mass.id);
        REQUIRE(gone.size() == 1);
    }
    if (failure.seat) {
        const model::Device& unit = harness.device(*failure.seat);
        gone = between(deck, std::string(model::kind_name(unit.kind())) + " " + unit.id, unit.id + ".case",
                       harness.device(*unit.seat).id);
        REQUIRE(gone.size() == 1);
    }
    return gone;
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

/// Failures compared, by kind.
std::map<std::string, int> compare(const model::Harness& harness) {
    const model::Duty& duty = harness.duty(*model::find_duty(harness, "cranking"));
    const auto deck = solve::spice_deck(harness, duty);
    const auto sweep = solve::single_failures(harness, duty);
    REQUIRE(deck.has_value());
    REQUIRE(sweep.has_value());
    const testing::TemporaryFolder folder;
    const auto parts = resistors(*deck);
    std::map<std::string, int> compared;
    for (const solve::FailureResult& result : sweep->results) {
        const std::vector<Resistor> gone = taken_out(harness, result.failure, *deck, parts);
        if (gone.empty() || !result.dead.empty() || result.unsolved)
            continue;
        CAPTURE(gone.front().name);
        const auto volts = volts_of(without(*deck, gone), folder);
        double greatest_a = 0;
        for (const double one : result.cable_a)
            greatest_a = std::max(greatest_a, std::abs(one));
        const auto hold = [&](const std::string& part, double ours_a) {
            for (const Resistor& out : gone)
                if (out.name == parts.at(part).name)
                    return;
            const double theirs_a = current_a(volts, parts.at(part));
            CHECK_MESSAGE(std::abs(ours_a - theirs_a) <= 1e-5 * greatest_a, part, ": ", ours_a, " against ",
                          theirs_a);
        };
        for (std::size_t c = 0; c < harness.cables.size(); ++c)
            hold("cable " + harness.cables[c].id, result.cable_a[c]);
        for (std::size_t p = 0; p < harness.incidentals.size(); ++p)
            hold("incidental path " + harness.incidentals[p].id, result.incidental_a[p]);
        ++compared[result.failure.nut     ? "nut"
                   : result.failure.metal ? "metal"
                   : result.failure.seat  ? "seat"
                                          : "cable"];
    }
    return compared;
}

std::map<std::string, int> compare_file(const std::string& name) {
    const auto file = read::read_file(testing::tree_path("harnesses/" + name));
    REQUIRE(file.has_value());
    return compare(file->harness);
}

/// A tractor: two straps under one bolt of the frame, a second return straight to the starter's case beside
/// its seat, a linkage and a hydraulic line that nobody meant to carry anything.
constexpr std::string_view tractor = R"(<?xml version="1.0" encoding="UTF-8"?>
<harness xmlns="urn:stoutloom:harness:1" title="Tractor">
  <zone id="bay" ambient="40 degC"/>
  <battery id="G2" zone="bay" capacity="110 Ah" emf="12.6 V" resistance="4 mohm"/>
  <mass id="U1" label="Frame" resistance="0.2 mohm"><terminal id="front" stud="M10"/><terminal id="bolt" stud="M10"/></mass>
  <mass id="U2" label="Engine"><terminal id="strap" stud="M10"/></mass>
  <mass id="U3" label="Gearbox"><terminal id="strap" stud="M10"/></mass>
  <starter id="M1" zone="bay" draw="280 A" return="case" mass="U2"><terminal id="30" stud="M8"/><terminal id="50" stud="M5"/></starter>
  <incidental id="X8" from="U1" to="U3" resistance="15 mohm"/>
  <incidental id="X9" from="U2" to="U3" resistance="4 mohm"/>
  <incidental id="X7" from="U1" to="U2" resistance="30 mohm"/>
  <duty id="cranking" engine="cranking" duration="5 s"/>
  <cable id="W1" section="50 mm2" length="1.5 m"><from at="G2.+"/><to at="M1.30"/></cable>
  <cable id="W2" section="50 mm2" length="0.6 m"><from at="G2.-"/><to at="U1.front"/></cable>
  <cable id="W3" section="25 mm2" length="0.3 m"><from at="U1.bolt"/><to at="U2.strap"/></cable>
  <cable id="W4" section="25 mm2" length="0.5 m"><from at="U1.bolt"/><to at="U3.strap"/></cable>
  <cable id="W5" section="16 mm2" length="1.2 m"><from at="G2.-"/><to at="U3.strap"/></cable>
</harness>
)";

} // namespace

TEST_CASE("what a lost cable or strap does while cranking agrees with ngspice without that branch") {
    // Planned: straps, body lead, second return, unit and sense leads. As found less is doubled.
    CHECK(compare_file("library-van-planned.xml")["cable"] >= 6);
    CHECK(compare_file("library-van-original.xml")["cable"] >= 2);
}

TEST_CASE("a nut and a rusted stud with two straps agree with ngspice without those branches") {
    const auto file = read::read_text("tractor.xml", std::string(tractor));
    REQUIRE(file.has_value());
    auto compared = compare(file->harness);
    CHECK(compared["cable"] >= 4);
    CHECK(compared["nut"] >= 2); // the bolt, the gearbox's stud
    CHECK(compared["metal"] >= 2);
}
