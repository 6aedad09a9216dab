// The measuring sheet: what it asks for can be measured, is expected where the solver says, and leaves
// nothing unsafe in the accepted band.
#include "draw/draw.h"
#include "report/papers/contents.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"
#include "unit/papers/random_kit.h"

#include "report/papers/measured_rows.h"

#include <cmath>
#include <set>

using namespace stoutloom;
using namespace stoutloom::papers_test;

namespace {

/// Cables on the way between two terminals add up to the difference of their volts (Kirchhoff's voltage law).
double sum_of(const std::vector<report::WayPart>& way) {
    double sum = 0;
    for (const report::WayPart& part : way)
        sum += part.drop_v;
    return sum;
}

} // namespace

TEST_CASE("nothing below a cheap meter's last digit is asked for and bands hold their limits") {
    for (const std::string& path : example_paths()) {
        CAPTURE(path);
        const auto kit = kit_of(path);
        const report::Voice voice(kit->view, report::Language::english);
        std::vector<report::MeasuredLoop> loops;
        std::size_t number = 0;
        for (const report::MeasuredRow& row : report::measured_rows(voice, loops)) {
            CHECK(row.number == std::to_string(++number));
            CHECK(row.expected_v >= 0.01);
            CHECK((row.low_v || row.high_v));
            if (row.low_v && row.high_v)
                CHECK(*row.low_v < *row.high_v);
            // A rested battery with nothing on reads what its band accepts, whatever is left on when parked.
            if (row.duty == voice.say(report::Phrase::state_rest))
                CHECK((row.expected_v >= *row.low_v && row.expected_v <= *row.high_v));
            CHECK(!row.why.empty());
            CHECK(!row.state.empty());
            // A drop is never accepted above the limit that the rules judge by.
            for (const char* limit :
                 {"charging-feed-drop", "charging-return-drop", "cranking-feed-drop", "cranking-return-drop"})
                if (row.why.starts_with(std::string(limit) + ":"))
                    CHECK(*row.high_v <= model::limit_in_force(kit->harness, limit).value);
        }
    }
}

TEST_CASE("the parts of a loop add up to its volts") {
    std::size_t loops_seen = 0;
    for (const std::string& path : example_paths()) {
        CAPTURE(path);
        const auto kit = kit_of(path);
        const report::Voice voice(kit->view, report::Language::english);
        std::vector<report::MeasuredLoop> loops;
        report::measured_rows(voice, loops);
        for (const report::MeasuredLoop& loop : loops) {
            ++loops_seen;
            REQUIRE(!loop.feed.empty());
            REQUIRE(!loop.back.empty());
            CHECK(std::abs(sum_of(loop.feed) - loop.feed_v) < 1e-6);
            CHECK(std::abs(sum_of(loop.back) - loop.back_v) < 1e-6);
            for (std::size_t i = 1; i < loop.feed.size(); ++i)
                CHECK(loop.feed[i].drop_v > -1e-9);
        }
    }
    CHECK(loops_seen >= 4);
}

TEST_CASE("shown limits are never wider than the limits") {
    // The figures under the bar: upper limits rounded down, lower ones up, to the meter's 0.01 V.
    const auto kit = kit_of(testing::tree_path("harnesses/library-van-planned.xml"));
    const report::Voice voice(kit->view, report::Language::english);
    report::ProbeLetters letters;
    const auto content = report::measurements_content(voice, letters);
    REQUIRE(content.rows.size() > 4);
    for (const layout::papers::MeasureRow& row : content.rows) {
        if (row.band.high_v)
            CHECK(std::stod(row.band.high_words) <= *row.band.high_v + 1e-9);
        if (row.band.low_v)
            CHECK(std::stod(row.band.low_words) >= *row.band.low_v - 1e-9);
    }
    CHECK(content.steps.size() == 4);
}

TEST_CASE("each probe letter stands for one terminal") {
    auto random = testing::random_source("probe letters");
    const auto kit = kit_of_text(random_kit_text(random, 30));
    const report::Voice voice(kit->view, report::Language::english);
    report::ProbeLetters letters;
    std::set<std::string> seen;
    for (std::size_t i = 0; i < kit->harness.terminals.size(); ++i) {
        const std::string letter = letters.letter(static_cast<model::TerminalIndex>(i));
        CHECK(seen.insert(letter).second);
        CHECK(letter.find('I') == std::string::npos);
        CHECK(letter.find('O') == std::string::npos);
        CHECK(letters.letter(static_cast<model::TerminalIndex>(i)) == letter);
    }
}

TEST_CASE("no probe bears the letter that stands in the sign of a motor") {
    for (const std::string& path : example_paths()) {
        CAPTURE(path);
        const auto kit = kit_of(path);
        const report::Voice voice(kit->view, report::Language::english);
        report::ProbeLetters letters;
        const auto content = report::measurements_content(voice, letters);
        for (const auto& [letter, terminal] : content.probes)
            for (const char sign : {'I', 'O', 'M'})
                CHECK(letter.find(sign) == std::string::npos);
    }
}
