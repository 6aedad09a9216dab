// The pieces that the proof of a sizing is made of, each against every choice of random small kits judged by
// the check: a row is kept by all good choices, a bad choice breaks the rows learnt from it, and no interval
// misses what the solver finds. The proof's other half, the search over rows, is held in tests/unit/size and
// against another solver in tests/cross.
#include "property/size_kits.h"
#include "read/read.h"
#include "size/explain.h"
#include "size/size.h"
#include "size/verdict.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

namespace {

using namespace stoutloom;

struct JudgedChoice {
    size::Assignment assignment;
    std::shared_ptr<const size::Judged> judged;
};

std::vector<JudgedChoice> every_choice(const size::Choices& choices, size::Judge& judge) {
    std::vector<JudgedChoice> all;
    size::Assignment choice(choices.list.size(), 0);
    for (;;) {
        all.push_back({choice, judge.judge(choice)});
        std::size_t i = 0;
        for (; i < choice.size() && ++choice[i] == choices.list[i].options.size(); ++i)
            choice[i] = 0;
        if (i == choice.size())
            return all;
    }
}

struct Tally {
    int good = 0, bad = 0, rows = 0, learnt = 0, by_failure = 0, alone = 0;
};

void hold(const std::vector<size::Row>& rows, const std::vector<JudgedChoice>& all) {
    for (const size::Row& row : rows)
        for (const JudgedChoice& one : all)
            if (one.judged->good)
                REQUIRE_MESSAGE(size::holds(row, one.assignment), row.why);
}

void compare(const model::Harness& harness, const size::Choices& choices, Tally& tally,
             const std::optional<size::FailuresAsked>& failures = {}) {
    size::Judge judge(harness, choices, failures);
    const std::vector<JudgedChoice> all = every_choice(choices, judge);
    const check::Facts& facts = all.front().judged->facts;
    size::BoundsProver prover(harness, choices, facts);
    const size::StaticRules rules(harness, choices, facts);
    size::FailureProver without(harness, choices);
    size::Explainer explainer(choices, prover, rules, without);
    const size::Bounds bounds = prover.prove(size::all_open(choices), true);
    hold(bounds.rows, all);
    tally.rows += static_cast<int>(bounds.rows.size());
    for (const JudgedChoice& one : all) {
        if (one.judged->good) {
            ++tally.good;
            REQUIRE_MESSAGE(bounds.possible, bounds.why);
            CHECK(prover.contradicted_by(one.judged->facts, one.assignment).empty());
            for (std::size_t i = 0; i < one.assignment.size(); ++i)
                CHECK((bounds.open[i] >> one.assignment[i] & 1) == 1);
            continue;
        }
        ++tally.bad;
        const std::vector<size::Row> learnt = explainer.rows_against(*one.judged, one.assignment);
        tally.learnt += static_cast<int>(learnt.size());
        tally.by_failure += one.judged->failures.empty() ? 0 : 1;
        CHECK(std::any_of(learnt.begin(), learnt.end(),
                          [&](const size::Row& row) { return !size::holds(row, one.assignment); }));
        hold(learnt, all);
    }
    tally.alone += static_cast<int>(explainer.effort().single);
}

} // namespace

TEST_CASE("every row of a proof is kept by every good choice") {
    auto source = testing::random_source("size bounds");
    Tally tally;
    for (int kits = 0; kits < 60;) {
        const std::string text = testing::random_size_kit(source, {.automatic = 3, .sections = 2});
        const auto got = read::read_text("random.xml", text);
        REQUIRE_MESSAGE(got, text);
        const auto choices = size::choices_of(got->harness, size::marked(got->harness));
        REQUIRE_MESSAGE(choices, text);
        if (choices->list.empty())
            continue;
        ++kits;
        INFO(text);
        compare(got->harness, *choices, tally);
    }
    MESSAGE(tally.good, " good and ", tally.bad, " bad choices; ", tally.rows, " rows beforehand, ",
            tally.learnt, " learnt from bad choices");
    CHECK(tally.good > 100);
    CHECK(tally.bad > 100);
}

TEST_CASE("what a single failure burns forbids no kit that stands it") {
    auto source = testing::random_source("size bounds after failures");
    Tally tally;
    for (int kits = 0; kits < 40;) {
        const std::string text =
            testing::random_size_kit(source, {.automatic = 3, .sections = 3, .second_ways = true});
        const auto got = read::read_text("random.xml", text);
        REQUIRE_MESSAGE(got, text);
        const auto choices = size::choices_of(got->harness, size::marked(got->harness));
        REQUIRE_MESSAGE(choices, text);
        if (choices->list.empty())
            continue;
        ++kits;
        INFO(text);
        compare(got->harness, *choices, tally, size::FailuresAsked{});
    }
    MESSAGE(tally.good, " good and ", tally.bad, " bad choices, ", tally.by_failure,
            " of them only after a failure; ", tally.learnt, " rows learnt, ", tally.alone,
            " of one choice alone");
    CHECK(tally.good > 30);
    CHECK(tally.by_failure > 3);
}

TEST_CASE("the rows of a coach whose grounds are a mesh are kept by every good choice") {
    std::string text = testing::file_text(testing::tree_path("harnesses/coach.xml"));
    for (const char* cable : {"W9", "W11", "W12", "W14"}) {
        const std::size_t begin = text.find(std::string("id=\"") + cable + "\" section=\"");
        const std::size_t from = text.find("section=\"", begin) + 9, to = text.find('"', from);
        text.replace(from, to - from, "auto");
    }
    const auto got = read::read_text("coach.xml", text);
    REQUIRE(got);
    auto choices = size::choices_of(got->harness, size::marked(got->harness));
    REQUIRE(choices);
    REQUIRE(choices->list.size() == 4);
    for (size::Choice& choice : choices->list) { // two of each, the smaller too thin
        std::vector<size::Option> kept;
        for (const size::Option& option : choice.options)
            for (const double section_mm2 : choice.id < "W12" || choice.id == "W9"
                                                ? std::vector<double>{50, 95}
                                                : std::vector<double>{10, 50})
                if (option.value == section_mm2)
                    kept.push_back(option);
        REQUIRE(kept.size() == 2);
        choice.options = std::move(kept);
    }
    Tally tally;
    compare(got->harness, *choices, tally);
    MESSAGE(tally.good, " good and ", tally.bad, " bad choices; ", tally.rows, " rows beforehand, ",
            tally.learnt, " learnt from bad choices, ", tally.alone, " of one choice alone");
    CHECK(tally.good > 1);
    CHECK(tally.bad > 1);
    CHECK(tally.learnt > 5);
}
