// Files stay small enough to be read in one sitting, start by saying why they exist, and every rule is
// documented.
#include "check/rule.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <set>

using stoutloom::testing::file_text;
using stoutloom::testing::files_below;
using stoutloom::testing::tree_path;

TEST_CASE("no source file is too long and each says first why it exists") {
    const auto lines = [](const std::string& text) { return std::count(text.begin(), text.end(), '\n'); };
    for (const std::string& path : files_below(tree_path("src"), ".cpp")) {
        const std::string text = file_text(path);
        CHECK_MESSAGE(lines(text) <= 500, path, " has ", lines(text), " lines; split it by idea");
    }
    for (const std::string& path : files_below(tree_path("src"), ".h")) {
        const std::string text = file_text(path);
        CHECK_MESSAGE(lines(text) <= (path.ends_with("harness.h") ? 450 : 220), path, " has ", lines(text),
                      " lines");
        CHECK_MESSAGE((text.rfind("// ", 0) == 0 || text.rfind("/// ", 0) == 0), path,
                      " does not say why it exists");
    }
    for (const std::string& path : files_below(tree_path("tests"), ".cpp")) {
        const std::string text = file_text(path);
        CHECK_MESSAGE(lines(text) <= 450, path, " has ", lines(text), " lines; split it by idea");
    }
}

TEST_CASE("no room has a drawer for everything") {
    const std::set<std::string> refused = {"utils",   "common", "misc",    "other",
                                           "manager", "helper", "helpers", "util"};
    for (const std::string ending : {".h", ".cpp"})
        for (const std::string& path : files_below(tree_path("src"), ending))
            CHECK_MESSAGE(refused.count(std::filesystem::path(path).stem().string()) == 0, path);
}

TEST_CASE("every rule has a folder of tests with a kit that trips it and one that nearly does") {
    REQUIRE(stoutloom::check::all_rules().size() >= 12);
    for (const stoutloom::check::Rule* rule : stoutloom::check::all_rules()) {
        const std::string folder = tree_path("tests/rules/" + std::string(rule->slug));
        for (const std::string name : {"/trips.xml", "/near-miss.xml", "/expected.json"})
            CHECK_MESSAGE(std::filesystem::exists(folder + name), folder, name, " is missing");
        CHECK_MESSAGE(!rule->source.empty(), rule->slug, " names no source");
        CHECK_MESSAGE(rule->explanation.size() > 100, rule->slug, " is not explained");
    }
}
