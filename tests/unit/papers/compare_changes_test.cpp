// What is built differently: one thing is changed in a file, and just that is told; both ways round.
#include "draw/draw.h"
#include "report/compare.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"
#include "unit/papers/random_kit.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>

using namespace stoutloom;
using namespace stoutloom::papers_test;
using report::Change;

namespace {

constexpr const char* kit_text =
    R"(<harness xmlns="urn:stoutloom:harness:1" title="Ferry punt" drawing="d" nominal="12 V">
<zone id="hold" ambient="40 degC"/> <zone id="deck" ambient="30 degC"/>
<battery id="G2" zone="hold" capacity="95 Ah" cold-cranking="760 A"><terminal id="+" stud="M8"/><terminal id="-" stud="M8"/></battery>
<fuse-link id="F1" zone="hold" type="SF51" rating="100 A"/>
<consumer id="E1" zone="deck" draw="40 A" return="wire" runs="always"><terminal id="+" stud="M6"/><terminal id="-" stud="M6"/></consumer>
<cable id="W1" section="35 mm2" insulation="B" colour="RD" length="0.1 m" zone="hold" origin="new"><from at="G2.+"/><to at="F1.a"/></cable>
<cable id="W2" section="35 mm2" insulation="B" colour="RD" length="2 m" origin="new"><from at="F1.b"/><to at="E1.+"/><route zone="hold" length="1 m"/><route zone="deck" length="1 m"/></cable>
<cable id="W3" section="35 mm2" insulation="B" colour="BK" length="2.1 m" origin="new"><from at="E1.-"/><to at="G2.-"/><route zone="hold" length="1.1 m"/><route zone="deck" length="1 m"/></cable>
</harness>)";

std::string with(const std::string& from, const std::string& to) {
    std::string text = kit_text;
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

std::vector<report::PartChange> changes(const std::string& before, const std::string& after) {
    const auto one = kit_of_text(before), other = kit_of_text(after);
    return report::changes_between(one->view, other->view);
}

struct Case {
    std::string from, to;
    std::string subject;
    Change what;
    std::string before, after;
    std::set<Change> besides{}; // what goes with it
};

} // namespace

TEST_CASE("what is changed in a file is told and nothing else is") {
    const std::vector<Case> cases = {
        {"<terminal id=\"+\" stud=\"M6\"/>",
         "<terminal id=\"+\" stud=\"M8\"/>",
         "E1.+",
         Change::stud,
         "M6",
         "M8",
         {Change::lug}},
        {"<to at=\"F1.a\"/>", "<to at=\"F1.a\" lug=\"5/16 in\"/>", "W1", Change::lug, "M8", "5/16 in"},
        {"<to at=\"F1.a\"/>",
         "<to at=\"F1.a\" barrel=\"50 mm2\"/>",
         "W1",
         Change::lug,
         "M8",
         "M8, barrel 50 mm2",
         {Change::sleeve}},
        {"type=\"SF51\" rating=\"100 A\"", "type=\"SF51\" rating=\"125 A\"", "F1", Change::fuse_link,
         "SF51 100 A", "SF51 125 A"},
        {"type=\"SF51\" rating", "type=\"stud-cube\" rating", "F1", Change::fuse_link, "SF51 100 A",
         "stud-cube 100 A"},
        {"insulation=\"B\" colour=\"BK\"", "insulation=\"C\" colour=\"BK\"", "W3", Change::insulation,
         "B 100 degC", "C 125 degC"},
        {"colour=\"BK\"", "colour=\"GY\"", "W3", Change::colour, "BK", "GY"},
        {"length=\"0.1 m\"", "length=\"0.2 m\"", "W1", Change::length, "0.10 m", "0.20 m"},
        {"<route zone=\"hold\" length=\"1.1 m\"/><route zone=\"deck\" length=\"1 m\"/>",
         "<route zone=\"hold\" length=\"0.6 m\"/><route zone=\"deck\" length=\"1.5 m\"/>", "W3",
         Change::route, "hold 1.10 m, deck 1.00 m", "hold 0.60 m, deck 1.50 m"},
        {"length=\"1.1 m\"/>", "length=\"1.1 m\" mounting=\"conduit\" loom=\"L1\"/>", "W3", Change::route,
         "hold 1.10 m, deck 1.00 m", "hold 1.10 m conduit in loom L1, deck 1.00 m"},
        {"<cable id=\"W3\" section=\"35 mm2\"",
         "<cable id=\"W3\" section=\"70 mm2\"",
         "W3",
         Change::section,
         "35 mm2",
         "70 mm2",
         {Change::sleeve}},
        {"draw=\"40 A\"", "draw=\"45 A\"", "E1", Change::rating, "40 A", "45 A"},
        {"<zone id=\"deck\" ambient=\"30 degC\"/>", "<zone id=\"deck\" ambient=\"55 degC\"/>", "deck",
         Change::air, "30 degC", "55 degC"},
        {"</harness>", "<limit name=\"consumer-drop\" value=\"12 %\"/></harness>", "consumer-drop",
         Change::limit, "10.0 %", "12.0 %"},
        {"</harness>", "<post id=\"X1\" zone=\"deck\"/></harness>", "X1", Change::part, "", "post"},
        {"</harness>",
         "<cable id=\"W4\" section=\"10 mm2\" length=\"3 m\" zone=\"hold\"><from at=\"E1.-\"/><to "
         "at=\"G2.-\"/></cable></harness>",
         "W4", Change::cable, "", "10 mm2, 3.00 m, E1.- to G2.-"}};
    for (const Case& one : cases) {
        CAPTURE(one.to);
        const auto told = changes(kit_text, with(one.from, one.to));
        const auto back = changes(with(one.from, one.to), kit_text);
        REQUIRE(told.size() == back.size());
        bool found = false;
        for (std::size_t i = 0; i < told.size(); ++i) {
            const report::PartChange& change = told[i];
            CHECK(change.before == back[i].after);
            CHECK(change.after == back[i].before);
            CHECK((change.what == one.what || one.besides.count(change.what) > 0));
            if (change.what != one.what)
                continue;
            found = true;
            CHECK(change.subject == one.subject);
            CHECK(change.before == one.before);
            CHECK(change.after == one.after);
        }
        CHECK(found);
    }
}

TEST_CASE("a cable written the other way round has not changed") {
    const std::string turned = with(
        "<from at=\"E1.-\"/><to at=\"G2.-\"/><route zone=\"hold\" length=\"1.1 m\"/><route zone=\"deck\" "
        "length=\"1 m\"/>",
        "<from at=\"G2.-\"/><to at=\"E1.-\"/><route zone=\"deck\" length=\"1 m\"/><route zone=\"hold\" "
        "length=\"1.1 m\"/>");
    CHECK(changes(kit_text, turned).empty());
    CHECK(changes(kit_text, kit_text).empty());
}

TEST_CASE("text JSON and page tell each changed part") {
    const auto before = kit_of(testing::tree_path("harnesses/library-van-original.xml"));
    const auto after = kit_of(testing::tree_path("harnesses/library-van-planned.xml"));
    const report::Comparison told = report::compare(before->view, after->view);
    REQUIRE(told.changes.size() > 20);
    const std::string text = report::compare_text(told), json = report::compare_json(told);
    std::set<Change> kinds;
    for (const report::PartChange& change : told.changes) {
        kinds.insert(change.what);
        CHECK(text.find("\n  - " + change.subject + ": ") != std::string::npos);
        CHECK(json.find("\"subject\": \"" + change.subject + "\"") != std::string::npos);
    }
    for (const Change what : {Change::part, Change::cable, Change::fuse_link, Change::stud, Change::lug,
                              Change::insulation, Change::length, Change::route, Change::ends, Change::limit})
        CHECK(kinds.count(what) == 1);
    // What finds no room on the page is counted there.
    const auto lettering = draw::lettering();
    const layout::Document document = report::compare_page(told, {}, *lettering);
    REQUIRE(document.pages.size() == 1);
    std::string page;
    for (const layout::Element& element : document.pages.front().elements)
        for (const layout::Text& label : element.texts)
            page += label.words + "\n";
    CHECK(page.find("Built differently: ") != std::string::npos);
    CHECK(page.find("more, in the text of the comparison") != std::string::npos);
}

TEST_CASE("random kits: what is told one way is told the other way round") {
    auto random = testing::random_source("changes between kits");
    int compared = 0;
    for (int round = 0; round < 40 && compared < 4; ++round) {
        const std::string one = random_kit_text(random, 4), other = random_kit_text(random, 6);
        const auto before = kit_of_text(one), after = kit_of_text(other);
        if (before->harness.units != after->harness.units)
            continue; // lengths are told in the second file's
        const auto told = report::changes_between(before->view, after->view),
                   back = report::changes_between(after->view, before->view);
        ++compared;
        const auto key = [](const report::PartChange& change, bool turned) {
            return change.subject + "|" + std::string(report::change_words(change.what)) + "|" +
                   change.place + "|" +
                   (turned ? change.after + "|" + change.before : change.before + "|" + change.after);
        };
        std::multiset<std::string> there, here;
        for (const auto& change : told)
            if (change.what != Change::lug &&
                change.what != Change::sleeve) // told at the ends of the second kit
                there.insert(key(change, false));
        for (const auto& change : back)
            if (change.what != Change::lug && change.what != Change::sleeve)
                here.insert(key(change, true));
        for (const std::string& words : there)
            CHECK_MESSAGE(here.count(words) == there.count(words), words);
        CHECK(there.size() == here.size());
    }
    CHECK(compared > 0);
}
