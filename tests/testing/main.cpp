// The one main of every test executable. `--seed=N` (or STOUTLOOM_SEED) repeats a random run;
// STOUTLOOM_LEAVE_OUT names cases that are run elsewhere.
#define DOCTEST_CONFIG_IMPLEMENT
#include <doctest/doctest.h>

#include "testing/testing.h"

#include <cstdlib>
#include <cstring>

int main(int argc, char** argv) {
    for (int i = 1; i < argc; ++i)
        if (std::strncmp(argv[i], "--seed=", 7) == 0)
            stoutloom::testing::set_seed(std::strtoull(argv[i] + 7, nullptr, 10));
    doctest::Context context(argc, argv);
    if (const char* left_out = std::getenv("STOUTLOOM_LEAVE_OUT"))
        context.addFilter("test-case-exclude", left_out);
    return context.run();
}
