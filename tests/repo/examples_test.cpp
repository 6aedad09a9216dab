// The example kits of the tree can be read, and the pages point at files that exist.
#include "read/read.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <regex>

using stoutloom::testing::file_text;
using stoutloom::testing::files_below;
using stoutloom::testing::tree_path;

TEST_CASE("every example kit is read without a refusal") {
    std::size_t count = 0;
    for (const std::string& path : files_below(tree_path("harnesses"), ".xml")) {
        const auto read = stoutloom::read::read_file(path);
        if (!read)
            for (const auto& mistake : read.error().mistakes)
                FAIL_CHECK(stoutloom::base::shown(mistake, read.error().source));
        ++count;
    }
    CHECK(count >= 3);
}

TEST_CASE("links of the pages lead somewhere") {
    const std::regex link(R"(\]\(([^)#:]+)(#[^)]*)?\))");
    for (const std::string page : {"README.md", "DEVELOPERS.md", "schemas/README.md"}) {
        const std::string text = file_text(tree_path(page));
        const std::filesystem::path folder = std::filesystem::path(tree_path(page)).parent_path();
        for (std::sregex_iterator it(text.begin(), text.end(), link), end; it != end; ++it)
            CHECK_MESSAGE(std::filesystem::exists(folder / (*it)[1].str()), page, " points at ",
                          (*it)[1].str());
    }
}
