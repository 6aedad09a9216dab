// Landings as a workshop meets them: which kits are keyed, which are not, and what a wrong assembly would do.
#include "kit.h"
#include "testing/testing.h"

#include <algorithm>

using namespace stoutloom;
using testing::cable;
using testing::kit;

namespace {

const check::LandingVerdict* landing(const std::vector<check::LandingVerdict>& all, const std::string& id) {
    for (const check::LandingVerdict& one : all)
        if (one.id == id)
            return &one;
    return nullptr;
}

std::string unit_with(const std::string& plus, const std::string& minus) {
    return "<generator id=\"G1\" zone=\"shop\" return=\"isolated\"><output speed=\"rated\" cold=\"90 A\" "
           "hot=\"80 A\"/>"
           "<terminal id=\"B+\" stud=\"" +
           plus + "\"/><terminal id=\"B-\" stud=\"" + minus + "\"/></generator>\n";
}
const std::string two_cables =
    cable("W1", "35 mm2", "G1.B+", "G2.+", "0.1 m") + cable("W2", "35 mm2", "G1.B-", "G2.-", "0.1 m");

bool keyed(const std::string& plus, const std::string& minus, const std::string& more = {}) {
    const model::Harness harness = kit(testing::battery + unit_with(plus, minus) + two_cables + more);
    const auto all = check::judge_landings(harness);
    REQUIRE(landing(all, "G1") != nullptr);
    return landing(all, "G1")->keyed;
}

} // namespace

// Common practice, no source: sizes that differ key the kit, since one lug will not go on the stud that is
// left; the inch sizes beside metric ones count as equal.
TEST_CASE("different stud sizes key a unit and like sizes do not") {
    CHECK(keyed("M8", "M10"));
    CHECK(keyed("M10", "M8"));
    CHECK(keyed("M8", "M6"));
    CHECK_FALSE(keyed("M8", "M8"));
    CHECK_FALSE(keyed("M8", "5/16 in"));
    CHECK_FALSE(keyed("M10", "3/8 in"));
    CHECK_FALSE(keyed("M6", "1/4 in"));
    CHECK_FALSE(keyed("M5", "#10"));
}

TEST_CASE("a second lug on the larger stud can move to the smaller one and the kit is no longer keyed") {
    const std::string mass = "<mass id=\"U1\" zone=\"shop\"><terminal id=\"a\" stud=\"M8\"/></mass>\n";
    // B- larger and with two lugs: one of them may sit on B+ instead, and every stud is still used.
    CHECK_FALSE(keyed("M8", "M10", mass + cable("W3", "35 mm2", "G1.B-", "U1.a", "1 m")));
    // B- smaller and with two lugs: neither goes on the larger B+.
    CHECK(keyed("M10", "M8", mass + cable("W3", "35 mm2", "G1.B-", "U1.a", "1 m")));
}

TEST_CASE("battery posts are keyed by polarity and battery studs of one size are not") {
    const model::Harness posts = kit(testing::battery + unit_with("M8", "M10") + two_cables);
    const auto all = check::judge_landings(posts);
    REQUIRE(landing(all, "G2") != nullptr);
    CHECK(landing(all, "G2")->keyed);
    CHECK_FALSE(landing(all, "G2")->assumptions.empty());
    const model::Harness studs = kit("<battery id=\"G2\" zone=\"shop\" capacity=\"100 Ah\"><terminal "
                                     "id=\"+\" stud=\"M8\"/><terminal id=\"-\" stud=\"M8\"/></battery>\n" +
                                     unit_with("M8", "M10") + two_cables);
    const auto facts = check::gather(studs);
    const auto* swapped = landing(facts.landings, "G2");
    REQUIRE(swapped != nullptr);
    REQUIRE_FALSE(swapped->keyed);
    CHECK(swapped->wrong.front().sentence == "W1 on G2.- and W2 on G2.+");
    CHECK(swapped->wrong.front().harmful);
    CHECK(swapped->wrong.front().consequence.starts_with(
        "the battery meets the diodes of G1 the wrong way round"));
}

TEST_CASE("a fuse-link may be turned round but its two sides may not be mixed") {
    const std::string link =
        "<fuse-link id=\"F1\" zone=\"shop\" rating=\"80 A\"/><consumer id=\"E1\" zone=\"shop\" draw=\"5 A\"/>"
        "<consumer id=\"E2\" zone=\"shop\" draw=\"5 A\"/>\n";
    const std::string ways =
        cable("W1", "6 mm2", "G2.+", "F1.a", "0.1 m") + cable("W2", "6 mm2", "F1.b", "E1.+", "1 m") +
        cable("W4", "6 mm2", "E1.-", "G2.-", "1 m") + cable("W5", "6 mm2", "E2.-", "G2.-", "1 m");
    const model::Harness one_each = kit(testing::battery + link + ways);
    REQUIRE(landing(check::judge_landings(one_each), "F1") != nullptr);
    CHECK(landing(check::judge_landings(one_each), "F1")->keyed);
    const model::Harness two =
        kit(testing::battery + link + ways + cable("W3", "6 mm2", "F1.b", "E2.+", "1 m"));
    const auto facts = check::gather(two);
    const auto* mixed = landing(facts.landings, "F1");
    REQUIRE(mixed != nullptr);
    REQUIRE_FALSE(mixed->keyed);
    // Either outgoing cable can sit on the battery's side, where nothing protects it.
    CHECK(mixed->wrong.front().moved.size() == 1);
    CHECK(mixed->wrong.front().consequence.find("no fuse-link between it and the battery") !=
          std::string::npos);
}

TEST_CASE("what a short circuit would do is told before anything else") {
    const std::string mass = "<mass id=\"U1\" zone=\"shop\"><terminal id=\"a\" stud=\"M8\"/></mass>\n";
    const model::Harness harness = kit(testing::battery + unit_with("M8", "M10") + two_cables + mass +
                                       cable("W3", "35 mm2", "G1.B-", "U1.a", "1 m"));
    const auto facts = check::gather(harness);
    const auto* open = landing(facts.landings, "G1");
    REQUIRE(open != nullptr);
    const auto shorted =
        std::find_if(open->wrong.begin(), open->wrong.end(),
                     [](const check::WrongAssembly& wrong) { return wrong.sentence == "W2 on G1.B+"; });
    REQUIRE(shorted != open->wrong.end());
    // 12.5 V behind 5 mohm: 2500 A.
    CHECK(shorted->consequence.starts_with("G2 is short-circuited, up to 2500 A"));
}

TEST_CASE("a wrong start that cannot be completed is told as self-revealing") {
    const model::Harness harness = kit(testing::battery + unit_with("M8", "M10") + two_cables);
    const auto all = check::judge_landings(harness);
    const auto* one = landing(all, "G1");
    REQUIRE(one != nullptr);
    REQUIRE(one->wrong.size() == 1);
    CHECK_FALSE(one->wrong.front().completes);
    CHECK(one->wrong.front().sentence == "W2 on G1.B+");
}

TEST_CASE("a landing of the file puts devices together") {
    const std::string two_links =
        "<fuse-link id=\"F1\" zone=\"shop\" rating=\"80 A\"/><fuse-link id=\"F2\" zone=\"shop\" rating=\"60 "
        "A\"/>"
        "<consumer id=\"E1\" zone=\"shop\" draw=\"5 A\"/><consumer id=\"E2\" zone=\"shop\" draw=\"5 A\"/>\n" +
        cable("W1", "6 mm2", "G2.+", "F1.a", "0.1 m") + cable("W2", "6 mm2", "G2.+", "F2.a", "0.1 m") +
        cable("W3", "6 mm2", "F1.b", "E1.+", "1 m") + cable("W4", "6 mm2", "F2.b", "E2.+", "1 m") +
        cable("W5", "6 mm2", "E1.-", "G2.-", "1 m") + cable("W6", "6 mm2", "E2.-", "G2.-", "1 m");
    const auto apart = check::judge_landings(kit(testing::battery + two_links));
    CHECK(landing(apart, "F1")->keyed);
    CHECK(landing(apart, "F2")->keyed);
    const auto together = check::judge_landings(
        kit(testing::battery + two_links + "<landing id=\"board\" terminals=\"F1.a F1.b F2.a F2.b\"/>\n"));
    REQUIRE(landing(together, "board") != nullptr);
    CHECK_FALSE(landing(together, "board")->keyed);
}
