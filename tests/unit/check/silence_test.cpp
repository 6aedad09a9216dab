// One cause, one finding: what yields to what; and the answer at the worst of ageing beside the one as built.
#include "kit.h"

#include <algorithm>

using namespace stoutloom;
using testing::cable;
using testing::kit;

namespace {

struct Checked {
    model::Harness harness;
    check::Facts facts;
    check::CheckRecord record;
};

std::unique_ptr<Checked> checked(const std::string& body) {
    auto all = std::make_unique<Checked>();
    all->harness = kit(body);
    all->facts = check::gather(all->harness);
    all->record = check::judge_all(all->facts);
    return all;
}

const check::Judgement* fail_of(const Checked& all, std::string_view slug, const std::string& subject) {
    for (const check::Judgement& judgement : all.record.judgements)
        if (judgement.rule->slug == slug && judgement.subjects.front() == subject &&
            judgement.verdict == check::Verdict::fails)
            return &judgement;
    return nullptr;
}

std::string unit_on(const std::string& section, const std::string& more = {}) {
    return testing::battery + testing::unit +
           "<duty id=\"flat\" engine=\"rated\" charge=\"20 %\"/>\n"
           "<fuse-link id=\"F1\" zone=\"shop\" type=\"stud-cube\" rating=\"125 A\"/>\n" +
           cable("W1", section, "G1.B+", "F1.b", "1 m") + cable("W2", "70 mm2", "F1.a", "G2.+", "0.1 m") +
           cable("W3", "70 mm2", "G2.-", "G1.B-", "1 m") + more;
}

} // namespace

TEST_CASE("a cable too thin for its load is one error though three rules fail it") {
    const auto all = checked(unit_on("6 mm2"));
    REQUIRE(fail_of(*all, "cable-ampacity", "W1") != nullptr);
    CHECK(fail_of(*all, "cable-ampacity", "W1")->told_by.empty());
    for (const char* slug : {"fuse-over-ampacity", "cable-unprotected"}) {
        REQUIRE_MESSAGE(fail_of(*all, slug, "W1") != nullptr, slug);
        CHECK(fail_of(*all, slug, "W1")->told_by == "cable-ampacity");
    }
    const auto found = all->record.findings();
    CHECK(std::count_if(found.begin(), found.end(), [](const check::Judgement* finding) {
              return finding->severity == check::Severity::error && finding->subjects.front() == "W1";
          }) == 1);
}

TEST_CASE("a short piece that ends on a link too large names that link and not the far one") {
    const auto told = [](const std::string& rating) {
        return checked(unit_on("70 mm2", "<fuse-link id=\"F2\" zone=\"shop\" type=\"stud-cube\" rating=\"" +
                                             rating +
                                             "\"/>\n<consumer id=\"E1\" zone=\"shop\" draw=\"10 A\"/>\n" +
                                             cable("W4", "6 mm2", "G2.+", "F2.a", "0.1 m") +
                                             cable("W5", "35 mm2", "F2.b", "E1.+", "1 m") +
                                             cable("W6", "35 mm2", "E1.-", "G2.-", "1 m")));
    };
    const auto large = told("100 A");
    const check::Judgement* fail = fail_of(*large, "fuse-over-ampacity", "W4");
    REQUIRE(fail != nullptr);
    CHECK(fail->subjects == std::vector<std::string>{"W4", "F2"});
    CHECK(fail_of(*told("30 A"), "fuse-over-ampacity", "W4") == nullptr);
}

TEST_CASE("accepting the finding that tells brings back what it told") {
    const auto all = checked(
        unit_on("6 mm2", "<accept rule=\"cable-ampacity\" subject=\"W1\" reason=\"short runs only\"/>\n"));
    REQUIRE(fail_of(*all, "cable-unprotected", "W1") != nullptr);
    CHECK(fail_of(*all, "cable-unprotected", "W1")->told_by.empty());
    // The link yields to the missing one at the unit's end, which now speaks.
    CHECK(fail_of(*all, "fuse-over-ampacity", "W1")->told_by == "cable-unprotected");
    CHECK_FALSE(all->record.clean());
}

// The starter cable's note (unfused, the usual exception) shares the battery with everything; no graver
// answer may hide behind it.
TEST_CASE("a graver answer does not hide behind a softer one") {
    const std::string body =
        "<battery id=\"G2\" zone=\"shop\" capacity=\"100 Ah\" emf=\"12.5 V\" resistance=\"20 mohm\"/>\n" +
        testing::unit +
        "<starter id=\"M1\" zone=\"shop\" draw=\"100 A\" return=\"wire\"/>\n"
        "<fuse-link id=\"F1\" zone=\"shop\" type=\"stud-cube\" rating=\"300 A\"/>\n" +
        cable("W1", "120 mm2", "G1.B+", "F1.b", "1 m") + cable("W2", "120 mm2", "F1.a", "G2.+", "0.1 m") +
        cable("W3", "120 mm2", "G2.-", "G1.B-", "1 m") +
        cable("W4", "50 mm2", "G2.+", "M1.30", "1 m", "sheathed=\"yes\" guarded=\"yes\"") +
        cable("W5", "50 mm2", "M1.31", "G2.-", "1 m");
    const auto all = checked(body);
    REQUIRE(fail_of(*all, "cable-unprotected", "W4") != nullptr);
    CHECK(fail_of(*all, "cable-unprotected", "W4")->severity == check::Severity::note);
    REQUIRE(fail_of(*all, "reversed-battery", "G1") != nullptr);
    CHECK(fail_of(*all, "reversed-battery", "G1")->told_by.empty());
}

TEST_CASE("the answer at worst is kept beside the figure as built") {
    const auto all = checked(unit_on("70 mm2"));
    REQUIRE(all->facts.at_worst != nullptr);
    check::Facts as_built = all->facts;
    as_built.at_worst.reset();
    as_built.at_least_charge.reset();
    std::size_t worse = 0;
    for (const check::Judgement& judgement : all->record.judgements) {
        if (!judgement.at_worst || !judgement.nominal || judgement.rule->slug != "charging-drop")
            continue;
        ++worse;
        CHECK(judgement.computed > *judgement.nominal);
        const auto plain = check::judge_one(*judgement.rule, as_built);
        CHECK(std::any_of(plain.begin(), plain.end(), [&](const check::Judgement& one) {
            return one.computed == *judgement.nominal && !one.at_worst;
        }));
        CHECK(judgement.message.find("(at worst; ") != std::string::npos);
    }
    CHECK(worse >= 2); // feed and return
}
