// Studs and lugs marked auto: read as such with their places, refused where a size is given by something
// else.
#include "read/read.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

using namespace stoutloom;

namespace {

std::string kit(const std::string& terminal, const std::string& link, const std::string& end) {
    return R"(<harness xmlns="urn:stoutloom:harness:1" title="Kit"><zone id="z" ambient="40 degC"/>
<battery id="G2" capacity="70 Ah"><terminal id="+" )" +
           terminal + R"(/><terminal id="-" stud="M8"/></battery>
<fuse-link id="F1" rating="30 A">)" +
           link + R"(</fuse-link>
<cable id="W1" section="6 mm2" length="0.1 m"><from at="G2.+" )" +
           end + R"(/><to at="F1.a"/></cable></harness>)";
}
const std::string links = R"(<terminal id="a" stud="M8"/><terminal id="b" stud="M8"/>)";

std::string mistake(const std::string& text) {
    const auto got = read::read_text("kit.xml", text);
    return got || got.error().mistakes.empty() ? "" : got.error().mistakes.front().message;
}

} // namespace

TEST_CASE("auto stands for a stud and a lug and keeps its place in the file") {
    const std::string text = kit(R"(stud="auto")", links, R"(lug='auto')");
    const auto got = read::read_text("kit.xml", text);
    REQUIRE(got);
    const model::Harness& harness = got->harness;
    const model::Terminal& stud = harness.terminal(*model::find_terminal(harness, "G2.+"));
    CHECK(base::is_to_choose(stud.stud));
    CHECK(text.substr(stud.stud_span.begin, stud.stud_span.end - stud.stud_span.begin) == "auto");
    const model::CableEnd& end = harness.cables[0].from;
    CHECK(base::is_to_choose(end.lug));
    CHECK(end.lug_given);
    CHECK(text.substr(end.lug_span.begin, end.lug_span.end - end.lug_span.begin) == "auto");
    CHECK(!harness.cables[0].to.lug_given);
    CHECK(harness.cables[0].to.lug.name == "M8");
}

TEST_CASE("a lug without a size on a stud to be chosen is to be chosen as well") {
    const auto got = read::read_text("kit.xml", kit(R"(stud="auto")", links, ""));
    REQUIRE(got);
    CHECK(base::is_to_choose(got->harness.cables[0].from.lug));
    CHECK(!got->harness.cables[0].from.lug_given);
}

TEST_CASE("auto is refused where something else gives the size") {
    CHECK(mistake(kit(R"(stud="M8")", R"(<terminal id="a" stud="auto"/><terminal id="b" stud="M8"/>)", "")) ==
          "the studs of fuse-link \"F1\" come with its type");
    CHECK(mistake(kit(R"(stud="auto" torque="12 N*m")", links, "")) ==
          "G2.+ has a torque of its own, and that belongs to one size");
    CHECK(mistake(kit(R"(stud="auto")", links, "")).empty());
}
