// The sizing of a large kit comes to its proof, and the proof can be looked at again: what it chose is good
// by the check, and no cable of it can be one size smaller.
#include "read/read.h"
#include "size/size.h"
#include "size/verdict.h"

#include "testing/ladder_kit.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <chrono>

using namespace stoutloom;

TEST_CASE("a kit of sixty cables with forty automatic ones is chosen to proven optimality") {
    const testing::LadderKit ladder(7, 40);
    REQUIRE(ladder.cables() == 60);
    REQUIRE(ladder.automatic() == 40);
    const auto got = read::read_text("ladder.xml", ladder.text());
    REQUIRE(got);
    const auto begin = std::chrono::steady_clock::now();
    const auto sizing = size::size_kit(
        got->harness, {.too_small = false, .sensitivity = false, .relaxations = false, .limits = {}});
    const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    REQUIRE(sizing);
    REQUIRE(sizing->proven);
    CHECK(sizing->chosen.size() == 40);
    MESSAGE(sizing->copper_kg, " kg in ", seconds, " s, ", sizing->proof.effort.nodes, " nodes, ",
            sizing->proof.questions, " choices judged, bound ", sizing->proof.lower_bound);
    const auto choices = size::choices_of(got->harness, size::marked(got->harness));
    REQUIRE(choices);
    CHECK(sizing->proof.lower_bound == size::cost_of(choices->variables(), sizing->assignment));
    CHECK(size::Judge(got->harness, *choices).judge(sizing->assignment)->good);
    // Few enough for seconds on any machine; the count is the same on all of them.
    CHECK(sizing->proof.effort.nodes < 2'000'000);
    int with_smaller = 0;
    for (const size::Chosen& chosen : sizing->chosen) {
        INFO(chosen.id);
        if (chosen.smaller_text.empty())
            continue;
        ++with_smaller;
        CHECK(!chosen.smaller_breaks.empty());
    }
    CHECK(with_smaller > 20);
}

TEST_CASE("a search ended by its limit tells a good kit and the bound but no proof") {
    const testing::LadderKit ladder(7, 10);
    const auto got = read::read_text("ladder.xml", ladder.text());
    REQUIRE(got);
    size::SizeOptions options{.too_small = false, .sensitivity = false, .relaxations = false, .limits = {}};
    const auto proven = size::size_kit(got->harness, options);
    REQUIRE(proven);
    REQUIRE(proven->proof.questions > 1);
    options.limits.questions = 1;
    const auto ended = size::size_kit(got->harness, options);
    REQUIRE(ended);
    CHECK(!ended->proven);
    const auto choices = size::choices_of(got->harness, size::marked(got->harness));
    REQUIRE(choices);
    CHECK(size::Judge(got->harness, *choices).judge(ended->assignment)->good);
    const auto least = size::cost_of(choices->variables(), proven->assignment);
    CHECK(ended->proof.lower_bound <= least);
    CHECK(size::cost_of(choices->variables(), ended->assignment) >= least);
    options.limits.near_kit = false;
    CHECK(!size::size_kit(got->harness, options));
}
