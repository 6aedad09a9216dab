// Drop limits that would have to be loosened when the stock cannot make a kit good.
#include "property/size_relax_kits.h"

#include <doctest/doctest.h>

using namespace stoutloom;
using namespace stoutloom::testing;

namespace {

/// The words about a looser limit that the program tells; empty: none.
std::string looser(const size::NoKit& none) {
    std::string told;
    for (const size::Relaxation& one : none.relaxations)
        if (one.what.starts_with("drop limit "))
            told += one.what + "\n";
    return told;
}

/// Of the steps that are tried the first under which some choice is fit: "0.13"; empty: none.
std::string least_limit(double from_v, const std::function<bool(const std::string&)>& fits) {
    for (const double factor : {1.1, 1.2, 1.3, 1.5, 1.75, 2.0}) {
        const std::string volts = fmt::format("{:.2f}", std::ceil(from_v * factor * 100 - 1e-6) / 100);
        if (fits(volts))
            return volts;
    }
    return {};
}

} // namespace

TEST_CASE("the file's own drop limit is loosened by the least step that frees the kit and at most doubled") {
    int freed = 0, beyond = 0;
    for (const double length_m : {3.0, 4.0, 5.0, 8.0}) {
        Kit kit = {.runs = {{.length_m = length_m}}, .stock = {"6 mm2", "10 mm2"}};
        const auto with = [&](const std::string& volts) {
            Kit made = kit;
            made.limit = fmt::format(R"(<limit from="F1.b" to="E1.+" drop="{} V"/>)", volts);
            return made;
        };
        const size::NoKit none = none_of(with("0.20"));
        CHECK(none.conflicts == std::vector<size::Conflict>{{"limit-drop F1.b to E1.+"}});
        const std::string volts = least_limit(
            0.2, [&](const std::string& tried) { return least(with(tried), {kit.stock}).has_value(); });
        ++(volts.empty() ? beyond : freed);
        CHECK(looser(none) == (volts.empty()
                                   ? std::string()
                                   : fmt::format("drop limit from F1.b to E1.+ {} V instead of 0.20 V; it is "
                                                 "the file's own, for you to decide\n",
                                                 volts)));
    }
    CHECK(freed > 1);
    CHECK(beyond > 0);
}

namespace {

/// A unit that charges a battery over a long feed; the return is thick. Limits by name as the file may set
/// them.
std::string charging_kit(const std::string& section, const std::string& limits) {
    return fmt::format(R"(<harness xmlns="urn:stoutloom:harness:1" title="Kit">
<zone id="z" ambient="40 degC"/>
<battery id="G2" capacity="100 Ah" cold-cranking="700 A"/>
<generator id="G1" return="isolated"><output speed="idle" cold="60 A"/><output speed="rated" cold="100 A"/>
<terminal id="B+" stud="M8" booted="yes"/><terminal id="B-" stud="M10"/></generator>
<fuse-link id="F1" rating="125 A" breaking-capacity="6 kA"/>
<cable id="W1" section="{}" length="4 m"> <from at="G1.B+"/> <to at="F1.b"/> </cable>
<cable id="W2" section="50 mm2" length="0.1 m"> <from at="F1.a"/> <to at="G2.+"/> </cable>
<cable id="W3" section="95 mm2" length="1 m"> <from at="G2.-"/> <to at="G1.B-"/> </cable>
{}<stock><conductor section="25 mm2"/><conductor section="35 mm2"/></stock></harness>)",
                       section, limits);
}

bool charging_fit(const std::string& limits) {
    const std::vector<std::string> stock = {"25 mm2", "35 mm2"};
    return std::any_of(stock.begin(), stock.end(), [&](const std::string& section) {
        const auto got = read::read_text("kit.xml", charging_kit(section, limits));
        REQUIRE(got);
        const auto record = check::judge_all(check::gather(got->harness, check::Depth::healthy));
        return std::none_of(
            record.judgements.begin(), record.judgements.end(), [](const check::Judgement& one) {
                return one.verdict != check::Verdict::passes && one.rule->slug == "charging-drop";
            });
    });
}

} // namespace

TEST_CASE("what charging may lose is loosened where only that frees it and no limit more than is needed") {
    const auto got = read::read_text("kit.xml", charging_kit("auto", ""));
    REQUIRE(got);
    const auto sizing = size::size_kit(got->harness);
    REQUIRE_FALSE(sizing);
    // Feed 0.20 V, return 0.10 V, both 0.30 V are the defaults. The return is good, so its limit stays.
    const auto limits = [](const std::string& feed, const std::string& loop) {
        return fmt::format(
            R"(<limit name="charging-feed-drop" value="{} V"/><limit name="charging-loop-drop" value="{} V"/>)",
            feed, loop);
    };
    const std::string feed = least_limit(0.2, [&](const std::string& tried) {
        return charging_fit(limits(tried, fmt::format("{:.2f}", std::stod(tried) * 1.5)));
    });
    REQUIRE_FALSE(feed.empty());
    const bool loop_too = !charging_fit(limits(feed, "0.30"));
    const std::string told = looser(sizing.error());
    CAPTURE(told);
    CHECK(told.starts_with("drop limit charging-feed-drop " + feed + " V instead of 0.20 V"));
    CHECK((told.find("charging-loop-drop") != std::string::npos) == loop_too);
    CHECK(told.find("charging-return-drop") == std::string::npos);
    CHECK(told.find("the battery gets so much less") != std::string::npos);
    // What keeps a cable from harm, and what a consumer gets, is never loosened.
    CHECK(looser(none_of({.runs = {{.current_a = 45, .fuse_a = 57, .length_m = 2, .ambient_degc = 75}},
                          .stock = {"4 mm2", "6 mm2"}})) == "");
    CHECK(looser(none_of(two_runs())) == "");
}
