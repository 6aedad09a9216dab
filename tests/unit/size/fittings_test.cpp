// Studs and lugs marked auto: what is offered, what is refused, and choices that only go together.
#include "check/check.h"
#include "read/read.h"
#include "size/size.h"
#include "testing/testing.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <optional>

using namespace stoutloom;

namespace {

struct Kit {
    std::string plus = "M8", minus = "M10", post = "M8", back = "50 mm2", back_end = "", more = "";
    std::string text() const {
        return fmt::format(
            R"(<harness xmlns="urn:stoutloom:harness:1" title="Kit">
<zone id="z" ambient="40 degC"/>
<battery id="G2" capacity="90 Ah" cold-cranking="700 A"/>
<generator id="G1" return="isolated"><output speed="idle" cold="40 A"/><output speed="rated" cold="90 A"/>
<terminal id="B+" stud="{}" booted="yes"/><terminal id="B-" stud="{}"/></generator>
<fuse-link id="F1" rating="125 A" breaking-capacity="6 kA"/>
<post id="X1" stud="{}"/>
<limit name="charging-return-drop" value="0.4 V"/><limit name="charging-loop-drop" value="0.6 V"/>
<cable id="W1" section="50 mm2" length="1 m"> <from at="G1.B+"/> <to at="F1.b"/> </cable>
<cable id="W2" section="50 mm2" length="0.1 m"> <from at="F1.a"/> <to at="G2.+"/> </cable>
<cable id="W3" section="{}" length="1 m"> <from at="G2.-"/> <to at="X1"/> </cable>
<cable id="W4" section="{}" length="0.2 m"> <from at="X1"/> <to at="G1.B-"{}/> </cable>
{}
</harness>)",
            plus, minus, post, back, back, back_end, more);
    }
};

model::Harness read_kit(const Kit& kit) {
    auto got = read::read_text("kit.xml", kit.text());
    REQUIRE(got);
    return got->harness;
}

const size::Chosen& chosen(const size::Sizing& sizing, const std::string& id) {
    const auto found = std::find_if(sizing.chosen.begin(), sizing.chosen.end(),
                                    [&](const size::Chosen& one) { return one.id == id; });
    REQUIRE(found != sizing.chosen.end());
    return *found;
}

} // namespace

TEST_CASE("a unit with two studs to order is given two sizes that cannot be mistaken") {
    const auto sizing = size::size_kit(read_kit({.plus = "auto", .minus = "auto"}));
    REQUIRE(sizing);
    CHECK(sizing->proven);
    const std::string plus = chosen(*sizing, "G1.B+").text, minus = chosen(*sizing, "G1.B-").text;
    CHECK(plus != minus);
    // The lugs go along, and the landing is keyed.
    CHECK(sizing->harness.cables[0].from.lug.name == plus);
    CHECK(sizing->harness.cables[3].to.lug.name == minus);
    for (const check::LandingVerdict& landing : check::judge_landings(sizing->harness))
        CHECK(landing.keyed);
}

TEST_CASE("a stud follows the section that only a larger one has a lug for") {
    // 50 mm2 has no lug for M6 (DIN 46235: M8 and up), 35 mm2 has.
    const auto thin = size::size_kit(read_kit({.post = "auto", .back = "35 mm2"}));
    REQUIRE(thin);
    CHECK(chosen(*thin, "X1").text == "M6");
    const auto thick = size::size_kit(read_kit({.post = "auto"}));
    REQUIRE(thick);
    CHECK(chosen(*thick, "X1").text == "M8");
    CHECK(chosen(*thick, "X1").left_out.front() == "M5: no M5 lug for W3 in stock");
}

TEST_CASE("a section is taken with the stud that lets it be: the stock has its lug for no other") {
    const std::string stock = R"(<stock><conductor section="25 mm2"/><conductor section="50 mm2"/>
<lug section="50 mm2" stud="M8"/><lug section="50 mm2" stud="M10"/><lug section="25 mm2" stud="M8"/>
<lug section="25 mm2" stud="M10"/><lug section="25 mm2" stud="M6"/></stock>)";
    const std::string drop = R"(<limit from="G2.-" to="G1.B-" drop="0.12 V"/>)";
    const auto sizing = size::size_kit(read_kit({.post = "auto", .back = "auto", .more = stock + drop}));
    REQUIRE(sizing);
    CHECK(chosen(*sizing, "W3").text == "50 mm2");
    CHECK(chosen(*sizing, "X1").text == "M8"); // not the M6 that 25 mm2 alone would have
    // Without the M8 lug for 50 mm2 the stud has to grow again.
    std::string less = stock;
    less.erase(less.find(R"(<lug section="50 mm2" stud="M8"/>)"), 33);
    const auto larger = size::size_kit(read_kit({.post = "auto", .back = "auto", .more = less + drop}));
    REQUIRE(larger);
    CHECK(chosen(*larger, "W3").text == "50 mm2");
    CHECK(chosen(*larger, "X1").text == "M10");
}

TEST_CASE("a lug left to the stock is the one for its stud or for its pair in the other system") {
    const std::string stock = R"(<stock><lug section="50 mm2" stud="3/8 in" price="2"/></stock>)";
    const auto sizing = size::size_kit(read_kit({.back_end = R"( lug="auto")", .more = stock}));
    REQUIRE(sizing);
    CHECK(chosen(*sizing, "W4 at G1.B-").text == "3/8 in");
    const auto none = size::size_kit(read_kit(
        {.back_end = R"( lug="auto")", .more = R"(<stock><lug section="50 mm2" stud="M6"/></stock>)"}));
    REQUIRE(!none);
    CHECK(none.error().message == "W4 at G1.B-: no lug in stock goes on M10");
}

TEST_CASE("a lug that has a size keeps it and its stud is made to fit") {
    const auto sizing = size::size_kit(read_kit({.minus = "auto", .back_end = R"( lug="M12")"}));
    REQUIRE(sizing);
    CHECK(chosen(*sizing, "G1.B-").text == "M12");
    CHECK(chosen(*sizing, "G1.B-").left_out.size() == 4);
}

TEST_CASE("a stud with nothing on it is not chosen") {
    const auto none = size::size_kit(read_kit({.more = R"(<post id="X9" stud="auto"/>)"}));
    REQUIRE(!none);
    CHECK(none.error().message == "X9: nothing is bolted to it, so nothing decides the size of its stud");
}

TEST_CASE("a kit with a size left open is never fit") {
    for (const Kit& kit : {Kit{.minus = "auto"}, Kit{.back_end = R"( lug="auto")"}}) {
        const model::Harness harness = read_kit(kit);
        const check::CheckRecord record = check::judge_all(check::gather(harness));
        CHECK(!record.clean());
        for (const std::string rule : {"lug-fit", "keyed-landing"})
            CHECK(std::any_of(record.judgements.begin(), record.judgements.end(), [&](const auto& one) {
                return one.rule->slug == rule && one.verdict == check::Verdict::cannot_tell &&
                       one.severity == check::Severity::error;
            }));
    }
}

namespace {

const std::vector<std::string> many_sections = {"4",  "6",  "10", "16",  "25", "35",
                                                "50", "70", "95", "120", "150"};
const std::vector<std::string> many_studs = {"M5", "M6", "M8", "M10", "M12", "3/8 in"};

/// Prices without any order in them, in hundredths.
int section_cents(std::size_t x) {
    return static_cast<int>(100 + 37 * x + 90 * ((x * 5) % 4));
}
int lug_cents(std::size_t x, std::size_t s) {
    return static_cast<int>(50 + (x * 71 + s * s * 113 + x * s * 29) % 400);
}

/// W4 from a post X1 to M10, both its section and the post's stud left to choose: 66 lugs at the post.
std::string many_lugs(const std::string& section, const std::string& stud) {
    std::string stock = "<stock>";
    for (std::size_t x = 0; x < many_sections.size(); ++x) {
        stock += fmt::format(R"(<conductor section="{} mm2" price="{:.2f}"/>)", many_sections[x],
                             section_cents(x) / 100.0);
        for (std::size_t s = 0; s < many_studs.size(); ++s)
            stock += fmt::format(R"(<lug section="{} mm2" stud="{}" price="{:.2f}"/>)", many_sections[x],
                                 many_studs[s], lug_cents(x, s) / 100.0);
    }
    std::string text = Kit{.post = stud, .back = section, .more = stock + "</stock>"}.text();
    const std::string w3 = fmt::format(R"(id="W3" section="{}")", section);
    return text.replace(text.find(w3), w3.size(), R"(id="W3" section="50 mm2")");
}

} // namespace

TEST_CASE("an end that may get more lugs than one variable of the search holds is priced all the same") {
    const auto got = read::read_text("kit.xml", many_lugs("auto", "auto"));
    REQUIRE(got);
    const auto sizing = size::size_kit(got->harness);
    REQUIRE(sizing);
    CHECK(sizing->by_price);
    CHECK(sizing->lugs_priced);
    CHECK(sizing->lugs_unpriced.empty());
    CHECK(sizing->proven);
    // Against each of the 66 by the list and the check: 0.2 m of W4, a lug at each of its ends and one of W3.
    std::optional<int> least;
    int fit = 0;
    const std::size_t of_50 = 6, m10 = 3;
    for (std::size_t x = 0; x < many_sections.size(); ++x)
        for (std::size_t s = 0; s < many_studs.size(); ++s) {
            const auto one = read::read_text("kit.xml", many_lugs(many_sections[x] + " mm2", many_studs[s]));
            REQUIRE(one);
            const auto record = check::judge_all(check::gather(one->harness, check::Depth::healthy));
            if (std::any_of(record.judgements.begin(), record.judgements.end(), [&](const auto& judgement) {
                    return judgement.verdict != check::Verdict::passes &&
                           judgement.severity != check::Severity::note &&
                           std::none_of(sizing->standing.begin(), sizing->standing.end(),
                                        [&](const auto& standing) {
                                            return standing.rule == judgement.rule->slug &&
                                                   standing.subject == judgement.subjects.front();
                                        });
                }))
                continue;
            ++fit;
            const int cents = static_cast<int>(std::lround(section_cents(x) * 0.2)) + lug_cents(x, s) +
                              lug_cents(x, m10) + lug_cents(of_50, s);
            least = std::min(least.value_or(cents), cents);
        }
    CHECK(fit > 10);
    REQUIRE(least);
    CHECK(sizing->price == doctest::Approx(*least / 100.0).epsilon(1e-9));
}

TEST_CASE("a stock with more sizes of one kind than are weighed is refused and not cut short") {
    std::string stock = "<stock>";
    for (int section = 1; section <= 90; ++section)
        stock += fmt::format(R"(<conductor section="{} mm2"/>)", section);
    const auto none = size::size_kit(read_kit({.back = "auto", .more = stock + "</stock>"}));
    REQUIRE(!none);
    CHECK(none.error().message.find("60 at most are weighed; list fewer of this kind") != std::string::npos);
}
