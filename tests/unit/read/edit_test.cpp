// A changed section reaches the file, and nothing else of the file moves.
#include "read/edit.h"

#include "read/read.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

namespace {

using namespace stoutloom;

read::ReadHarness first_kit() {
    auto read = read::read_file(testing::tree_path("harnesses/first-kit.xml"));
    REQUIRE(read.has_value());
    return std::move(*read);
}

} // namespace

TEST_CASE("sections are replaced and every other byte stays") {
    const auto kit = first_kit();
    const std::string& before = kit.source.text();
    const base::Span w1 = kit.harness.cables[0].section_span;
    const base::Span w3 = kit.harness.cables[2].section_span;
    CHECK(kit.source.slice(w1) == "50 mm2");
    // Given out of order on purpose.
    const auto after =
        read::with_edits(kit.source, {{.span = w3, .text = "4/0 AWG"}, {.span = w1, .text = "95 mm2"}});
    REQUIRE(after.has_value());
    const std::string expected = before.substr(0, w1.begin) + "95 mm2" +
                                 before.substr(w1.end, w3.begin - w1.end) + "4/0 AWG" + before.substr(w3.end);
    CHECK(*after == expected);
    const auto again = read::read_text("again.xml", *after);
    REQUIRE(again.has_value());
    CHECK(again->harness.cables[0].section_mm2.value == doctest::Approx(95));
    CHECK(again->harness.cables[2].section_mm2.text == "4/0 AWG");
}

TEST_CASE("no change gives the same bytes back") {
    const std::string text = "\xEF\xBB\xBF<?xml version='1.0'?>\r\n<harness\ta = 'x'\r\n/>\r\n<!-- end -->";
    const auto after = read::with_edits(base::SourceText("kit.xml", text), {});
    REQUIRE(after.has_value());
    CHECK(*after == text);
}

TEST_CASE("characters that would end the value are escaped") {
    const base::SourceText source("kit.xml", "<a b='1' c=\"2\"/>");
    const auto after = read::with_edits(source, {{.span = {.begin = 6, .end = 7}, .text = "it's <\"&\n"},
                                                 {.span = {.begin = 12, .end = 13}, .text = ""}});
    REQUIRE(after.has_value());
    CHECK(*after == "<a b='it&apos;s &lt;&quot;&amp;&#10;' c=\"\"/>");
}

TEST_CASE("spans that are no value and changes that overlap are refused") {
    const base::SourceText source("kit.xml", "<a b='12'/>");
    const auto told = [&](std::vector<read::Edit> edits) {
        const auto after = read::with_edits(source, std::move(edits));
        return after ? *after : after.error().message;
    };
    CHECK(told({{.span = {.begin = 1, .end = 2}, .text = "x"}}) == "no attribute value stands at 1:2");
    CHECK(told({{.span = {.begin = 6, .end = 7}, .text = "x"}}) == "no attribute value stands at 1:7");
    CHECK(told({{.span = {.begin = 6, .end = 900}, .text = "x"}}) == "no attribute value stands at 1:7");
    CHECK(told({{.span = {.begin = 6, .end = 8}, .text = "x"},
                {.span = {.begin = 6, .end = 8}, .text = "y"}}) == "two changes overlap at 1:7");
    CHECK(told({{.span = {.begin = 6, .end = 8}, .text = "\x01"}}) ==
          "the changed file would not be well-formed");
    CHECK(told({{.span = {.begin = 6, .end = 8}, .text = "x"}}) == "<a b='x'/>");
}
