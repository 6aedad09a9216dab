// A file in US units has papers in US units: nothing is left in metres, kilograms or degrees Celsius alone
// but what a standard names so.
#include "draw/draw.h"
#include "report/papers/voice.h"
#include "report/words.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"

#include <doctest/doctest.h>

#include <fstream>
#include <regex>
#include <sstream>

using namespace stoutloom;
using namespace stoutloom::papers_test;

namespace {

std::unique_ptr<Kit> van_in(const std::string& units) {
    std::ifstream file(testing::tree_path("harnesses/library-van-original.xml"));
    std::stringstream text;
    text << file.rdbuf();
    std::string words = text.str();
    const std::string before = "<harness xmlns";
    words.replace(words.find(before), before.size(), "<harness units=\"" + units + "\" xmlns");
    return kit_of_text(words);
}

} // namespace

// 1 in = 25.4 mm, 1 ft = 304.8 mm, 1 lb = 0.45359237 kg (NIST SP 811, appendix B.8); degF = 1.8 degC + 32.
TEST_CASE("figures of both systems by hand and rounded to the safe side") {
    const auto us = van_in("us"), both = van_in("both"), metric = van_in("metric");
    const report::Voice in_us(us->view, report::Language::english),
        in_both(both->view, report::Language::english), in_metric(metric->view, report::Language::english);
    CHECK(in_us.temperature(92, base::Rounding::up) == "198 °F"); // 197.6
    CHECK(in_us.temperature(92, base::Rounding::down) == "197 °F");
    CHECK(in_both.temperature(92, base::Rounding::up) == "92 °C (198 °F)");
    CHECK(in_metric.temperature(-10, base::Rounding::up) == "−10 °C");
    CHECK(in_us.temperature_of(91.2, 125) == "197 / 257 °F"); // 196.2 up
    CHECK(in_us.weight(4.9) == "10.9 lb");                    // 10.803 up
    CHECK(in_metric.weight(4.9) == "4.9 kg");
    CHECK(in_us.bought_length(6 * 0.3048) == "6 ft");
    CHECK(in_us.left_length(0.25) == "0.8 ft"); // 0.820 down
    CHECK(in_us.limit_length(0.2) == "7.8 in"); // 7.874 down: a limit is never told wider
    CHECK(in_both.limit_length(0.2) == "0.200 m (7.8 in)");
    CHECK(in_us.length_mm(5.6) == "18 ft 4 1/2 in"); // 220.47 in
    CHECK(in_us.length_other(5.6) == "5 600 mm");
    CHECK(in_both.length_mm(5.6) == "5 600 mm");
}

TEST_CASE("each length and temperature of a sentence has its US figure after it and nothing else has") {
    const auto with_us_figures = [](const std::string& words) {
        std::string told = report::with_us_figures(words);
        for (std::size_t at = told.find("\u00A0"); at != std::string::npos; at = told.find("\u00A0"))
            told.replace(at, 2, " "); // one line holds both figures
        return told;
    };
    CHECK(with_us_figures("a clip every 300 mm, clear") == "a clip every 300 mm (11.8 in), clear");
    CHECK(with_us_figures("0.30 m long, 0.20 m allowed") == "0.30 m (11.8 in) long, 0.20 m (7.9 in) allowed");
    CHECK(with_us_figures("6.1 m") == "6.1 m (20.0 ft)");
    CHECK(with_us_figures("reaches 161 degC, B stands 100 degC.") ==
          "reaches 161 degC (322 degF), B stands 100 degC (212 degF).");
    CHECK(with_us_figures("絶縁 B は 100 °C まで") == "絶縁 B は 100 °C (212 °F) まで");
    for (const char* plain :
         {"16 mm2 and 95 mm² on M8 m", "5 A, 0.2 V, 3 mohm", "IEC 60364-4-43 mm", "12 minutes"})
        CHECK(with_us_figures(plain) == plain);
}

TEST_CASE("no paper of a US file is left in metres or kilograms or degrees Celsius") {
    const auto kit = van_in("us");
    const auto measure = draw::lettering();
    report::PackOptions options;
    options.loom_tiles = false;
    const auto pack = report::build_pack(kit->view, options, *measure);
    REQUIRE(pack.has_value());
    // A figure in brackets, and one with its US figure in brackets after it, are told in both.
    const std::regex alone(R"((^|[^(0-9.])[0-9][0-9.]*[ \u00A0](m|kg|°C)($|[ ,;]))");
    std::size_t checked = 0;
    for (const layout::Page& page : pack->document.pages)
        for (const layout::Element& element : page.elements)
            for (const layout::Text& text : element.texts) {
                ++checked;
                std::string words = text.words;
                for (const char* of_a_standard :
                     {"class A, 85 °C", "class B, 100 °C", "class C, 125 °C", "B (100 °C)"})
                    if (const std::size_t at = words.find(of_a_standard); at != std::string::npos)
                        words.erase(at, std::string(of_a_standard).size());
                const bool source = words.find("23 °C") != std::string::npos; // ISO 8854 names it
                const bool bracketed = words.find(" ft)") != std::string::npos ||
                                       words.find(" in)") != std::string::npos ||
                                       words.find("°F)") != std::string::npos;
                CHECK_MESSAGE((source || bracketed || !std::regex_search(words, alone)), page.label, ": ",
                              text.words);
            }
    CHECK(checked > 500);
}
