// Sizing against trying every choice from stock, on random small kits. The brute force shares nothing with
// the search but the question "does this kit clear the rules", which it puts to the check itself.
#include "property/size_kits.h"
#include "read/read.h"
#include "size/fittings.h"
#include "size/size.h"
#include "size/solution.h"
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

/// Whether the stock has each lug that the choice hangs on, and each goes on its stud.
bool had_from_stock(const model::Harness& harness, const size::Choices& choices,
                    const size::Assignment& choice) {
    const model::Harness made = size::applied(harness, choices, choice);
    for (std::size_t c = 0; c < made.cables.size(); ++c)
        for (const int side : {0, 1}) {
            const auto& before = side == 0 ? harness.cables[c].from : harness.cables[c].to;
            const auto& end = side == 0 ? made.cables[c].from : made.cables[c].to;
            if (!harness.cables[c].automatic && !base::is_to_choose(before.lug))
                continue;
            if (!size::lug_in_stock(made, made.cables[c].section_mm2.value, end.lug) ||
                !base::matches(end.lug, made.terminal(end.at).stud))
                return false;
        }
    return true;
}

/// From the lightest choice up: the first good one is the least, and all that are lighter were tried and are
/// bad.
Brute brute_force(const model::Harness& harness, const size::Choices& choices, size::Judge& judge) {
    judge.keep(10'000); // the search asks the same questions afterwards
    std::vector<std::pair<std::int64_t, size::Assignment>> all;
    for (size::Assignment& choice : every_assignment(choices))
        if (had_from_stock(harness, choices, choice))
            all.emplace_back(size::cost_of(harness, choices, choice), std::move(choice));
    std::stable_sort(all.begin(), all.end(),
                     [](const auto& one, const auto& other) { return one.first < other.first; });
    Brute brute{.cost = {}, .choices = all.size(), .tried = 0};
    for (const auto& [cost, choice] : all) {
        ++brute.tried;
        if (judge.judge(choice)->good) {
            brute.cost = cost;
            break;
        }
    }
    return brute;
}

/// What the chosen things cost by the stock's own list, lugs included.
double price_by_list(const model::Harness& before, const model::Harness& made) {
    double sum = 0;
    for (std::size_t c = 0; c < made.cables.size(); ++c) {
        const model::Cable& cable = made.cables[c];
        for (const model::StockConductor& one : made.stock.conductors)
            if (before.cables[c].automatic && one.section_mm2.value == cable.section_mm2.value)
                sum += *one.ordering.price * cable.length_m.value * cable.parallel;
        for (const int side : {0, 1}) {
            const auto& end = side == 0 ? cable.from : cable.to;
            const bool open =
                base::is_to_choose((side == 0 ? before.cables[c].from : before.cables[c].to).lug) ||
                before.cables[c].automatic;
            for (const model::StockLug& lug : made.stock.lugs)
                if (open && lug.section_mm2 == cable.section_mm2.value && lug.stud == end.lug.name)
                    sum += *lug.ordering.price * cable.parallel;
        }
    }
    for (std::size_t d = 0; d < made.devices.size(); ++d) {
        const auto* was = std::get_if<model::FuseLink>(&before.devices[d].data);
        if (was == nullptr || !was->automatic)
            continue;
        const auto& link = std::get<model::FuseLink>(made.devices[d].data);
        for (const model::StockLink& one : made.stock.links)
            if (one.type == link.type && one.rating_a.value == link.rating_a.value)
                sum += *one.ordering.price;
    }
    return sum;
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
        const testing::OpenKit kit = testing::random_open_kit(source, shape);
        ++kits;
        size::Judge judge(kit.harness, kit.choices);
        const Brute brute = brute_force(kit.harness, kit.choices, judge);
        choices_in_all += brute.choices;
        tried += brute.tried;
        const size::Solution sizing = size::solve_choices(kit.harness, kit.choices, {}, judge);
        INFO(kit.text);
        REQUIRE(sizing.proof.complete);
        REQUIRE(sizing.best.has_value() == brute.cost.has_value());
        if (!sizing.best) {
            ++impossible;
            CHECK(!sizing.conflicts.empty());
            continue;
        }
        ++solved;
        REQUIRE(sizing.cost == *brute.cost);
        REQUIRE(size::cost_of(kit.choices.variables(), *sizing.best) == *brute.cost);
        const auto smallest = size::Assignment(sizing.best->size(), 0);
        auto largest = smallest;
        for (std::size_t i = 0; i < largest.size(); ++i)
            largest[i] = kit.choices.list[i].options.size() - 1;
        in_between += *sizing.best != smallest && *sizing.best != largest ? 1 : 0;
        if (solved % 20 == 0) { // from the front door, nothing shared
            const auto whole = size::size_kit(
                kit.harness, {.too_small = false, .sensitivity = false, .relaxations = false, .limits = {}});
            REQUIRE(whole);
            CHECK(whole->proven);
            CHECK(whole->assignment == *sizing.best);
        }
        asked += sizing.proof.questions;
        single += sizing.effort.single;
    }
    MESSAGE(solved, " kits solved, ", in_between, " of them neither all at least nor all at most, ",
            impossible, " impossible; ", choices_in_all, " choices, ", tried, " of them tried by force; ",
            asked, " asked by the search, ", single, " of them without a wider proof");
    CHECK(solved > 350);
    CHECK(in_between > 150);
    CHECK(impossible > 20);
}

TEST_CASE("studs and lugs are chosen with the sections as trying every choice would") {
    auto source = testing::random_source("size fittings by brute force");
    int kits = 0, solved = 0, impossible = 0, none_in_stock = 0, dearer_for_studs = 0, priced = 0;
    std::size_t tried = 0;
    while (kits < 80) {
        const bool by_price = kits % 3 == 0;
        const std::string text = testing::random_size_kit(
            source, {.automatic = 1 + kits % 2, .sections = 2, .fittings = 2, .priced = by_price});
        const auto got = read::read_text("random.xml", text);
        REQUIRE_MESSAGE(got, text);
        INFO(text);
        const auto choices = size::choices_of(got->harness, size::marked(got->harness));
        if (!choices) {
            ++none_in_stock;
            continue;
        }
        if (std::none_of(choices->list.begin(), choices->list.end(), [](const size::Choice& choice) {
                return choice.kind == size::ChoiceKind::stud || choice.kind == size::ChoiceKind::lug;
            }))
            continue;
        ++kits;
        size::Judge judge(got->harness, *choices);
        const Brute brute = brute_force(got->harness, *choices, judge);
        tried += brute.tried;
        const auto sizing = size::size_kit(
            got->harness, {.too_small = false, .sensitivity = false, .relaxations = false, .limits = {}});
        REQUIRE(sizing.has_value() == brute.cost.has_value());
        if (!sizing) {
            ++impossible;
            CHECK(sizing.error().proven);
            CHECK(!sizing.error().conflicts.empty());
            continue;
        }
        ++solved;
        REQUIRE(sizing->proven);
        REQUIRE(size::cost_of(got->harness, *choices, sizing->assignment) == *brute.cost);
        CHECK(size::marked(sizing->harness).studs.empty());
        CHECK(size::marked(sizing->harness).lugs.empty());
        dearer_for_studs += brute.tried > 1 ? 1 : 0;
        if (!sizing->by_price)
            continue;
        ++priced;
        CHECK(sizing->lugs_priced);
        CHECK(std::abs(sizing->price - price_by_list(got->harness, sizing->harness)) < 0.06);
    }
    MESSAGE(solved, " kits solved, ", priced, " of them by price, ", impossible, " impossible, ",
            none_in_stock, " that the stock has nothing for; ", tried,
            " choices tried by force, the first did in all but ", dearer_for_studs);
    CHECK(solved > 45);
    CHECK(priced > 12);
    CHECK(impossible > 5);
    CHECK(dearer_for_studs > 20);
}

TEST_CASE("a kit that stands every single failure is chosen as trying every choice would") {
    auto source = testing::random_source("size failures by brute force");
    int kits = 0, solved = 0, impossible = 0, dearer = 0;
    std::int64_t asked = 0, single = 0;
    while (kits < 80) {
        const testing::OpenKit kit =
            testing::random_open_kit(source, {.automatic = 2, .sections = 3, .second_ways = true}, 2);
        ++kits;
        INFO(kit.text);
        size::Judge judge(kit.harness, kit.choices, size::FailuresAsked{}), healthy(kit.harness, kit.choices);
        const Brute brute = brute_force(kit.harness, kit.choices, judge);
        const size::Solution sizing = size::solve_choices(kit.harness, kit.choices, {}, judge);
        REQUIRE(sizing.proof.complete);
        REQUIRE(sizing.best.has_value() == brute.cost.has_value());
        if (!sizing.best) {
            ++impossible;
            continue;
        }
        ++solved;
        REQUIRE(sizing.cost == *brute.cost);
        asked += sizing.proof.questions;
        single += sizing.effort.single;
        const size::Solution without = size::solve_choices(kit.harness, kit.choices, {}, healthy);
        CHECK(without.cost <= sizing.cost);
        dearer += without.cost < sizing.cost ? 1 : 0;
    }
    MESSAGE(solved, " kits solved, ", dearer, " of them dearer for the failures, ", impossible,
            " impossible; ", asked, " choices judged, ", single, " of them without a wider proof");
    CHECK(solved > 30);
    CHECK(dearer > 2);
}
