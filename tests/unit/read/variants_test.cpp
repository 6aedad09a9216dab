// Several kits in one file: a variant puts its own parts in place of those with their ids, adds some, leaves
// some out.
#include "read/read.h"
#include "testing/testing.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace stoutloom;

namespace {

std::string file_with(const std::string& variants) {
    std::string text = testing::file_text(testing::tree_path("harnesses/first-kit.xml"));
    return text.insert(text.rfind("</harness>"), variants);
}

std::vector<read::ReadHarness> kits_of(const std::string& text, const std::string& variant = {}) {
    auto kits = read::read_kits_text("kit.xml", text, variant);
    std::string told;
    if (!kits)
        for (const base::Diagnostic& mistake : kits.error().mistakes)
            told += base::shown(mistake, kits.error().source);
    REQUIRE_MESSAGE(kits.has_value(), told);
    return std::move(*kits);
}

std::vector<base::Diagnostic> mistakes_of(const std::string& text, const std::string& variant = {}) {
    auto kits = read::read_kits_text("kit.xml", text, variant);
    REQUIRE_FALSE(kits.has_value());
    return kits.error().mistakes;
}

const std::string two = R"(<variant id="near"/>
<variant id="far" label="Battery behind the seat"><zone id="cab" ambient="41 degC"/><post id="X77" zone="cab"/></variant>
)";

} // namespace

TEST_CASE("a file without variants is one kit and one with them is a kit for each") {
    CHECK(kits_of(file_with("")).size() == 1);
    CHECK(kits_of(file_with("")).front().harness.variant.empty());
    const auto kits = kits_of(file_with(two));
    REQUIRE(kits.size() == 2);
    CHECK(kits[0].harness.variant == "near");
    CHECK(kits[0].harness.variant_label == "near");
    CHECK(kits[1].harness.variant_label == "Battery behind the seat");
    const auto one = kits_of(file_with(two), "far");
    REQUIRE(one.size() == 1);
    CHECK(one.front().harness.variant == "far");
}

TEST_CASE("a variant's part stands in for the one with its id; other parts are added") {
    const std::string text = file_with(two);
    const auto plain = kits_of(file_with("")).front();
    const auto kits = kits_of(text);
    CHECK(kits[0].harness.devices.size() == plain.harness.devices.size());
    CHECK(kits[1].harness.devices.size() == plain.harness.devices.size() + 1);
    CHECK(model::find_device(kits[1].harness, "X77").has_value());
    const auto cab = [](const model::Harness& harness) {
        const auto found = std::find_if(harness.zones.begin(), harness.zones.end(),
                                        [](const model::Zone& zone) { return zone.id == "cab"; });
        return found == harness.zones.end() ? -1 : found->ambient_degc.value;
    };
    CHECK(cab(kits[1].harness) == doctest::Approx(41));
    CHECK(kits[0].harness.zones.size() == plain.harness.zones.size());
    CHECK(cab(kits[0].harness) == cab(plain.harness));
}

TEST_CASE("a cable replaced keeps its place and points at its own lines") {
    const std::string cable =
        R"(<cable id="W1" section="70 mm2" length="9.5 m" zone="hood"><from at="G1.B+"/><to at="F1.b"/></cable>)";
    const auto plain = kits_of(file_with("")).front();
    std::string zone = plain.harness.zones.front().id;
    std::string mine = cable;
    mine.replace(mine.find("hood"), 4, zone);
    const model::Cable& old = plain.harness.cables.front();
    const auto address = [&](model::TerminalIndex at) { return plain.harness.terminal(at).address; };
    mine.replace(mine.find("G1.B+"), 5, address(old.from.at));
    mine.replace(mine.find("F1.b"), 4, address(old.to.at));
    mine.replace(mine.find("\"W1\""), 4, "\"" + old.id + "\"");
    const std::string text = file_with("<variant id=\"long\">" + mine + "</variant>");
    const auto kit = kits_of(text).front();
    CHECK(kit.harness.cables.size() == plain.harness.cables.size());
    CHECK(kit.harness.cables.front().length_m.value == doctest::Approx(9.5));
    CHECK(kit.harness.cables.front().span.begin > text.find("<variant"));
}

TEST_CASE("a part is left out by name and a name that is none is told") {
    const auto plain = kits_of(file_with("")).front();
    const std::string last = plain.harness.cables.back().id;
    const auto kit =
        kits_of(file_with(fmt::format(R"(<variant id="less"><without of="{}"/></variant>)", last))).front();
    CHECK(kit.harness.cables.size() + 1 == plain.harness.cables.size());
    CHECK_FALSE(model::find_cable(kit.harness, last).has_value());
    const auto told = mistakes_of(file_with(R"(<variant id="less"><without of="W99"/></variant>)"));
    REQUIRE(told.size() == 1);
    CHECK(told.front().message.find("W99") != std::string::npos);
}

TEST_CASE("mistakes of variants: each once and with its place") {
    // A mistake in what all share is told once however many variants there are.
    std::string text = file_with(two + R"(<variant id="third"/>)");
    text.replace(text.find("length=\""), 8, "length=\"-");
    const auto shared = mistakes_of(text);
    CHECK(shared.size() == 1);
    CHECK(mistakes_of(file_with(two), "fra").front().mend.find("far") != std::string::npos);
    CHECK(mistakes_of(file_with(""), "far").size() == 1);
    CHECK(mistakes_of(file_with(R"(<variant id="a"/><variant id="a"/>)")).front().slug == "duplicate-id");
    // Said twice in the file itself: a mistake of form, for the schema sees it, and told once.
    std::string doubled = file_with(two);
    const std::size_t zone = doubled.find("<zone ");
    doubled.insert(zone, doubled.substr(zone, doubled.find("/>", zone) + 2 - zone));
    const auto twice = mistakes_of(doubled);
    REQUIRE(twice.size() == 1);
    CHECK(twice.front().slug == "duplicate-id");
    CHECK(twice.front().kind == base::Mistake::form);
    const auto unknown = mistakes_of(
        file_with(R"(<variant id="a"><post id="X77" zone="nowhere"/></variant><variant id="b"/>)"));
    REQUIRE(unknown.size() == 1);
    CHECK(unknown.front().message.find("nowhere") != std::string::npos);
}
