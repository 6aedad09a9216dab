// The asking again after a failure: every rule has its place in the table, and what it tells is one cause
// once.
#include "check/failure_rules.h"
#include "kit.h"

#include <algorithm>

using namespace stoutloom;
using testing::cable;
using testing::kit;

namespace {

const check::FaultTold* told_about(const check::Faults& faults, const std::string& what) {
    for (const check::FaultTold& told : faults.told)
        if (told.what == what)
            return &told;
    return nullptr;
}

std::vector<std::string> rules_of(const check::FaultTold& told) {
    std::vector<std::string> rules;
    for (const check::Consequence& one : told.consequences)
        rules.push_back(one.rule);
    return rules;
}

bool holds(const std::vector<std::string>& list, const std::string& item) {
    return std::find(list.begin(), list.end(), item) != list.end();
}

/// 30 A through 2 x 6 m of 16 mm2 each way (1.16 mohm/m: 7 mohm, 0.21 V a side) beside a thin way of 2.5 mm2
/// (7.6 mohm/m: 46 mohm, 1.4 V).
const std::string load =
    testing::battery +
    "<consumer id=\"E1\" zone=\"shop\" draw=\"20 A\"><terminal id=\"+\" stud=\"M8\"/>"
    "<terminal id=\"-\" stud=\"M8\"/></consumer>\n<duty id=\"drive\" engine=\"cruise\"/>\n";

} // namespace

TEST_CASE("the table of failures names every rule once and gives a reason") {
    const auto rows = check::failure_rules();
    const auto rules = check::all_rules();
    REQUIRE(rows.size() == rules.size());
    std::size_t asked = 0;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        CHECK(rows[i].slug == rules[i]->slug);
        CHECK(rows[i].why.size() > 10);
        asked += rows[i].after == check::After::asked;
    }
    CHECK(asked > 10);
}

// 20 A over 12 m of 2.5 mm2 (7.6 mohm/m) and 6 m of 16 mm2: 0.091 + 0.007 ohm, 1.9 V where 1.2 V are allowed;
// and 2.5 mm2 stands 20 A, so nothing burns.
TEST_CASE("a consumer that keeps only its thin feed loses volts and that is told without a finding") {
    const auto harness =
        kit(load + cable("W1", "16 mm2", "G2.+", "E1.+", "6 m") +
            cable("W2", "2.5 mm2", "G2.+", "E1.+", "12 m") + cable("W3", "16 mm2", "E1.-", "G2.-", "6 m"));
    const check::Facts facts = check::gather(harness);
    const check::FaultTold* thick = told_about(*facts.faults, "W1 comes off");
    REQUIRE(thick != nullptr);
    CHECK(thick->grave == check::Grave::nothing);
    REQUIRE(thick->consequences.size() == 1);
    CHECK(thick->consequences.front().rule == "consumer-drop");
    CHECK(thick->consequences.front().value ==
          doctest::Approx(20 * (12 * 0.0076 + 6 * 0.00116)).epsilon(0.1));
    CHECK_FALSE(thick->consequences.front().at_worst);
    // The thin one lost, the thick one carries on: nothing to tell.
    CHECK(told_about(*facts.faults, "W2 comes off") == nullptr);
}

TEST_CASE("a dead consumer has no lost volts beside") {
    const auto harness = kit(load + cable("W1", "16 mm2", "G2.+", "E1.+", "6 m") +
                             cable("W3", "16 mm2", "E1.-", "G2.-", "6 m"));
    const check::Facts facts = check::gather(harness);
    REQUIRE(facts.faults->told.size() == 1);
    REQUIRE(facts.faults->told.front().consequences.size() == 1);
    CHECK(facts.faults->told.front().consequences.front().harm == check::Harm::dead);
}

// Two ways of equal length to a load of 40 A, each over a push-on blade of 6.3 mm that stands 25 A: 20 A
// each, and 40 A when one is lost.
TEST_CASE("the blade that is left gets all of the current and that is harm") {
    const auto harness =
        kit(testing::battery +
            "<consumer id=\"E1\" zone=\"shop\" draw=\"40 A\"><terminal id=\"+\" stud=\"M8\"/>"
            "<terminal id=\"-\" stud=\"M8\"/></consumer>\n<duty id=\"drive\" engine=\"cruise\"/>\n"
            "<post id=\"X1\" zone=\"shop\"><terminal id=\"a\" stud=\"blade 6.3\"/><terminal id=\"b\" "
            "stud=\"blade 6.3\"/><terminal id=\"c\" stud=\"M8\"/></post>\n" +
            cable("W1", "16 mm2", "G2.+", "X1.a", "1 m") + cable("W2", "16 mm2", "G2.+", "X1.b", "1 m") +
            cable("W3", "16 mm2", "X1.c", "E1.+", "1 m") + cable("W4", "16 mm2", "E1.-", "G2.-", "1 m"));
    const check::Facts facts = check::gather(harness);
    const check::FaultTold* one = told_about(*facts.faults, "W1 comes off");
    REQUIRE(one != nullptr);
    CHECK(one->grave == check::Grave::burns);
    CHECK(holds(rules_of(*one), "push-on-current"));
    CHECK(one->consequences.front().subject == "X1.b");
    CHECK(one->consequences.front().value == doctest::Approx(40).epsilon(1e-4));
}

TEST_CASE("one run of parallel cables lost crowds the others") {
    // 100 A over two runs of 10 mm2, some 73 A each in free air (ISO 10133 annex A, from memory); one alone
    // is over that.
    const auto harness =
        kit(testing::battery +
            "<consumer id=\"E1\" zone=\"shop\" draw=\"110 A\"><terminal id=\"+\" stud=\"M8\"/>"
            "<terminal id=\"-\" stud=\"M8\"/></consumer>\n<duty id=\"drive\" engine=\"cruise\"/>\n" +
            cable("W1", "10 mm2", "G2.+", "E1.+", "1 m", "parallel=\"2\"") +
            cable("W2", "50 mm2", "E1.-", "G2.-", "1 m"));
    const check::Facts facts = check::gather(harness);
    const check::FaultTold* run = told_about(*facts.faults, "one run of W1 comes off");
    REQUIRE(run != nullptr);
    CHECK(run->one_run);
    CHECK(run->grave == check::Grave::burns);
    CHECK(run->consequences.front().harm == check::Harm::overheats);
    CHECK(run->consequences.front().value == doctest::Approx(110).epsilon(1e-4));
}
