// What is looked up stands in one order, and what is read is told once.
#include "draw/draw.h"
#include "report/papers/papers.h"
#include "report/papers/told_before.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"

#include <doctest/doctest.h>

using namespace stoutloom;
using namespace stoutloom::layout;
using namespace stoutloom::papers_test;

TEST_CASE("what an earlier finding of the same rule tells is not told again") {
    const std::string lost =
        "the lamps lose 0.82 V between battery and consumer; 0.72 V is the limit of a critical "
        "consumer at worst";
    report::ToldBefore told([](const std::string& number) { return "further as " + number; });
    CHECK(told.shortened({"single-failure", "1", "W1 is lost: G1 leaps; " + lost}) ==
          "W1 is lost: G1 leaps; " + lost);
    CHECK(told.shortened({"single-failure", "2", "W3 is lost: G3 leaps; " + lost + "; and 1 more"}) ==
          "W3 is lost: G3 leaps; further as 1; and 1 more");
    // The words stand under 1, not under 2.
    CHECK(told.shortened({"single-failure", "3", "W5 is lost: G3 leaps; " + lost + "; and 1 more"}) ==
          "W5 is lost: G3 leaps; further as 1; and 1 more");
    // Another rule, other figures, the first clause, and what is short, stand in full.
    CHECK(told.shortened({"other", "4", "W1 is lost: G1 leaps; " + lost}) == "W1 is lost: G1 leaps; " + lost);
    const std::string other =
        "W7 is lost: G1 leaps; the lamps lose 0.83 V between battery and consumer; 0.72 V is "
        "the limit";
    CHECK(told.shortened({"single-failure", "5", other}) == other);
    CHECK(told.shortened({"single-failure", "6", lost}) == lost);
    CHECK(told.shortened({"single-failure", "7", "W9 is lost; it is dark"}) == "W9 is lost; it is dark");
    CHECK(told.shortened({"single-failure", "8", "W2 is lost; it is dark"}) == "W2 is lost; it is dark");
}

TEST_CASE("what is told once is told once in Japanese too whose clauses part without a blank") {
    const std::string lost = "前照灯は電池から負荷までに 0.82 V 降下、重要負荷の限度 0.72 V（最悪時）";
    report::ToldBefore told([](const std::string& number) { return "その他は " + number + " と同じ"; });
    CHECK(told.shortened({"single-failure", "1", "W1 を失う：G1；" + lost}) == "W1 を失う：G1；" + lost);
    CHECK(told.shortened({"single-failure", "2", "W3 を失う：G3；" + lost + "；ほか 1 件"}) ==
          "W3 を失う：G3；その他は 1 と同じ；ほか 1 件");
}

TEST_CASE("labels run by name as the cut list does") {
    const auto lettering = draw::lettering();
    report::PackOptions options;
    options.only = {report::Paper::labels};
    // The file tells W17 after W6.
    const auto pack = report::build_pack(
        kit_of(testing::tree_path("harnesses/library-van-planned.xml"))->view, options, *lettering);
    REQUIRE(pack.has_value());
    std::vector<std::string> order;
    for (const Element& element : pack->document.pages.at(0).elements)
        if (element.id.starts_with("W") && element.id.ends_with("-from"))
            order.push_back(element.id);
    std::vector<std::string> wanted;
    for (int i = 1; i <= 17; ++i)
        wanted.push_back("W" + std::to_string(i) + "-from");
    CHECK(order == wanted);
}

TEST_CASE("a title without a second line stands in the record without a mark after it") {
    const auto lettering = draw::lettering();
    report::PackOptions options;
    options.only = {report::Paper::check_record};
    const auto pack =
        report::build_pack(kit_of(testing::tree_path("harnesses/first-kit.xml"))->view, options, *lettering);
    REQUIRE(pack.has_value());
    int seen = 0;
    for (const Element& element : pack->document.pages.at(0).elements)
        for (const Text& text : element.texts) {
            seen += text.words == "Farm tractor, first kit" ? 1 : 0;
            CHECK(text.words != "Farm tractor, first kit;");
        }
    CHECK(seen > 0);
}
