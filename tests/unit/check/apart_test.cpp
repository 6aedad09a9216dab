// Two systems in one file that no conductor joins: told as such, and never as a contact that is open.
#include "check/check.h"
#include "read/read.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace stoutloom;

namespace {

/// What supply-collapse says of the cooler, which is wired to its own battery; `joined`: the negatives are.
std::string told(bool joined) {
    const auto got =
        read::read_text("kit.xml", fmt::format(R"(<harness xmlns="urn:stoutloom:harness:1" title="Kit">
<zone id="z" ambient="20 degC"/>
<battery id="G3" capacity="90 Ah"/><battery id="G4" capacity="90 Ah"/>
<fuse-link id="F1" type="C" rating="20 A"/><fuse-link id="F2" type="C" rating="20 A"/>
<consumer id="E1" draw="10 A"/><consumer id="E2" draw="10 A"/>
<cable id="W1" section="4 mm2" length="0.1 m"> <from at="G3.+"/> <to at="F1.a"/> </cable>
<cable id="W2" section="4 mm2" length="1 m"> <from at="F1.b"/> <to at="E1.+"/> </cable>
<cable id="W3" section="4 mm2" length="1 m"> <from at="E1.-"/> <to at="G3.-"/> </cable>
<cable id="W4" section="4 mm2" length="0.1 m"> <from at="G4.+"/> <to at="F2.a"/> </cable>
<cable id="W5" section="4 mm2" length="1 m"> <from at="F2.b"/> <to at="E2.+"/> </cable>
<cable id="W6" section="4 mm2" length="1 m"> <from at="E2.-"/> <to at="G4.-"/> </cable>
{}</harness>)",
                                               joined ? R"(<cable id="W7" section="16 mm2" length="1 m">
<from at="G3.-"/> <to at="G4.-"/> </cable>)"
                                                      : ""));
    REQUIRE(got);
    std::string messages;
    for (const check::Judgement& one : check::judge_all(check::gather(got->harness)).judgements)
        if (one.rule->slug == "supply-collapse" && one.verdict != check::Verdict::passes)
            messages += one.message + "; " + one.cure + "\n";
    return messages;
}

} // namespace

TEST_CASE(
    "a consumer of a system that nothing joins to the rest is told so and is good once they are joined") {
    const std::string apart = told(false);
    CAPTURE(apart);
    CHECK(apart.find("is fed by a system that no conductor joins to the rest of the kit") !=
          std::string::npos);
    CHECK(apart.find("a cable between the negatives of both systems") != std::string::npos);
    CHECK(apart.find("a contact on its way is open") == std::string::npos);
    CHECK(told(true) == "");
}
