// What the file accepts, and what becomes of it when sizes are chosen.
#include "check/check.h"
#include "read/read.h"
#include "size/size.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace stoutloom;

namespace {

/// A consumer of 40 A at the end of 4 m: 40 A * 4 m * 0.02 ohm mm2/m (warm copper) / section loses 1.3 V on
/// 2.5 mm2, 0.32 V on 10 mm2 and 0.2 V on 16 mm2, of the 0.36 V that a critical one is given for feed,
/// return, joints and all at worst. 2.5 mm2 is also too hot (ISO 10133 Annex A, from memory: 35 A in class
/// 105 degC).
model::Harness kit(const std::string& accepted, const std::string& stock) {
    auto got = read::read_text("kit.xml", fmt::format(R"(<harness xmlns="urn:stoutloom:harness:1" title="Kit">
<zone id="z" ambient="30 degC"/>
<battery id="G2" capacity="90 Ah" cold-cranking="700 A"/>
<fuse-link id="F1" rating="60 A" breaking-capacity="6 kA"/>
<consumer id="E1" draw="40 A" critical="yes"><terminal id="+" stud="M6"/><terminal id="-" stud="M6"/></consumer>
<cable id="W1" section="16 mm2" length="0.1 m"> <from at="G2.+"/> <to at="F1.a"/> </cable>
<cable id="W2" section="auto" length="4 m"> <from at="F1.b"/> <to at="E1.+"/> </cable>
<cable id="W3" section="50 mm2" length="0.5 m"> <from at="E1.-"/> <to at="G2.-"/> </cable>
{}<stock>{}</stock></harness>)",
                                                      accepted, stock));
    REQUIRE_MESSAGE(got, (got ? "" : got.error().mistakes.front().message));
    return got->harness;
}

const std::string accept_drop = R"(<accept rule="consumer-drop" subject="E1" reason="seen to work"/>)";

} // namespace

TEST_CASE("an acceptance that only the small size needs is no reason against the larger one") {
    const std::string both = R"(<conductor section="2.5 mm2"/><conductor section="16 mm2"/>)";
    const auto plain = size::size_kit(kit("", both));
    REQUIRE(plain);
    CHECK(plain->chosen.front().text == "16 mm2");
    CHECK(plain->unneeded.empty());
    const auto sizing = size::size_kit(kit(accept_drop, both));
    REQUIRE(sizing);
    CHECK(sizing->proven);
    CHECK(sizing->chosen.front().text == "16 mm2");
    // It is told, and the check of the chosen kit asks for it to be taken out; nothing else is new.
    CHECK(sizing->unneeded == std::vector<std::string>{"consumer-drop about E1"});
    CHECK(sizing->standing.size() == plain->standing.size());
    const auto warned = [](const model::Harness& harness) {
        std::vector<std::string> rules;
        for (const check::Judgement& one : check::judge_all(check::gather(harness)).judgements)
            if (one.verdict == check::Verdict::fails && one.severity != check::Severity::note)
                rules.emplace_back(one.rule->slug);
        return rules;
    };
    std::vector<std::string> expected = warned(plain->harness);
    expected.emplace_back("acceptance-used");
    std::vector<std::string> got = warned(sizing->harness);
    std::sort(expected.begin(), expected.end());
    std::sort(got.begin(), got.end());
    CHECK(got == expected);
}

TEST_CASE("an acceptance that the chosen size needs is used and told of as needed") {
    // 10 mm2 stands 40 A; its drop (0.5 V) is over the limit and accepted.
    const std::string three = R"(<conductor section="2.5 mm2"/><conductor section="10 mm2"/>
<conductor section="16 mm2"/>)";
    const auto sizing = size::size_kit(kit(accept_drop, three));
    REQUIRE(sizing);
    CHECK(sizing->chosen.front().text == "10 mm2");
    CHECK(sizing->unneeded.empty());
    const auto plain = size::size_kit(kit("", three));
    REQUIRE(plain);
    CHECK(plain->chosen.front().text == "16 mm2");
}
