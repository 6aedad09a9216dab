// The record of a check: acceptances, answers that another rule tells, order, silence turned into
// cannot-tell.
#include "kit.h"
#include "testing/testing.h"

#include <algorithm>

using namespace stoutloom;
using testing::cable;
using testing::kit;

namespace {

const std::string lamp =
    testing::battery +
    "<consumer id=\"E1\" zone=\"shop\" draw=\"5 A\"/>\n<duty id=\"drive\" engine=\"cruise\"/>\n";
const std::string red_ground = lamp + cable("W1", "2.5 mm2", "G2.+", "E1.+", "0.1 m") +
                               cable("W2", "2.5 mm2", "E1.-", "G2.-", "1 m", "colour=\"RD\"");

check::CheckRecord checked(const model::Harness& harness, check::Facts& facts) {
    facts = check::gather(harness);
    return check::judge_all(facts);
}

} // namespace

TEST_CASE("an acceptance turns one exact finding into a note that is still there") {
    check::Facts facts;
    const model::Harness plain = kit(red_ground);
    const auto before = checked(plain, facts);
    REQUIRE(testing::findings(before, "polarity-colour").size() == 1);
    CHECK(testing::findings(before, "polarity-colour").front()->severity == check::Severity::warning);
    const model::Harness accepted =
        kit(red_ground + "<accept rule=\"polarity-colour\" subject=\"W2\" reason=\"sleeved\"/>\n");
    const auto after = checked(accepted, facts);
    REQUIRE(testing::findings(after, "polarity-colour").size() == 1);
    const check::Judgement& note = *testing::findings(after, "polarity-colour").front();
    CHECK(note.severity == check::Severity::note);
    CHECK(note.accepted);
    CHECK(note.accepted_reason == "sleeved");
    CHECK(note.verdict == check::Verdict::fails);
    CHECK(after.count(check::Severity::warning) + 1 == before.count(check::Severity::warning));
}

TEST_CASE("what could not be computed cannot be accepted") {
    check::Facts facts;
    const model::Harness harness =
        kit(lamp + cable("W1", "400 mm2", "G2.+", "E1.+", "0.1 m") +
            cable("W2", "2.5 mm2", "E1.-", "G2.-", "1 m") +
            "<accept rule=\"duty-solved\" subject=\"drive\" reason=\"never mind\"/>\n");
    const auto record = checked(harness, facts);
    CHECK_FALSE(record.clean());
    REQUIRE(testing::findings(record, "duty-solved").size() == 1);
    CHECK(testing::findings(record, "duty-solved").front()->severity == check::Severity::error);
    CHECK(testing::findings(record, "acceptance-used").size() == 1);
}

TEST_CASE("an answer kept quiet for another rule speaks once that finding is accepted away") {
    const std::string thin = testing::battery + testing::unit +
                             "<duty id=\"flat\" engine=\"rated\" charge=\"20 %\"/>\n"
                             "<fuse-link id=\"F1\" zone=\"shop\" rating=\"100 A\"/>\n" +
                             cable("W1", "6 mm2", "G1.B+", "F1.b", "1 m") +
                             cable("W2", "35 mm2", "F1.a", "G2.+", "0.1 m") +
                             cable("W3", "35 mm2", "G2.-", "G1.B-", "1 m");
    check::Facts facts;
    const model::Harness plain = kit(thin);
    const auto before = checked(plain, facts);
    REQUIRE(testing::findings(before, "cable-ampacity").size() == 1);
    CHECK(testing::findings(before, "cable-unprotected").empty());
    const model::Harness waved =
        kit(thin + "<accept rule=\"cable-ampacity\" subject=\"W1\" reason=\"short runs only\"/>\n");
    const auto after = checked(waved, facts);
    REQUIRE(testing::findings(after, "cable-unprotected").size() == 1);
    CHECK(testing::findings(after, "cable-unprotected").front()->severity == check::Severity::error);
}

TEST_CASE("findings stand errors first and then in file order") {
    check::Facts facts;
    const model::Harness harness = kit(red_ground +
                                       "<mass id=\"U1\" zone=\"shop\"/>\n<consumer id=\"E2\" zone=\"shop\" "
                                       "draw=\"1 A\" return=\"case\" mass=\"U1\"/>\n" +
                                       cable("W3", "2.5 mm2", "G2.+", "E2.+", "0.1 m"));
    const auto record = checked(harness, facts);
    const auto found = record.findings();
    REQUIRE(found.size() >= 2);
    CHECK(found.front()->severity == check::Severity::error);
    for (std::size_t i = 1; i < found.size(); ++i) {
        CHECK(found[i - 1]->severity >= found[i]->severity);
        if (found[i - 1]->severity == found[i]->severity)
            CHECK(found[i - 1]->span.begin <= found[i]->span.begin);
    }
}

TEST_CASE("a subject that a rule leaves out is answered with cannot tell") {
    const model::Harness harness = kit(red_ground);
    const auto facts = check::gather(harness);
    const check::Rule mute{.slug = "mute",
                           .usual = check::Severity::warning,
                           .asks = {},
                           .source = {},
                           .cure = {},
                           .explanation = {},
                           .subjects =
                               [](const check::Facts&) {
                                   return std::vector<std::string>{"W1", "W2"};
                               },
                           .judge =
                               [](const check::Facts&, check::Judgements& judgements) {
                                   check::Judgement one;
                                   one.subjects = {"W2"};
                                   judgements.passes(one);
                               }};
    const auto answers = check::judge_one(mute, facts);
    REQUIRE(answers.size() == 2);
    CHECK(answers[1].subjects.front() == "W1");
    CHECK(answers[1].verdict == check::Verdict::cannot_tell);
    CHECK(answers[1].severity == check::Severity::error);
}

TEST_CASE("a unit that charges through the starter stud has no fuse-link before it") {
    check::Facts facts;
    const model::Harness harness =
        kit(testing::battery + testing::unit +
            "<mass id=\"U1\" zone=\"shop\"><terminal id=\"a\" stud=\"M10\"/></mass>\n"
            "<starter id=\"M1\" zone=\"shop\" draw=\"200 A\" mass=\"U1\"><terminal id=\"30\" "
            "stud=\"M10\"/></starter>\n" +
            cable("W1", "50 mm2", "G2.+", "M1.30", "1 m", "sheathed=\"yes\" guarded=\"yes\"") +
            cable("W2", "35 mm2", "M1.30", "G1.B+", "1 m") + cable("W3", "50 mm2", "G2.-", "U1.a", "1 m") +
            cable("W4", "50 mm2", "G1.B-", "U1.a", "1 m"));
    const auto record = checked(harness, facts);
    std::vector<std::string> errors, notes;
    for (const check::Judgement* finding : testing::findings(record, "cable-unprotected"))
        (finding->severity == check::Severity::error ? errors : notes).push_back(finding->subjects.front());
    CHECK(errors == std::vector<std::string>{"W2"});
    CHECK(notes == std::vector<std::string>{"W1"});
}
