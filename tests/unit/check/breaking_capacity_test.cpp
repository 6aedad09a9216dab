// The current a fuse-link may have to break is a bound: never under what Ohm's law gives by hand.
#include "kit.h"

using namespace stoutloom;
using testing::cable;
using testing::kit;

namespace {

/// 12.7 V behind so many milliohms.
std::string pack(const std::string& id, const std::string& milliohm) {
    return "<battery id=\"" + id + "\" zone=\"shop\" capacity=\"100 Ah\" emf=\"12.7 V\" resistance=\"" +
           milliohm +
           " mohm\"><terminal id=\"+\" stud=\"M10\"/><terminal id=\"-\" stud=\"M10\"/></battery>\n";
}

const std::string link_and_load =
    "<fuse-link id=\"F1\" zone=\"shop\" type=\"SF51\" rating=\"100 A\"/>\n"
    "<consumer id=\"E1\" zone=\"shop\" draw=\"20 A\"><terminal id=\"+\" stud=\"M8\"/>"
    "<terminal id=\"-\" stud=\"M8\"/></consumer>\n<duty id=\"drive\" engine=\"cruise\"/>\n";

double prospective_a(const model::Harness& harness) {
    const check::Facts facts = check::gather(harness, check::Depth::healthy);
    const auto answers = check::judge_one(*check::rule_by_slug("fuse-breaking-capacity"), facts);
    REQUIRE(answers.size() == 1);
    return answers.front().values.at("prospective_a");
}

} // namespace

// 25.4 V over 15 mohm and some tenths of a milliohm of cable: about 1690 A, while the upper battery alone
// would drive 12.7 / 12 mohm = 1058 A. No part of this bench is in reach of another at other volts.
TEST_CASE("of two unlike batteries in series the stronger one counts") {
    const double bound_a = prospective_a(
        kit(pack("G1", "3") + pack("G2", "12") + link_and_load +
            cable("W0", "95 mm2", "G1.+", "G2.-", "0.2 m") + cable("W1", "95 mm2", "G2.+", "F1.a", "0.1 m") +
            cable("W2", "35 mm2", "F1.b", "E1.+", "1 m") + cable("W3", "35 mm2", "E1.-", "G1.-", "1 m")));
    CHECK(bound_a >= 25.4 / 0.015);
    CHECK(bound_a == doctest::Approx(12.7 / 0.003).epsilon(0.01)); // and no more than the stronger alone
}

// The second bank has its positive pole on the common metal: a spanner from the link to its live negative
// puts both in series, 25.4 V over 4 + 9 mohm and the cables.
TEST_CASE("a spanner between two systems of opposite polarity is counted") {
    const auto parts = [](const std::string& between) {
        return pack("G1", "4") + pack("G2", "9") + link_and_load +
               "<mass id=\"U1\"><terminal id=\"a\" stud=\"M10\"/><terminal id=\"b\" stud=\"M10\"/></mass>\n" +
               between + cable("W1", "95 mm2", "G1.+", "F1.a", "0.1 m") +
               cable("W2", "35 mm2", "F1.b", "E1.+", "1 m") + cable("W3", "35 mm2", "E1.-", "G1.-", "1 m") +
               cable("W4", "95 mm2", "G1.-", "U1.a", "0.1 m") +
               cable("W5", "95 mm2", "G2.+", "U1.b", "0.1 m") +
               "<post id=\"X2\" stud=\"M10\" zone=\"shop\"/>\n" +
               cable("W6", "95 mm2", "G2.-", "X2", "0.1 m");
    };
    const double bound_a = prospective_a(kit(parts("<landing id=\"box\" terminals=\"F1.a X2\"/>\n")));
    CHECK(bound_a >= 25.4 / (0.013 + 0.001));
    CHECK(bound_a <= 12.7 / 0.004 * 1.01);
}

// Two alike side by side: twice 12.7 V / (5 mohm + 0.2 m of 0.2 mohm/m and two crimps).
TEST_CASE("batteries side by side add up") {
    const double bound_a = prospective_a(kit(
        pack("G1", "5") + pack("G2", "5") + link_and_load + cable("W0", "95 mm2", "G1.+", "G2.+", "0.2 m") +
        cable("W4", "95 mm2", "G1.-", "G2.-", "0.2 m") + cable("W1", "95 mm2", "G2.+", "F1.a", "0.1 m") +
        cable("W2", "35 mm2", "F1.b", "E1.+", "1 m") + cable("W3", "35 mm2", "E1.-", "G2.-", "1 m")));
    CHECK(bound_a >= 12.7 / 0.0051 + 12.7 / (0.0051 + 0.0001));
    CHECK(bound_a <= 2 * 12.7 / 0.005);
}
