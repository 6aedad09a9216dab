// What a second battery changes: a link behind an open isolator is not asked for the starter's current, one
// missing link is one finding, and links with a battery between them have no near and far.
#include "kit.h"

#include <algorithm>

using namespace stoutloom;
using testing::cable;
using testing::kit;

namespace {

/// The start battery G2 turns the starter; the house battery G3 joins it by way of F1 and the isolator.
std::string two_batteries(const std::string& closes) {
    return testing::battery +
           "<battery id=\"G3\" zone=\"shop\" capacity=\"100 Ah\" emf=\"12.5 V\" resistance=\"5 mohm\"/>\n"
           "<starter id=\"M1\" zone=\"shop\" draw=\"300 A\" return=\"wire\"/>\n"
           "<fuse-link id=\"F1\" zone=\"shop\" type=\"stud-cube\" rating=\"40 A\"/>\n"
           "<switch id=\"Q1\" zone=\"shop\" rating=\"200 A\" closes=\"" +
           closes + "\"/>\n" + cable("W1", "70 mm2", "G2.+", "M1.30", "1 m") +
           cable("W2", "70 mm2", "M1.31", "G2.-", "1 m") + cable("W3", "35 mm2", "G3.+", "F1.a", "0.1 m") +
           cable("W4", "35 mm2", "F1.b", "Q1.a", "1 m") + cable("W5", "35 mm2", "Q1.b", "G2.+", "0.1 m") +
           cable("W6", "70 mm2", "G3.-", "G2.-", "0.5 m");
}

std::size_t told(const model::Harness& harness, std::string_view slug, const std::string& subject) {
    const check::Facts facts = check::gather(harness);
    const check::CheckRecord record = check::judge_all(facts);
    const auto found = testing::findings(record, slug);
    return static_cast<std::size_t>(
        std::count_if(found.begin(), found.end(), [&](const check::Judgement* one) {
            return std::find(one->subjects.begin(), one->subjects.end(), subject) != one->subjects.end();
        }));
}

} // namespace

TEST_CASE("a link behind an isolator that stands open while cranking is not blamed for the starter") {
    // Closed, half of 300 A goes through 40 A for ten seconds; open, nothing does.
    CHECK(told(kit(two_batteries("always")), "fuse-inrush", "F1") == 1);
    CHECK(told(kit(two_batteries("engine-on")), "fuse-inrush", "F1") == 0);
}

TEST_CASE("one missing link at a battery is one finding though two cables lie bare behind it") {
    const std::string bare = testing::battery +
                             "<consumer id=\"E1\" zone=\"shop\" draw=\"10 A\"/>\n"
                             "<post id=\"X1\" zone=\"shop\"/>\n" +
                             cable("W1", "16 mm2", "G2.+", "X1", "2 m") +
                             cable("W2", "16 mm2", "X1", "E1.+", "2 m") +
                             cable("W3", "16 mm2", "E1.-", "G2.-", "2 m");
    const model::Harness harness = kit(bare);
    const check::Facts facts = check::gather(harness);
    const check::CheckRecord record = check::judge_all(facts);
    const auto found = testing::findings(record, "cable-unprotected");
    REQUIRE(found.size() == 1);
    CHECK(found.front()->subjects.front() == "W1");
}

TEST_CASE("two links with a battery between them are not asked which opens first") {
    const auto kit_with = [](const std::string& middle) {
        return kit(testing::battery + testing::unit + middle +
                   "<fuse-link id=\"F1\" zone=\"shop\" type=\"stud-cube\" rating=\"100 A\"/>\n"
                   "<fuse-link id=\"F2\" zone=\"shop\" type=\"stud-cube\" rating=\"100 A\"/>\n"
                   "<consumer id=\"E1\" zone=\"shop\" draw=\"10 A\"/>\n" +
                   cable("W4", "35 mm2", "F2.b", "E1.+", "1 m") +
                   cable("W5", "35 mm2", "E1.-", "G2.-", "1 m"));
    };
    const auto asked = [](const model::Harness& harness) {
        const check::Facts facts = check::gather(harness);
        const check::CheckRecord record = check::judge_all(facts);
        return std::count_if(
            record.judgements.begin(), record.judgements.end(), [](const check::Judgement& one) {
                return one.rule->slug == "fuse-selectivity" &&
                       std::find(one.subjects.begin(), one.subjects.end(), "F2") != one.subjects.end();
            });
    };
    const std::string in_series =
        cable("W1", "35 mm2", "G2.+", "F1.a", "0.1 m") + cable("W2", "35 mm2", "F1.b", "F2.a", "1 m");
    CHECK(asked(kit_with(in_series)) > 0);
    const std::string between =
        cable("W0", "35 mm2", "G1.B+", "F1.a", "1 m") + cable("W1", "35 mm2", "F1.b", "G2.+", "0.1 m") +
        cable("W2", "35 mm2", "G2.+", "F2.a", "0.1 m") + cable("W3", "35 mm2", "G1.B-", "G2.-", "1 m");
    CHECK(asked(kit_with(between)) == 0);
}
