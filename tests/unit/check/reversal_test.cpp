// A battery the wrong way round in a kit with a second one: what goes on when the unit's own link has opened.
#include "kit.h"

using namespace stoutloom;
using testing::cable;
using testing::kit;

namespace {

const std::string two_batteries =
    "<battery id=\"G2\" zone=\"shop\" capacity=\"100 Ah\" cold-cranking=\"760 A\"/>\n"
    "<battery id=\"G3\" zone=\"shop\" capacity=\"100 Ah\" cold-cranking=\"760 A\"/>\n"
    "<post id=\"X1\" zone=\"shop\"/>\n"
    "<generator id=\"G1\" zone=\"shop\" return=\"isolated\"><output speed=\"rated\" cold=\"90 A\"/>"
    "<terminal id=\"B+\" stud=\"M8\"/><terminal id=\"B-\" stud=\"M10\"/></generator>\n"
    "<fuse-link id=\"F2\" zone=\"shop\" type=\"stud-cube\" rating=\"125 A\"/>\n"
    "<duty id=\"drive\" engine=\"cruise\"/>\n" +
    cable("W1", "50 mm2", "G2.+", "X1", "0.5 m") + cable("W2", "50 mm2", "X1", "F2.a", "0.2 m") +
    cable("W3", "50 mm2", "F2.b", "G1.B+", "1 m") + cable("W4", "50 mm2", "G1.B-", "G2.-", "1 m") +
    cable("W5", "50 mm2", "G2.-", "G3.-", "0.5 m");

check::Judgement answer(const model::Harness& harness) {
    const auto answers = check::judge_one(*check::rule_by_slug("reversed-battery"),
                                          check::gather(harness, check::Depth::healthy));
    REQUIRE(answers.size() == 1);
    return answers.front();
}

} // namespace

// F2 saves the charging cable; between the two batteries go 25 V over some 8 mohm, and nothing on that way
// opens.
TEST_CASE("a reversed battery against a second one burns the cable between that has no link") {
    const auto told = answer(kit(two_batteries + cable("W6", "16 mm2", "G3.+", "X1", "0.5 m")));
    CHECK(told.verdict == check::Verdict::fails);
    CAPTURE(told.message);
    CHECK(told.message.find("W6 carries") != std::string::npos);
}

TEST_CASE("a link in the cable between two batteries saves it when one is reversed") {
    const auto told = answer(
        kit(two_batteries + "<fuse-link id=\"F3\" zone=\"shop\" type=\"stud-cube\" rating=\"100 A\"/>\n" +
            cable("W6", "16 mm2", "G3.+", "F3.a", "0.2 m") + cable("W7", "16 mm2", "F3.b", "X1", "0.3 m")));
    CHECK(told.verdict == check::Verdict::passes);
}

// The attribute says where leads are clamped, whatever the label. Donor and leads 3.4 + 4.4 mohm, then 4.6 m
// of 50 mm2 or 0.6 m (0.37 mohm/m): 9.5 mohm against 8.0 mohm, 1.18 times the current.
TEST_CASE("jump leads are reckoned at a post that is made for them") {
    const auto with = [](const std::string& jump) {
        return answer(kit(testing::battery + "<post id=\"X1\" label=\"Nose stud\" zone=\"shop\"" + jump +
                          "/>\n" + testing::unit + "<duty id=\"drive\" engine=\"cruise\"/>\n" +
                          cable("W1", "50 mm2", "G2.+", "X1", "4 m") +
                          cable("W3", "50 mm2", "X1", "G1.B+", "0.3 m") +
                          cable("W4", "50 mm2", "G1.B-", "G2.-", "0.3 m")));
    };
    const auto at_battery = with(""), at_post = with(" jump-start=\"yes\"");
    CHECK(at_battery.message.find("in reverse at G2") != std::string::npos);
    CHECK(at_post.message.find("in reverse at X1") != std::string::npos);
    CHECK(at_post.values.at("jump_greatest_a") > 1.15 * at_battery.values.at("jump_greatest_a"));
}
