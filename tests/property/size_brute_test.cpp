// Sizing against trying every choice from stock, on random small kits. The brute force shares nothing with
// the search but the question "does this kit clear the rules", which it puts to the check itself.
#include "property/size_kits.h"
#include "read/read.h"
#include "size/size.h"
#include "size/verdict.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

namespace {

using namespace stoutloom;

struct Brute {
    std::optional<std::int64_t> cost;
    std::size_t tried = 0;
};

Brute brute_force(const model::Harness& harness, const size::Choices& choices) {
    Brute brute;
    size::Judge judge(harness, choices);
    const auto variables = choices.variables();
    size::Assignment choice(choices.list.size(), 0);
    for (;;) {
        ++brute.tried;
        const std::int64_t cost = size::cost_of(variables, choice);
        if ((!brute.cost || cost < *brute.cost) && judge.judge(choice)->good)
            brute.cost = cost;
        std::size_t i = 0;
        for (; i < choice.size(); ++i) {
            if (++choice[i] < choices.list[i].options.size())
                break;
            choice[i] = 0;
        }
        if (i == choice.size())
            return brute;
    }
}

} // namespace

TEST_CASE("sizing equals trying every choice on five hundred random kits") {
    auto source = testing::random_source("size brute force");
    int kits = 0, solved = 0, impossible = 0;
    std::size_t tried = 0;
    std::int64_t asked = 0, single = 0;
    while (kits < 500) {
        const std::string text = testing::random_size_kit(source, {.automatic = 3, .sections = 3});
        const auto got = read::read_text("random.xml", text);
        REQUIRE_MESSAGE(got, text);
        const auto choices = size::choices_of(got->harness, size::marked(got->harness));
        REQUIRE_MESSAGE(choices, text);
        if (choices->list.empty())
            continue;
        ++kits;
        const Brute brute = brute_force(got->harness, *choices);
        tried += brute.tried;
        const auto sizing = size::size_kit(
            got->harness, {.too_small = false, .sensitivity = false, .relaxations = false, .limits = {}});
        INFO(text);
        REQUIRE(sizing.has_value() == brute.cost.has_value());
        if (!sizing) {
            ++impossible;
            CHECK(sizing.error().proven);
            CHECK(!sizing.error().conflict.empty());
            continue;
        }
        ++solved;
        REQUIRE(sizing->proven);
        REQUIRE(size::cost_of(choices->variables(), sizing->assignment) == *brute.cost);
        asked += sizing->proof.questions;
        single += sizing->effort.single;
    }
    MESSAGE(solved, " kits solved, ", impossible, " impossible; ", tried, " choices tried by force; ", asked,
            " asked by the search, ", single, " of them without a wider proof");
    CHECK(solved > 100);
    CHECK(impossible > 20);
}
