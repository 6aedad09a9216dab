// What single failures do, against plain reasoning about small kits.
#include "check/faults.h"
#include "kit.h"

#include <algorithm>

using namespace stoutloom;
using testing::cable;
using testing::kit;

namespace {

const check::FaultTold* told_about(const check::Faults& faults, const std::string& id) {
    for (const check::FaultTold& told : faults.told)
        if (std::find(told.failed.begin(), told.failed.end(), id) != told.failed.end())
            return &told;
    return nullptr;
}

const check::Consequence* of_harm(const check::FaultTold& told, check::Harm harm) {
    for (const check::Consequence& one : told.consequences)
        if (one.harm == harm)
            return &one;
    return nullptr;
}

const std::string load =
    testing::battery +
    "<consumer id=\"E1\" zone=\"shop\" draw=\"60 A\"><terminal id=\"+\" stud=\"M8\"/>"
    "<terminal id=\"-\" stud=\"M8\"/></consumer>\n<duty id=\"drive\" engine=\"cruise\"/>\n";

} // namespace

TEST_CASE("parts in series are one line and what they feed goes dead") {
    const model::Harness harness =
        kit(load + "<fuse-link id=\"F1\" zone=\"shop\" type=\"stud-cube\" rating=\"100 A\"/>\n" +
            cable("W1", "35 mm2", "G2.+", "F1.a", "0.1 m") + cable("W2", "35 mm2", "F1.b", "E1.+", "1 m") +
            cable("W3", "35 mm2", "E1.-", "G2.-", "1 m"));
    const check::Facts facts = check::gather(harness);
    REQUIRE(facts.faults);
    CHECK(facts.faults->complete());
    CHECK(facts.faults->asked.size() == 4);
    REQUIRE(facts.faults->told.size() == 1);
    const check::FaultTold& all = facts.faults->told.front();
    CHECK(all.failed.size() == 4);
    CHECK(all.grave == check::Grave::nothing);
    REQUIRE(of_harm(all, check::Harm::dead) != nullptr);
    CHECK(of_harm(all, check::Harm::dead)->subject == "E1");
}

// 60 A whatever the volts: without the thick one all of them go by 2.5 mm2, which ISO 10133 annex A gives
// 40 A in a wall of 105 degC (from memory).
TEST_CASE("a thin cable beside a thick one burns when the thick one comes off") {
    const model::Harness harness =
        kit(load + cable("W1", "35 mm2", "G2.+", "E1.+", "1 m") +
            cable("W2", "35 mm2", "E1.-", "G2.-", "1 m") + cable("W3", "2.5 mm2", "E1.-", "G2.-", "1 m"));
    const check::Facts facts = check::gather(harness);
    const check::FaultTold* thick = told_about(*facts.faults, "W2");
    REQUIRE(thick != nullptr);
    CHECK(thick->grave == check::Grave::burns);
    CHECK(thick == &facts.faults->told.front()); // the gravest first
    const check::Consequence* hot = of_harm(*thick, check::Harm::overheats);
    REQUIRE(hot != nullptr);
    CHECK(hot->subject == "W3");
    CHECK(hot->value == doctest::Approx(60).epsilon(1e-6));
    CHECK(of_harm(*thick, check::Harm::dead) == nullptr);
    const auto& harmless = facts.faults->harmless;
    CHECK(std::find(harmless.begin(), harmless.end(), "W3") != harmless.end());
}

TEST_CASE("a fuse-link that is sure to open first turns the harm into care") {
    // 60 A are twice 30 A: up to 60 s by the gate (ISO 8820-6 figures, from memory), a little more in a place
    // cooler than the gate's 23 degC.
    const model::Harness harness =
        kit(load + "<fuse-link id=\"F1\" zone=\"shop\" type=\"stud-cube\" rating=\"30 A\"/>\n" +
            cable("W1", "35 mm2", "G2.+", "E1.+", "1 m") + cable("W2", "35 mm2", "E1.-", "G2.-", "1 m") +
            cable("W3", "4 mm2", "G2.+", "F1.a", "0.1 m") + cable("W4", "4 mm2", "F1.b", "E1.+", "4 m"));
    const check::Facts facts = check::gather(harness);
    const check::FaultTold* thick = told_about(*facts.faults, "W1");
    REQUIRE(thick != nullptr);
    CHECK(thick->grave == check::Grave::told);
    REQUIRE(of_harm(*thick, check::Harm::link_opens) != nullptr);
    CHECK(of_harm(*thick, check::Harm::link_opens)->subject == "F1");
    CHECK(of_harm(*thick, check::Harm::link_opens)->value >= 60);
    CHECK(of_harm(*thick, check::Harm::link_opens)->value <= 70);
}

// 60 A over two feeds of 35 mm2 with 30 A each; either alone is sure to open within its gate of 60 s, and a
// little more in a cool place.
TEST_CASE("of two feeds that share a load the link of one opens when the other is lost") {
    const model::Harness harness =
        kit(load +
            "<fuse-link id=\"F1\" zone=\"shop\" type=\"stud-cube\" rating=\"30 A\"/>\n"
            "<fuse-link id=\"F2\" zone=\"shop\" type=\"stud-cube\" rating=\"30 A\"/>\n" +
            cable("W1", "35 mm2", "G2.+", "F1.a", "0.1 m") + cable("W2", "35 mm2", "F1.b", "E1.+", "1 m") +
            cable("W3", "35 mm2", "G2.+", "F2.a", "0.1 m") + cable("W4", "35 mm2", "F2.b", "E1.+", "1 m") +
            cable("W5", "35 mm2", "E1.-", "G2.-", "1 m"));
    const check::Facts facts = check::gather(harness);
    const check::FaultTold* one = told_about(*facts.faults, "W2");
    REQUIRE(one != nullptr);
    CHECK(one->grave == check::Grave::told);
    REQUIRE(of_harm(*one, check::Harm::link_opens) != nullptr);
    CHECK(of_harm(*one, check::Harm::link_opens)->subject == "F2");
    CHECK(of_harm(*one, check::Harm::link_opens)->value >= 60);
    CHECK(of_harm(*one, check::Harm::link_opens)->value <= 70);
    CHECK(of_harm(*one, check::Harm::overheats) == nullptr);
    CHECK(told_about(*facts.faults, "F1") == one); // in series: one line
}

TEST_CASE("the sense lead and the charging lead are told by what the unit loses") {
    const model::Harness harness =
        kit(testing::battery +
            "<generator id=\"G1\" zone=\"shop\" return=\"isolated\" sense=\"G2.+\"><output speed=\"rated\" "
            "cold=\"90 A\"/><terminal id=\"B+\" stud=\"M8\"/><terminal id=\"B-\" stud=\"M10\"/>"
            "<terminal id=\"S\" stud=\"blade 4.8\"/></generator>\n"
            "<duty id=\"drive\" engine=\"cruise\"/>\n" +
            cable("W1", "50 mm2", "G1.B+", "G2.+", "1 m") + cable("W2", "50 mm2", "G2.-", "G1.B-", "1 m") +
            cable("W3", "1 mm2", "G2.+", "G1.S", "1 m"));
    const check::Facts facts = check::gather(harness);
    const check::FaultTold* sense = told_about(*facts.faults, "W3");
    REQUIRE(sense != nullptr);
    CHECK(of_harm(*sense, check::Harm::lost_sense) != nullptr);
    CHECK(of_harm(*sense, check::Harm::load_dump) == nullptr);
    const check::FaultTold* feed = told_about(*facts.faults, "W1");
    REQUIRE(feed != nullptr);
    CHECK(of_harm(*feed, check::Harm::load_dump) != nullptr);
}

// The body bolt of two straps: without its nut the lamp's 60 A find the linkage, and so they do without the
// thin strap's cable alone; the nut is told there.
TEST_CASE("a nut whose harm one of its cables does alone is no finding of its own") {
    const model::Harness harness =
        kit(testing::battery +
            "<mass id=\"U1\" label=\"Frame\"><terminal id=\"front\" stud=\"M10\"/><terminal id=\"bolt\" "
            "stud=\"M10\"/></mass>\n<mass id=\"U2\" label=\"Engine\"><terminal id=\"strap\" stud=\"M10\"/>"
            "</mass>\n<mass id=\"U3\" label=\"Cab\"><terminal id=\"strap\" stud=\"M10\"/></mass>\n"
            "<consumer id=\"E1\" zone=\"shop\" draw=\"60 A\" return=\"case\" mass=\"U2\"><terminal id=\"+\" "
            "stud=\"M8\"/></consumer>\n<incidental id=\"X9\" from=\"U1\" to=\"U2\" resistance=\"40 mohm\"/>\n"
            "<duty id=\"drive\" engine=\"cruise\"/>\n" +
            cable("W1", "35 mm2", "G2.+", "E1.+", "1 m") + cable("W2", "35 mm2", "G2.-", "U1.front", "1 m") +
            cable("W3", "35 mm2", "U2.strap", "U1.bolt", "1 m") +
            cable("W4", "35 mm2", "U3.strap", "U1.bolt", "1 m"));
    const check::Facts facts = check::gather(harness);
    const check::FaultTold* strap = told_about(*facts.faults, "W3");
    REQUIRE(strap != nullptr);
    CHECK(strap->grave == check::Grave::burns);
    const auto& asked = facts.faults->asked;
    CHECK(std::count(asked.begin(), asked.end(), "U1.bolt") == 1);
    CHECK(std::count(asked.begin(), asked.end(), "E1") == 1);
    // Strap and nut do the same to the last digit: one line. Rusted off, the two straps still join the cab.
    CHECK(strap->what == "W3, the nut of U1.bolt or the metal at U1.bolt is lost");
    CHECK(strap->like.empty());
    const auto record = check::judge_all(facts);
    std::size_t told = 0;
    for (const check::Judgement* finding : testing::findings(record, "single-failure"))
        told += finding->subjects.back() == "X9";
    CHECK(told == 1);
    const check::FaultTold* seat = told_about(*facts.faults, "E1");
    REQUIRE(seat != nullptr);
    CHECK(seat->what == "W1, W2 or the seat of E1 is lost");
}

// The same with a second load on the cab: the nut kills nobody more, but moves more current through X9.
TEST_CASE("a nut that does a little more than its worst cable is told beside it without a finding") {
    const model::Harness harness = kit(
        testing::battery +
        "<mass id=\"U1\" label=\"Frame\"><terminal id=\"front\" stud=\"M10\"/><terminal id=\"bolt\" "
        "stud=\"M10\"/></mass>\n<mass id=\"U2\" label=\"Engine\"><terminal id=\"strap\" stud=\"M10\"/>"
        "</mass>\n<mass id=\"U3\" label=\"Cab\"><terminal id=\"strap\" stud=\"M10\"/></mass>\n"
        "<consumer id=\"E1\" zone=\"shop\" draw=\"60 A\" return=\"case\" mass=\"U2\"><terminal id=\"+\" "
        "stud=\"M8\"/></consumer>\n<consumer id=\"E2\" zone=\"shop\" draw=\"1 A\" return=\"case\" "
        "mass=\"U3\"><terminal id=\"+\" stud=\"M8\"/></consumer>\n"
        "<incidental id=\"X9\" from=\"U1\" to=\"U2\" resistance=\"40 mohm\"/>\n"
        "<duty id=\"drive\" engine=\"cruise\"/>\n" +
        cable("W1", "35 mm2", "G2.+", "E1.+", "1 m") + cable("W2", "35 mm2", "G2.-", "U1.front", "1 m") +
        cable("W3", "35 mm2", "U2.strap", "U1.bolt", "1 m") +
        cable("W4", "35 mm2", "U3.strap", "U1.bolt", "1 m") + cable("W5", "2.5 mm2", "G2.+", "E2.+", "1 m"));
    const check::Facts facts = check::gather(harness);
    const check::FaultTold* nut = nullptr;
    for (const check::FaultTold& told : facts.faults->told)
        if (told.what == "the nut of U1.bolt comes off")
            nut = &told;
    REQUIRE(nut != nullptr);
    CHECK(nut->like == "W3");
    CHECK(nut->grave == check::Grave::burns);
    CHECK(of_harm(*nut, check::Harm::dead)->subject == "E2");
    const auto record = check::judge_all(facts);
    for (const check::Judgement* finding : testing::findings(record, "single-failure"))
        CHECK(finding->subjects.front() != "U1.bolt");
}

// 20 A run as written, which 2.5 mm2 stand; with the pump on request 60 A go by it when the thick feed is
// lost.
TEST_CASE("what only another choice of loads overheats after a failure is told with that choice") {
    const model::Harness harness = kit(
        testing::battery +
        "<consumer id=\"E1\" zone=\"shop\" draw=\"20 A\"><terminal id=\"+\" stud=\"M8\"/>"
        "<terminal id=\"-\" stud=\"M8\"/></consumer>\n"
        "<consumer id=\"E2\" zone=\"shop\" draw=\"40 A\" runs=\"on-request\"><terminal id=\"+\" stud=\"M8\"/>"
        "<terminal id=\"-\" stud=\"M8\"/></consumer>\n<post id=\"X1\" zone=\"shop\"/>\n"
        "<duty id=\"drive\" engine=\"cruise\"/>\n" +
        cable("W1", "35 mm2", "G2.+", "X1", "1 m") + cable("W2", "2.5 mm2", "G2.+", "X1", "1 m") +
        cable("W3", "16 mm2", "X1", "E1.+", "1 m") + cable("W4", "16 mm2", "X1", "E2.+", "1 m") +
        cable("W5", "35 mm2", "E1.-", "G2.-", "1 m") + cable("W6", "35 mm2", "E2.-", "G2.-", "1 m"));
    const check::Facts facts = check::gather(harness);
    const check::FaultTold* thick = told_about(*facts.faults, "W1");
    REQUIRE(thick != nullptr);
    CHECK(thick->grave == check::Grave::burns);
    const check::Consequence* hot = of_harm(*thick, check::Harm::overheats);
    REQUIRE(hot != nullptr);
    CHECK(hot->subject == "W2");
    CHECK(hot->value == doctest::Approx(60).epsilon(1e-6));
    CHECK(hot->words.find("in duty drive with everything on") != std::string::npos);
    CHECK(hot->at_worst);
    // A load that does not run as written is dead all the same without its feed.
    const check::FaultTold* lead = told_about(*facts.faults, "W4");
    REQUIRE(lead != nullptr);
    CHECK(of_harm(*lead, check::Harm::dead)->subject == "E2");
}

// 60 A through a joint of 1 mohm are 3.6 W; of 10 mohm 36 W, for the load draws its 60 A all the same.
TEST_CASE("a dirty joint heats by the square of the current and shows on the meter") {
    const model::Harness harness =
        kit(load +
            "<cable id=\"W1\" section=\"35 mm2\" length=\"1 m\" zone=\"shop\"><from at=\"G2.+\"/>"
            "<to at=\"E1.+\" joint=\"1 mohm\" crimp=\"0.01 mohm\"/></cable>\n" +
            cable("W2", "35 mm2", "E1.-", "G2.-", "1 m"));
    const auto told = check::dirty_joints_of(check::gather(harness));
    REQUIRE_FALSE(told.empty());
    CHECK(told.front().cable == "W1");
    CHECK(told.front().at == "E1.+");
    CHECK(told.front().heat_w == doctest::Approx(36).epsilon(1e-6));
    CHECK(told.front().healthy_heat_w == doctest::Approx(3.6).epsilon(1e-6));
    CHECK(told.front().meter_v == doctest::Approx(60 * 10.01e-3).epsilon(1e-6));
    CHECK(told.front().healthy_meter_v == doctest::Approx(60 * 1.01e-3).epsilon(1e-6));
}
