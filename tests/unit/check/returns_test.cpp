// By what a unit's current comes home, against dividers worked out by hand.
#include "check/returns.h"
#include "kit.h"

#include <fmt/format.h>

using namespace stoutloom;
using testing::cable;
using testing::kit;

namespace {

std::string plain_cable(const std::string& id, const std::string& from, const std::string& to,
                        const std::string& ohm_per_m) {
    return fmt::format("<cable id=\"{}\" section=\"95 mm2\" length=\"1 m\" zone=\"shop\" "
                       "resistance-per-length=\"{}\"><from at=\"{}\" joint=\"0.001 mohm\" crimp=\"0.001 "
                       "mohm\"/><to at=\"{}\" joint=\"0.001 mohm\" crimp=\"0.001 mohm\"/></cable>\n",
                       id, ohm_per_m, from, to);
}

const std::string load =
    testing::battery +
    "<consumer id=\"E1\" zone=\"shop\" draw=\"60 A\"><terminal id=\"+\" stud=\"M8\"/>"
    "<terminal id=\"-\" stud=\"M8\"/></consumer>\n<duty id=\"drive\" engine=\"cruise\"/>\n" +
    cable("W1", "35 mm2", "G2.+", "E1.+", "1 m");

check::ReturnShare share_of(const std::string& body) {
    const model::Harness harness = kit(body);
    const auto all = check::return_shares(check::gather(harness, check::Depth::healthy));
    REQUIRE(all.size() == 1);
    const check::ReturnShare& told = all.front();
    CHECK(told.current_a == doctest::Approx(60).epsilon(1e-6));
    CHECK(told.copper_fraction + told.mass_fraction + told.incidental_fraction ==
          doctest::Approx(1).epsilon(1e-6));
    return told;
}

} // namespace

TEST_CASE("two cables home are copper and nothing else") {
    const auto told = share_of(load + plain_cable("W2", "E1.-", "G2.-", "1 mohm/m") +
                               plain_cable("W3", "E1.-", "G2.-", "3 mohm/m"));
    CHECK(told.copper_fraction == doctest::Approx(1));
    CHECK(told.cables.size() == 2);
    CHECK(told.incidentals.empty());
}

// 1 mohm beside 3 mohm: three quarters and one quarter; their warmth hardly moves that.
TEST_CASE("a path nobody meant takes its share by conductance") {
    const auto told =
        share_of(load +
                 "<mass id=\"U1\" zone=\"shop\" resistance=\"0.001 mohm\"><terminal id=\"a\" stud=\"M8\"/>"
                 "<terminal id=\"b\" stud=\"M8\"/></mass>\n"
                 "<incidental id=\"X9\" from=\"E1.-\" to=\"G2.-\" resistance=\"3 mohm\"/>\n" +
                 plain_cable("W2", "E1.-", "G2.-", "1 mohm/m"));
    CHECK(told.incidental_fraction == doctest::Approx(0.25).epsilon(0.02));
    CHECK(told.copper_fraction == doctest::Approx(0.75).epsilon(0.01));
    REQUIRE(told.incidentals.size() == 1);
    // 60 A through three quarters of a milliohm.
    CHECK(told.shift_v == doctest::Approx(60 * 0.75e-3).epsilon(0.02));
}

TEST_CASE("what has once passed metal counts as metal") {
    const auto told = share_of(
        load +
        "<mass id=\"U1\" zone=\"shop\" resistance=\"0.001 mohm\"><terminal id=\"a\" stud=\"M8\"/>"
        "<terminal id=\"b\" stud=\"M8\"/></mass>\n" +
        plain_cable("W2", "E1.-", "U1.a", "0.5 mohm/m") + plain_cable("W3", "U1.b", "G2.-", "0.5 mohm/m") +
        plain_cable("W4", "E1.-", "G2.-", "1 mohm/m"));
    CHECK(told.mass_fraction == doctest::Approx(0.5).epsilon(0.01));
    CHECK(told.copper_fraction == doctest::Approx(0.5).epsilon(0.01));
    CHECK(told.cables.size() == 3);
}
