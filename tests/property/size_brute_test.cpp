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
    std::size_t choices = 0, tried = 0;
};

std::vector<size::Assignment> every_assignment(const size::Choices& choices) {
    std::vector<size::Assignment> all;
    size::Assignment choice(choices.list.size(), 0);
    for (;;) {
        all.push_back(choice);
        std::size_t i = 0;
        for (; i < choice.size(); ++i) {
            if (++choice[i] < choices.list[i].options.size())
                break;
            choice[i] = 0;
        }
        if (i == choice.size())
            return all;
    }
}

/// From the lightest choice up: the first good one is the least, and all that are lighter were tried and are
/// bad.
Brute brute_force(const model::Harness& harness, const size::Choices& choices) {
    size::Judge judge(harness, choices);
    const auto variables = choices.variables();
    std::vector<size::Assignment> all = every_assignment(choices);
    std::stable_sort(all.begin(), all.end(), [&](const size::Assignment& one, const size::Assignment& other) {
        return size::cost_of(variables, one) < size::cost_of(variables, other);
    });
    Brute brute{.cost = {}, .choices = all.size(), .tried = 0};
    for (const size::Assignment& choice : all) {
        ++brute.tried;
        if (judge.judge(choice)->good) {
            brute.cost = size::cost_of(variables, choice);
            break;
        }
    }
    return brute;
}

} // namespace

TEST_CASE("sizing equals trying every choice on five hundred random kits") {
    auto source = testing::random_source("size brute force");
    int kits = 0, solved = 0, impossible = 0, in_between = 0;
    std::size_t choices_in_all = 0, tried = 0;
    std::int64_t asked = 0, single = 0;
    while (kits < 500) {
        // Three things of three sizes are forty choices and more, two of two a dozen: most kits are the small
        // ones.
        const testing::KitOptions shape = {.automatic = kits % 20 == 0 ? 3 : 2,
                                           .sections = kits % 10 < 3 ? 3 : 2};
        const std::string text = testing::random_size_kit(source, shape);
        const auto got = read::read_text("random.xml", text);
        REQUIRE_MESSAGE(got, text);
        const auto choices = size::choices_of(got->harness, size::marked(got->harness));
        REQUIRE_MESSAGE(choices, text);
        if (choices->list.empty())
            continue;
        ++kits;
        const Brute brute = brute_force(got->harness, *choices);
        choices_in_all += brute.choices;
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
        const auto smallest = size::Assignment(sizing->assignment.size(), 0);
        auto largest = smallest;
        for (std::size_t i = 0; i < largest.size(); ++i)
            largest[i] = choices->list[i].options.size() - 1;
        in_between += sizing->assignment != smallest && sizing->assignment != largest ? 1 : 0;
        asked += sizing->proof.questions;
        single += sizing->effort.single;
    }
    MESSAGE(solved, " kits solved, ", in_between, " of them neither all at least nor all at most, ",
            impossible, " impossible; ", choices_in_all, " choices, ", tried, " of them tried by force; ",
            asked, " asked by the search, ", single, " of them without a wider proof");
    CHECK(solved > 350);
    CHECK(in_between > 150);
    CHECK(impossible > 20);
}
