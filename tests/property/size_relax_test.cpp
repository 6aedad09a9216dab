// What would free a kit that the stock cannot make good, against trying every change on every choice.
#include "property/size_relax_kits.h"

#include <doctest/doctest.h>

#include <map>
#include <set>

using namespace stoutloom;
using namespace stoutloom::testing;

namespace {

/// A change to one run, in the words that tell it; sections that the stock lacks are told by what came of it.
struct Change {
    std::size_t run = 0;
    std::string words; // "{}" stands for the section
    std::function<void(Kit&)> make;
    bool beyond_stock = false;
};
std::vector<Change> changes_of(const Kit& kit, std::size_t run) {
    const std::string id = fmt::format("W{}", run + 1);
    std::vector<Change> all = {{run, id + " as two in parallel, each with its own fuse-links",
                                [run](Kit& made) { made.runs[run].parallel = 2; }},
                               {run, id + " of {}, which the stock lacks", [](Kit&) {}, true}};
    for (int tenths = 9; tenths >= 5; --tenths)
        all.push_back({run,
                       fmt::format("{} of {:.2f} m at most instead of {:.2f} m", id,
                                   kit.runs[run].length_m * tenths / 10, kit.runs[run].length_m),
                       [run, tenths](Kit& made) { made.runs[run].length_m *= tenths / 10.0; }});
    for (int cooler_k = 10; cooler_k <= 40 && kit.runs[run].ambient_degc - cooler_k >= 30; cooler_k += 10)
        all.push_back({run,
                       fmt::format("{} on a route of {:.0f} degC at most where it now runs through hot{}", id,
                                   kit.runs[run].ambient_degc - cooler_k, run + 1),
                       [run, cooler_k](Kit& made) { made.runs[run].ambient_degc -= cooler_k; }});
    all.push_back({run, id + " with insulation of class D (150 degC)",
                   [run](Kit& made) { made.runs[run].insulation = "D"; }});
    return all;
}

using Told = std::map<std::string, double>; // words, copper

/// The kit with these changes at its least, told as the program tells it; nothing where they do not free it.
std::optional<std::pair<std::string, double>> freed_by(const Kit& kit, const std::vector<Change>& changes) {
    Kit made = kit;
    std::vector<std::vector<std::string>> lists(kit.runs.size(), kit.stock);
    for (const Change& change : changes) {
        change.make(made);
        if (change.beyond_stock)
            for (const std::string& section : all_made)
                if (const std::string named = section + " mm2";
                    std::find(kit.stock.begin(), kit.stock.end(), named) == kit.stock.end())
                    lists[change.run].push_back(named);
    }
    const auto best = least(made, lists);
    if (!best)
        return std::nullopt;
    std::string words;
    for (const Change& change : changes) {
        std::string one = change.words;
        if (const auto place = one.find("{}"); place != std::string::npos)
            one.replace(place, 2, best->runs[change.run].section);
        words += (words.empty() ? "" : "; and ") + one;
    }
    return std::pair{words, copper_kg(*best)};
}

/// Every change of one run by itself; of shorter runs and cooler routes the least change that does.
Told singles(const Kit& kit) {
    Told told;
    for (std::size_t run = 0; run < kit.runs.size(); ++run) {
        bool shorter = false, cooler = false;
        for (const Change& change : changes_of(kit, run)) {
            const bool is_shorter = change.words.find(" instead of ") != std::string::npos,
                       is_cooler = change.words.find(" on a route ") != std::string::npos;
            if ((is_shorter && shorter) || (is_cooler && cooler))
                continue;
            if (const auto freed = freed_by(kit, {change})) {
                told.insert(*freed);
                shorter = shorter || is_shorter;
                cooler = cooler || is_cooler;
            }
        }
    }
    return told;
}

Told told_of(const size::NoKit& none) {
    Told told;
    for (const size::Relaxation& one : none.relaxations)
        told.emplace(one.what, one.copper_kg);
    CHECK(told.size() == none.relaxations.size());
    CHECK(std::is_sorted(none.relaxations.begin(), none.relaxations.end(), [](const auto& a, const auto& b) {
        return a.copper_kg < b.copper_kg && a.what.find("drop limit") == std::string::npos;
    }));
    return told;
}

std::string listed(const Told& told) {
    std::string text;
    for (const auto& [words, kg] : told)
        text += fmt::format("  {} ({:.4f} kg)\n", words, kg);
    return text;
}

void same(const Told& told, const Told& expected) {
    CAPTURE(listed(told));
    CAPTURE(listed(expected));
    REQUIRE(told.size() == expected.size());
    for (auto a = told.begin(), b = expected.begin(); a != told.end(); ++a, ++b) {
        CHECK(a->first == b->first);
        CHECK(a->second == doctest::Approx(b->second).epsilon(1e-9));
    }
}

} // namespace

TEST_CASE(
    "changes of one cable that free a kit are those that trying them all finds and at the same copper") {
    const std::vector<Kit> kits = {
        // Too hot for its insulation: cooler, better, doubled or thicker, but not shorter.
        {.runs = {{.current_a = 45, .fuse_a = 57, .length_m = 2, .ambient_degc = 75}},
         .stock = {"4 mm2", "6 mm2"}},
        // Too many volts lost: shorter, doubled or thicker, but neither cooler nor better.
        {.runs = {{.current_a = 40, .length_m = 6, .ambient_degc = 60, .critical = true}},
         .stock = {"10 mm2", "16 mm2"}},
        // Of the sections that the stock lacks the least that is made: not the next special order.
        {.runs = {{.current_a = 40, .length_m = 5, .ambient_degc = 40, .critical = true}},
         .stock = {"6 mm2", "10 mm2"}},
        // Only one of two cables is in the way.
        {.runs = {{.current_a = 45, .fuse_a = 57, .length_m = 2, .ambient_degc = 75},
                  {.current_a = 20, .fuse_a = 30, .length_m = 2}},
         .stock = {"4 mm2", "6 mm2"}},
    };
    for (const Kit& kit : kits) {
        CAPTURE(kit.text());
        const size::NoKit none = none_of(kit);
        const Told told = told_of(none), expected = singles(kit);
        REQUIRE_FALSE(expected.empty());
        same(told, expected);
        CHECK_FALSE(none.relaxing_ended);
        MESSAGE(listed(told));
    }
}

TEST_CASE("two cables that each need a change are told together in like and in mixed ways") {
    const Kit kit = two_runs();
    REQUIRE(singles(kit).empty());
    const size::NoKit none = none_of(kit);
    // Both consumers are told of, not only one.
    REQUIRE(none.conflicts.size() == 2);
    std::set<std::string> rules;
    for (const size::Conflict& conflict : none.conflicts)
        rules.insert(conflict.begin(), conflict.end());
    CHECK(rules == std::set<std::string>{"consumer-drop E1", "consumer-drop E2"});
    CHECK_FALSE(none.more_conflicts);

    Told expected; // every pair of ways; of shorter runs a fifth less is tried
    for (const Change& one : changes_of(kit, 0))
        for (const Change& other : changes_of(kit, 1)) {
            const auto tried = [](const Change& change) {
                return change.words.find(" on a route ") == std::string::npos &&
                       (change.words.find(" instead of ") == std::string::npos ||
                        change.words.find("2.72 m at most") != std::string::npos ||
                        change.words.find("3.20 m at most") != std::string::npos);
            };
            if (tried(one) && tried(other))
                if (const auto freed = freed_by(kit, {one, other}))
                    expected.insert(*freed);
        }
    // Both of sections that the stock lacks is told in one.
    const auto both = freed_by(kit, {changes_of(kit, 0)[1], changes_of(kit, 1)[1]});
    REQUIRE(both);
    expected.erase(both->first);
    expected.emplace("W1 of 16 mm2 and W2 of 25 mm2, which the stock lacks", both->second);
    CHECK(both->first == "W1 of 16 mm2, which the stock lacks; and W2 of 25 mm2, which the stock lacks");
    same(told_of(none), expected);
}

TEST_CASE("three cables that each need a change are told as all larger and as all doubled that have to be") {
    Kit kit = two_runs();
    kit.runs.push_back({.length_m = 3.6, .critical = true});
    kit.runs.push_back({.current_a = 10, .fuse_a = 20, .length_m = 1}); // good as it is
    const size::NoKit none = none_of(kit);
    CHECK(none.conflicts.size() == 3);
    const std::string twice = " as two in parallel, each with its own fuse-links";
    Told expected;
    Kit larger = kit, doubled = kit;
    std::vector<std::vector<std::string>> lists(4, kit.stock);
    for (std::size_t run = 0; run < 3; ++run)
        lists[run] = {"16 mm2", "25 mm2"}; // what the stock has was shown to be too small
    const auto best = least(larger, lists);
    REQUIRE(best);
    expected.emplace(fmt::format("W1 of {} and W2 of {} and W3 of {}, which the stock lacks",
                                 best->runs[0].section, best->runs[1].section, best->runs[2].section),
                     copper_kg(*best));
    for (std::size_t run = 0; run < 3; ++run)
        doubled.runs[run].parallel = 2;
    const auto in_two = least(doubled, std::vector<std::vector<std::string>>(4, kit.stock));
    REQUIRE(in_two);
    expected.emplace("W1" + twice + "; and W2" + twice + "; and W3" + twice, copper_kg(*in_two));
    same(told_of(none), expected);
}

TEST_CASE("trying changes ends by its limit of work and says so") {
    const model::Harness harness = read_kit(two_runs());
    const auto with = [&](size::RelaxLimits work) {
        size::SizeOptions options;
        options.relaxing = work;
        const auto sizing = size::size_kit(harness, options);
        REQUIRE_FALSE(sizing);
        return sizing.error();
    };
    const size::NoKit all = with({});
    CHECK_FALSE(all.relaxing_ended);
    REQUIRE(all.relaxations.size() == 4);
    const size::NoKit no_pairs = with({.questions = 300, .pairs = 0});
    CHECK(no_pairs.relaxing_ended);
    CHECK(no_pairs.relaxations.size() == 1); // sections for all, which is no pair
    const size::NoKit one_judged = with({.questions = 1, .pairs = 300});
    CHECK(one_judged.relaxing_ended);
    CHECK(one_judged.relaxations.size() == 1);
}
