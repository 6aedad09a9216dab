// Every rule has a folder here: trips.xml must raise exactly the findings of expected.json, near-miss.xml
// none, and the rule must then say `passes`. Each figure in expected.json carries its own hand calculation
// ("why").
#include "rules/kits.h"
#include "testing/testing.h"

#include "check/check.h"
#include "read/read.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <filesystem>
#include <set>

using namespace stoutloom;

namespace {

// The hand calculations of the folders are for the kit as built: ageing and tolerance are tested in
// tests/unit/check.
check::Facts as_built(const rules_test::Kit& kit) {
    check::Facts facts = kit.facts;
    facts.at_worst.reset();
    facts.at_least_charge.reset();
    return facts;
}

struct Judged {
    std::shared_ptr<const rules_test::Kit> kit;
    check::CheckRecord record;
};

Judged judged(const std::string& path) {
    auto kit = rules_test::kit_at(path);
    check::CheckRecord record = check::judge_all(as_built(*kit));
    return {.kit = std::move(kit), .record = std::move(record)};
}

std::vector<const check::Judgement*> findings_of(const Judged& all, std::string_view slug) {
    std::vector<const check::Judgement*> found;
    for (const check::Judgement* finding : all.record.findings())
        if (finding->rule->slug == slug)
            found.push_back(finding);
    return found;
}

bool near(double value, double wanted, double tolerance) {
    return std::abs(value - wanted) <= tolerance * std::max(std::abs(wanted), 1e-9);
}

void compare(const Judged& all, const check::Judgement& finding, const nlohmann::json& wanted) {
    const base::Position place = all.kit->file.source.position(finding.span.begin);
    CHECK(place.line == wanted.at("line").get<std::uint32_t>());
    CHECK(place.column == wanted.at("column").get<std::uint32_t>());
    CHECK(std::string(check::severity_name(finding.severity)) == wanted.at("severity").get<std::string>());
    const std::string verdict = finding.verdict == check::Verdict::fails ? "fails" : "cannot tell";
    CHECK(verdict == wanted.at("verdict").get<std::string>());
    CHECK(finding.message == wanted.at("message").get<std::string>());
    CHECK_FALSE(wanted.at("why").get<std::string>().empty());
    CHECK(finding.has_figures == wanted.contains("computed"));
    if (wanted.contains("computed")) {
        CHECK_MESSAGE(near(finding.computed, wanted.at("computed"), wanted.at("tolerance")),
                      finding.computed);
        CHECK_MESSAGE(near(finding.limit, wanted.at("limit"), wanted.at("limit_tolerance")), finding.limit);
    }
    if (wanted.contains("values"))
        for (const auto& item : wanted.at("values").items()) {
            const double found = finding.values.at(item.key());
            CHECK_MESSAGE(near(found, item.value(), 1e-9), item.key(), " ", found);
        }
}

} // namespace

TEST_CASE("each rule trips where it must and keeps quiet beside it") {
    for (const check::Rule* rule : check::all_rules()) {
        const std::string folder = testing::tree_path("tests/rules/" + std::string(rule->slug));
        CAPTURE(folder);
        const auto expected = nlohmann::json::parse(testing::file_text(folder + "/expected.json"));
        REQUIRE(expected.at("rule").get<std::string>() == rule->slug);
        const Judged trips = judged(folder + "/trips.xml");
        const auto found = findings_of(trips, rule->slug);
        REQUIRE(found.size() == expected.at("findings").size());
        for (std::size_t i = 0; i < found.size(); ++i)
            compare(trips, *found[i], expected.at("findings")[i]);

        const Judged near_miss = judged(folder + "/near-miss.xml");
        for (const check::Judgement* finding : findings_of(near_miss, rule->slug))
            FAIL_CHECK("near miss: ", finding->message);
        std::size_t passes = 0;
        for (const check::Judgement& judgement : near_miss.record.judgements)
            passes += judgement.rule == rule && judgement.verdict == check::Verdict::passes;
        CHECK_MESSAGE(passes > 0, "the near miss is not judged at all");
    }
}

TEST_CASE("the near miss differs from the tripping file in one point only") {
    for (const check::Rule* rule : check::all_rules()) {
        const std::string folder = testing::tree_path("tests/rules/" + std::string(rule->slug));
        CAPTURE(folder);
        const auto lines = [](const std::string& text) {
            std::multiset<std::string> all;
            std::size_t begin = 0;
            while (begin < text.size()) {
                const std::size_t end = std::min(text.find('\n', begin), text.size());
                const std::string line = text.substr(begin, end - begin);
                if (!line.starts_with("<!--"))
                    all.insert(line);
                begin = end + 1;
            }
            return all;
        };
        const auto one = lines(testing::file_text(folder + "/trips.xml"));
        const auto other = lines(testing::file_text(folder + "/near-miss.xml"));
        std::vector<std::string> only_one;
        std::set_difference(one.begin(), one.end(), other.begin(), other.end(), std::back_inserter(only_one));
        CHECK(one != other);
        CHECK(only_one.size() == 1);
    }
}

TEST_CASE("catalogue and source folder and test folders name the same rules") {
    std::set<std::string> from_catalogue, from_sources, from_tests;
    std::string last;
    for (const check::Rule* rule : check::all_rules()) {
        CHECK(last < rule->slug);
        last = rule->slug;
        from_catalogue.insert(last);
        CHECK(check::rule_by_slug(rule->slug) == rule);
        for (const std::string_view text : {rule->asks, rule->source, rule->cure, rule->explanation})
            CHECK_MESSAGE(text.size() > 10, last);
        CHECK_MESSAGE(rule->asks.ends_with("?"), last);
        CHECK_MESSAGE(rule->explanation.find("Example") != std::string_view::npos, last);
    }
    for (const std::string& path : testing::files_below(testing::tree_path("src/check/rules"), ".cpp")) {
        std::string stem = std::filesystem::path(path).stem().string();
        std::replace(stem.begin(), stem.end(), '_', '-');
        from_sources.insert(stem);
    }
    for (const auto& entry : std::filesystem::directory_iterator(testing::tree_path("tests/rules")))
        if (entry.is_directory())
            from_tests.insert(entry.path().filename().string());
    CHECK(from_catalogue == from_sources);
    CHECK(from_catalogue == from_tests);
    CHECK(from_catalogue.size() >= 30);
}

TEST_CASE("no rule is silent about a subject it has") {
    std::vector<std::string> files = testing::files_below(testing::tree_path("tests/rules"), ".xml");
    for (const std::string& path : testing::files_below(testing::tree_path("harnesses"), ".xml"))
        if (path.find("/workboat") == std::string::npos) // minutes under a sanitizer; read in tests/repo
            files.push_back(path);
    std::set<std::string_view> asked;
    for (const std::string& path : files) {
        CAPTURE(path);
        const check::Facts facts = as_built(*rules_test::kit_at(path));
        for (const check::Rule* rule : check::all_rules()) {
            CAPTURE(rule->slug);
            check::Judgements judgements(*rule);
            rule->judge(facts, judgements);
            for (const std::string& subject : rule->subjects(facts)) {
                asked.insert(rule->slug);
                const bool answered = std::any_of(
                    judgements.all().begin(), judgements.all().end(), [&](const check::Judgement& judgement) {
                        return std::find(judgement.subjects.begin(), judgement.subjects.end(), subject) !=
                               judgement.subjects.end();
                    });
                CHECK_MESSAGE(answered, subject);
            }
            for (const check::Judgement& judgement : judgements.all()) {
                CHECK_FALSE(judgement.subjects.empty());
                CHECK_FALSE(judgement.message.empty());
                CHECK_MESSAGE(judgement.message.find("nan") == std::string::npos, judgement.message);
                CHECK_MESSAGE(judgement.message.find("inf ") == std::string::npos, judgement.message);
                if (judgement.has_figures) {
                    CHECK_FALSE(std::isnan(judgement.computed));
                    CHECK_FALSE(std::isnan(judgement.limit));
                    CHECK_FALSE(judgement.unit.empty());
                    CHECK_FALSE(judgement.limit_source.empty());
                }
            }
        }
    }
    CHECK(asked.size() == check::all_rules().size());
}

// The rules' own lists of subjects are held against plain counts of the file, so that a list cannot shrink
// unseen.
TEST_CASE("rules answer for every cable and fuse-link and unit of a whole kit") {
    const Judged all = judged(testing::tree_path("harnesses/library-van-planned.xml"));
    const std::string text = testing::file_text(testing::tree_path("harnesses/library-van-planned.xml"));
    const auto count = [&](const std::string& start) {
        std::size_t found = 0;
        for (std::size_t at = text.find(start); at != std::string::npos; at = text.find(start, at + 1))
            ++found;
        return found;
    };
    const auto mains = [&](std::string_view slug) {
        std::set<std::string> subjects;
        for (const check::Judgement& judgement : all.record.judgements)
            if (judgement.rule->slug == slug)
                subjects.insert(judgement.subjects.front());
        return subjects.size();
    };
    for (const char* slug : {"cable-ampacity", "cable-short-duty", "insulation-ambient", "lug-fit"})
        CHECK_MESSAGE(mains(slug) == count("<cable "), slug);
    for (const char* slug : {"fuse-continuous-load", "fuse-breaking-capacity", "fuse-voltage"})
        CHECK_MESSAGE(mains(slug) == count("<fuse-link "), slug);
    CHECK(mains("ground-return-missing") == count("<consumer ") + count("<generator ") + count("<starter "));
    CHECK(mains("incidental-current") == count("<incidental "));
    CHECK(mains("charging-drop") == count("<generator "));
    CHECK(mains("cranking-drop") == count("<starter "));
    CHECK(mains("duty-solved") == all.kit->file.harness.duties.size());
}
