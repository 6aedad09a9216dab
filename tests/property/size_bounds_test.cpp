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
    int measured = 0, thin = 0; // rows about what measures, about thin grounds in loops
};

void hold(const std::vector<size::Row>& rows, const std::vector<JudgedChoice>& all) {
    for (const size::Row& row : rows)
        for (const JudgedChoice& one : all)
            if (one.judged->good)
                REQUIRE_MESSAGE(size::holds(row, one.assignment), row.why);
}

void count_kinds(const std::vector<size::Row>& rows, Tally& tally) {
    for (const size::Row& row : rows) {
        tally.measured += row.why.starts_with("signal-return") ? 1 : 0;
        tally.thin += row.why.starts_with("return-loop") ? 1 : 0;
    }
}

void compare(const model::Harness& harness, const size::Choices& choices, Tally& tally,
             const std::optional<size::FailuresAsked>& failures = {}) {
    size::Judge judge(harness, choices, failures);
    const std::vector<JudgedChoice> all = every_choice(choices, judge);
    const check::Facts& facts = all.front().judged->facts;
    size::BoundsProver prover(harness, choices, facts, &judge.standing());
    const size::StaticRules rules(harness, choices, facts);
    size::FailureProver without(harness, choices);
    size::Explainer explainer(choices, prover, rules, without);
    const size::Bounds bounds = prover.prove(size::all_open(choices), true);
    hold(bounds.rows, all);
    tally.rows += static_cast<int>(bounds.rows.size());
    count_kinds(bounds.rows, tally);
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
        count_kinds(learnt, tally);
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
    for (int kits = 0; kits < 60; ++kits) {
        const testing::OpenKit kit = testing::random_open_kit(source, {.automatic = 3, .sections = 2});
        INFO(kit.text);
        compare(kit.harness, kit.choices, tally);
    }
    MESSAGE(tally.good, " good and ", tally.bad, " bad choices; ", tally.rows, " rows beforehand, ",
            tally.learnt, " learnt from bad choices");
    CHECK(tally.good > 100);
    CHECK(tally.bad > 100);
}

TEST_CASE("what a single failure burns forbids no kit that stands it") {
    auto source = testing::random_source("size bounds after failures");
    Tally tally;
    for (int kits = 0; kits < 40; ++kits) {
        const testing::OpenKit kit =
            testing::random_open_kit(source, {.automatic = 3, .sections = 3, .second_ways = true});
        INFO(kit.text);
        compare(kit.harness, kit.choices, tally, size::FailuresAsked{});
    }
    MESSAGE(tally.good, " good and ", tally.bad, " bad choices, ", tally.by_failure,
            " of them only after a failure; ", tally.learnt, " rows learnt, ", tally.alone,
            " of one choice alone");
    CHECK(tally.good > 30);
    CHECK(tally.by_failure > 3);
}

TEST_CASE("rows about what measures and about thin grounds forbid no good kit") {
    auto source = testing::random_source("size bounds of grounds");
    Tally tally;
    for (int kits = 0; kits < 60; ++kits) {
        const testing::OpenKit kit = testing::random_open_kit(
            source, {.automatic = 4, .sections = 3, .measures = true, .second_ways = true});
        INFO(kit.text);
        compare(kit.harness, kit.choices, tally);
    }
    MESSAGE(tally.good, " good and ", tally.bad, " bad choices; ", tally.measured,
            " rows about what measures, ", tally.thin, " about thin grounds");
    CHECK(tally.good > 100);
    CHECK(tally.measured > 50);
    CHECK(tally.thin > 20);
}

TEST_CASE("a return that loses more in a duty that is not the heaviest forbids no good kit") {
    // The pump is fed from the unit's own post: in the second duty the strap carries more, the long feed next
    // to nothing.
    const auto got =
        read::read_text("pump.xml", R"(<harness xmlns="urn:stoutloom:harness:1" title="Pump" nominal="12 V">
<zone id="z" ambient="40 degC"/>
<battery id="G2" zone="z" capacity="100 Ah" cold-cranking="800 A"/>
<generator id="G1" zone="z" set-point="14.2 V" return="case" mass="U2">
<output speed="idle" cold="90 A" hot="90 A"/><output speed="rated" cold="130 A" hot="130 A"/>
<terminal id="B+" stud="M8" booted="yes"/></generator>
<mass id="U1" zone="z"><terminal id="a" stud="M8"/><terminal id="b" stud="M8"/></mass>
<mass id="U2" zone="z"><terminal id="a" stud="M8"/></mass>
<consumer id="E1" zone="z" draw="110 A" return="case" mass="U1"><terminal id="+" stud="M8"/></consumer>
<fuse-link id="F1" zone="z" type="SF51" rating="150 A"/>
<cable id="W1" section="auto" insulation="C" length="9 m" zone="z"><from at="G1.B+"/><to at="F1.a"/></cable>
<cable id="W2" section="50 mm2" insulation="C" length="0.1 m" zone="z"><from at="F1.b"/><to at="G2.+"/></cable>
<cable id="W3" section="50 mm2" insulation="C" length="0.5 m" zone="z"><from at="G1.B+"/><to at="E1.+"/></cable>
<cable id="W4" section="95 mm2" insulation="C" length="0.1 m" zone="z"><from at="G2.-"/><to at="U1.a"/></cable>
<cable id="W5" section="auto" insulation="C" length="3 m" zone="z"><from at="U1.b"/><to at="U2.a"/></cable>
<duty id="flat" engine="rated" charge="92 %" on="all" off="E1"/>
<duty id="full" engine="rated" charge="100 %" on="all"/>
<limit name="charging-feed-drop" value="2 V"/><limit name="charging-loop-drop" value="2.5 V"/>
<limit name="charging-return-drop" value="0.55 V"/><limit name="mass-shift" value="0.9 V"/>
<stock><conductor section="16 mm2"/><conductor section="25 mm2"/>
<conductor section="35 mm2"/><conductor section="50 mm2"/></stock>
</harness>
)");
    REQUIRE(got);
    const auto choices = size::choices_of(got->harness, size::marked(got->harness));
    REQUIRE(choices);
    REQUIRE(choices->list.size() == 2);
    Tally tally;
    compare(got->harness, *choices, tally);
    MESSAGE(tally.good, " good and ", tally.bad, " bad");
    CHECK(tally.good >= 1);
    CHECK(tally.bad > 1);
}

TEST_CASE("the rows of two systems that only a ground joins forbid no good kit") {
    // What measures counts from the nearer battery; each system has a source of its own to tell volts by.
    const auto got = read::read_text(
        "two.xml", R"(<harness xmlns="urn:stoutloom:harness:1" title="Two batteries" nominal="12 V">
<zone id="z" ambient="40 degC"/>
<battery id="G3" zone="z" capacity="120 Ah" cold-cranking="900 A"/>
<battery id="G4" zone="z" capacity="200 Ah" cold-cranking="900 A"/>
<generator id="G1" zone="z" set-point="14.2 V" return="case" mass="U1">
<output speed="idle" cold="50 A"/><output speed="rated" cold="90 A"/>
<terminal id="B+" stud="M8" booted="yes"/></generator>
<generator id="G2" zone="z" set-point="14.3 V" return="isolated">
<output speed="idle" cold="70 A"/><output speed="rated" cold="140 A"/>
<terminal id="B+" stud="M8" booted="yes"/><terminal id="B-" stud="M10"/></generator>
<mass id="U1" zone="z"><terminal id="a" stud="M12"/><terminal id="b" stud="M10"/></mass>
<consumer id="E1" zone="z" draw="28 A" return="case" mass="U1"><terminal id="+" stud="M6"/></consumer>
<consumer id="E3" zone="z" power="900 W" symbol="electronics">
<terminal id="+" stud="M8"/><terminal id="-" stud="M10"/></consumer>
<cable id="W1" section="16 mm2" insulation="C" length="0.2 m" zone="z"><from at="G1.B+"/><to at="G3.+"/></cable>
<cable id="W4" section="auto" length="0.7 m" zone="z"><from at="G3.-"/><to at="U1.a"/></cable>
<cable id="W6" section="50 mm2" insulation="C" length="0.2 m" zone="z"><from at="G2.B+"/><to at="G4.+"/></cable>
<cable id="W8" section="50 mm2" insulation="C" length="2 m" zone="z"><from at="G2.B-"/><to at="G4.-"/></cable>
<cable id="W9" section="16 mm2" length="0.2 m" zone="z"><from at="G3.+"/><to at="E1.+"/></cable>
<cable id="W17" section="16 mm2" insulation="C" length="0.2 m" zone="z"><from at="G4.+"/><to at="E3.+"/></cable>
<cable id="W18" section="auto" length="1.3 m" zone="z"><from at="E3.-"/><to at="G4.-"/></cable>
<cable id="W19" section="auto" length="1.2 m" zone="z"><from at="G4.-"/><to at="U1.b"/></cable>
<duty id="idle" engine="idle" on="all"/><duty id="rated" engine="rated" charge="20 %" on="all"/>
<limit name="mass-shift" value="0.176 V"/><limit name="charging-return-drop" value="0.4 V"/>
<limit name="charging-loop-drop" value="0.8 V"/>
<stock><conductor section="6 mm2"/><conductor section="16 mm2"/>
<conductor section="35 mm2"/><conductor section="70 mm2"/></stock>
</harness>)");
    REQUIRE(got);
    const auto choices = size::choices_of(got->harness, size::marked(got->harness));
    REQUIRE(choices);
    REQUIRE(choices->list.size() == 3);
    Tally tally;
    compare(got->harness, *choices, tally);
    MESSAGE(tally.good, " good and ", tally.bad, " bad choices; ", tally.measured,
            " rows about what measures, ", tally.alone, " of one choice alone");
    CHECK(tally.good > 3);
    CHECK(tally.bad > 3);
    CHECK(tally.measured > 3);
    CHECK(tally.alone == 0);
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
