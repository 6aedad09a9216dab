// The mistakes museum is the test of the whole rule set: each wrong kit raises the finding that its file
// names and no other error; the cured kit beside it, which differs in that mistake alone, raises neither
// error nor warning.
#include "check/check.h"
#include "rules/kits.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <set>

using namespace stoutloom;

namespace {

struct Exhibit {
    std::string name;          // "a1-no-strap"
    std::string slug, subject; // the finding that the wrong one names
};

std::string line_after(const std::string& text, const std::string& mark) {
    const std::size_t begin = text.find(mark);
    if (begin == std::string::npos)
        return {};
    const std::size_t from = begin + mark.size();
    return text.substr(from, text.find(" -->", from) - from);
}

std::vector<Exhibit> exhibits() {
    std::vector<Exhibit> all;
    for (const std::string& path :
         testing::files_below(testing::tree_path("harnesses/mistakes"), "-wrong.xml")) {
        const std::string stem = std::filesystem::path(path).stem().string();
        const std::string named = line_after(testing::file_text(path), "<!-- finding: ");
        const std::size_t space = named.find(' ');
        REQUIRE_MESSAGE(space != std::string::npos, path);
        all.push_back({.name = stem.substr(0, stem.size() - std::string("-wrong").size()),
                       .slug = named.substr(0, space),
                       .subject = named.substr(space + 1)});
    }
    return all;
}

check::CheckRecord judged(const std::string& name) {
    const std::string path = testing::tree_path("harnesses/mistakes/" + name + ".xml");
    return check::judge_all(rules_test::kit_at(path)->facts);
}

bool is_named(const check::Judgement& finding, const Exhibit& exhibit) {
    return finding.rule->slug == exhibit.slug && finding.subjects.front() == exhibit.subject;
}

} // namespace

TEST_CASE("each wrong kit of the museum raises its named finding and no other error") {
    for (const Exhibit& exhibit : exhibits()) {
        const check::CheckRecord record = judged(exhibit.name + "-wrong");
        bool raised = false;
        for (const check::Judgement* finding : record.findings()) {
            const bool named = is_named(*finding, exhibit);
            raised |= named && finding->severity != check::Severity::note;
            if (!named && finding->severity == check::Severity::error)
                FAIL_CHECK(exhibit.name, " has another error: ", finding->rule->slug, ": ", finding->message);
        }
        CHECK_MESSAGE(raised, exhibit.name, " does not raise ", exhibit.slug, " about ", exhibit.subject);
    }
}

TEST_CASE("each cured kit of the museum has no error and no warning") {
    for (const Exhibit& exhibit : exhibits()) {
        const check::CheckRecord record = judged(exhibit.name + "-cured");
        for (const check::Judgement* finding : record.findings()) {
            if (finding->severity != check::Severity::note)
                FAIL_CHECK(exhibit.name,
                           is_named(*finding, exhibit) ? " is not cured: " : " cured still has: ",
                           finding->rule->slug, ": ", finding->message);
        }
    }
}

TEST_CASE("every mistake of the catalogue is shown or told why it cannot be") {
    const std::string readme = testing::file_text(testing::tree_path("harnesses/mistakes/README.md"));
    std::set<std::string> shown;
    for (const Exhibit& exhibit : exhibits()) {
        std::string id = exhibit.name.substr(0, exhibit.name.find('-'));
        id[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(id[0])));
        shown.insert(id);
        CHECK_MESSAGE(readme.find("| " + id + " |") != std::string::npos, id);
        CHECK_MESSAGE(readme.find("`" + exhibit.slug + "`") != std::string::npos, exhibit.slug);
    }
    // A1 to A10, B1 to B10, C1 to C11, D1 to D9, E1 to E10.
    constexpr std::pair<char, int> chapters[] = {{'A', 10}, {'B', 10}, {'C', 11}, {'D', 9}, {'E', 10}};
    for (const auto& [letter, count] : chapters)
        for (int n = 1; n <= count; ++n) {
            const std::string id = letter + std::to_string(n);
            if (!shown.contains(id))
                CHECK_MESSAGE(readme.find("**" + id + "**") != std::string::npos, id,
                              " is neither shown nor excused");
        }
    CHECK(shown.size() >= 45);
}
