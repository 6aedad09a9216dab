// What sizing tells of its answer, held to the file: the next smaller size breaks the rule that is told, and
// each line of what would change it is what the check says of the file so edited. Nothing of the sizing is
// asked again: values are written into the text, the text is read, all rules are asked.
#include "check/check.h"
#include "property/size_kits.h"
#include "read/edit.h"
#include "read/read.h"
#include "size/size.h"
#include "testing/testing.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <regex>
#include <set>

using namespace stoutloom;

namespace {

using Named = std::multiset<std::string>; // "rule subject", as often as told

/// Errors and warnings of a file, by rule and main subject.
Named errors_of(const std::string& text) {
    const auto got = read::read_text("edited.xml", text);
    REQUIRE(got.has_value());
    const check::Facts facts = check::gather(got->harness);
    const check::CheckRecord record = check::judge_all(facts);
    Named named;
    for (const check::Judgement* finding : record.findings())
        if (finding->severity != check::Severity::note && finding->rule->slug != "single-failure")
            named.insert(fmt::format("{} {}", finding->rule->slug,
                                     finding->subjects.empty() ? "" : finding->subjects.front()));
    return named;
}

std::string written(const base::SourceText& source, const std::vector<size::Chosen>& chosen,
                    const size::Chosen* smaller) {
    std::vector<read::Edit> edits;
    for (const size::Chosen& one : chosen)
        edits.push_back({.span = one.span, .text = &one == smaller ? one.smaller_text : one.text});
    const auto text = read::with_edits(source, std::move(edits));
    REQUIRE(text.has_value());
    return *text;
}

/// The text with the number of one attribute of one element made another one.
std::string with_number(const std::string& text, const std::string& element, const std::string& id,
                        const std::string& attribute, const std::function<double(double)>& change) {
    const std::regex place("(<" + element + " id=\"" + id + "\"[^>]*? " + attribute +
                           "=\")([0-9.]+)( [a-zA-Z]+\")");
    std::smatch found;
    if (!std::regex_search(text, found, place))
        return {};
    return found.prefix().str() + found[1].str() + fmt::format("{:.6f}", change(std::stod(found[2].str()))) +
           found[3].str() + found.suffix().str();
}

/// The file as a line of the sensitivity table says it.
std::string grown(const std::string& text, const std::string& what) {
    std::smatch found;
    if (std::regex_match(what, found, std::regex("(.*) one metre longer")))
        return with_number(text, "cable", found[1], "length", [](double m) { return m + 1; });
    if (std::regex_match(what, found, std::regex("zone (.*) ten degrees warmer")))
        return with_number(text, "zone", found[1], "ambient", [](double degc) { return degc + 10; });
    REQUIRE(std::regex_match(what, found, std::regex("a second (.*) beside it")));
    for (const char* amount : {"draw", "power"})
        if (std::string made =
                with_number(text, "consumer", found[1], amount, [](double one) { return 2 * one; });
            !made.empty())
            return made;
    return with_number(text, "consumer", found[1], "resistance", [](double ohm) { return ohm / 2; });
}

} // namespace

TEST_CASE("the next smaller size and what would change it are as the check of the edited file says") {
    auto random = testing::random_source("account of sizing");
    std::size_t kits = 0, smaller = 0, holding = 0, breaking = 0;
    for (int round = 0; round < 60 && kits < 12; ++round) {
        const std::string open = testing::random_size_kit(random, {.automatic = 3, .sections = 3});
        const auto got = read::read_text("kit.xml", open);
        REQUIRE(got.has_value());
        const auto sizing = size::size_kit(
            got->harness, {.too_small = false, .sensitivity = true, .relaxations = false, .limits = {}});
        if (!sizing || sizing->chosen.empty())
            continue;
        ++kits;
        CAPTURE(open);
        const std::string text = written(got->source, sizing->chosen, nullptr);
        const Named standing = errors_of(text);
        const auto fresh = [&](const std::string& edited) {
            Named left;
            const Named errors = errors_of(edited);
            for (const std::string& one : errors)
                if (errors.count(one) > standing.count(one))
                    left.insert(one);
            return left;
        };
        for (const size::Chosen& chosen : sizing->chosen) {
            if (chosen.smaller_text.empty())
                continue;
            ++smaller;
            CAPTURE(chosen.id);
            REQUIRE(!chosen.smaller_breaks.empty());
            const Named broken = fresh(written(got->source, sizing->chosen, &chosen));
            const size::Figure& first = chosen.smaller_breaks.front();
            const std::string told = first.rule + " " + first.subject;
            CHECK_MESSAGE(broken.count(told) > 0, told);
        }
        for (const size::Sensitivity& line : sizing->sensitivity) {
            CAPTURE(line.what);
            const std::string edited = grown(text, line.what);
            REQUIRE(!edited.empty());
            const Named broken = fresh(edited);
            CHECK(line.holds == broken.empty());
            (line.holds ? holding : breaking)++;
            if (!line.holds) {
                const std::string rule = line.breaks.substr(0, line.breaks.find(':'));
                CHECK(std::any_of(broken.begin(), broken.end(),
                                  [&](const std::string& one) { return one.starts_with(rule + " "); }));
            }
        }
    }
    MESSAGE(kits, " kits, ", smaller, " next smaller sizes, ", holding, " lines that hold, ", breaking,
            " that break a rule");
    CHECK(kits == 12);
    CHECK(smaller > 5);
    CHECK(holding > 5);
    CHECK(breaking > 5);
}
