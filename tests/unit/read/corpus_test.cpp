// The fuzz corpus, read once more by the tests as they are built everywhere.
#include "fuzz/exercise.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

TEST_CASE("the reader keeps its promises on every file of the fuzz corpus") {
    const auto files =
        stoutloom::testing::files_below(stoutloom::testing::tree_path("tests/fuzz/corpus"), "");
    CHECK(files.size() > 15);
    for (const std::string& path : files) {
        CAPTURE(path);
        CHECK_NOTHROW(stoutloom::testing::exercise_reader(stoutloom::testing::file_text(path)));
    }
}
