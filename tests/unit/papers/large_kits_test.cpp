// What only a kit of hundreds of cables shows: local bars to measure, the same told once of many, failing
// joints.
#include "draw/draw.h"
#include "report/diagram_parts.h"
#include "report/papers/bar_rows.h"
#include "report/papers/contents.h"
#include "report/papers/finding_groups.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

using namespace stoutloom;
using namespace stoutloom::papers_test;

namespace {

const Kit& workboat() {
    static const auto kit = kit_of(testing::tree_path("harnesses/workboat.xml"));
    return *kit;
}

check::Judgement finding(const std::string& cable, const std::string& message) {
    static const check::Rule* rule = check::all_rules().front();
    check::Judgement judgement;
    judgement.rule = rule;
    judgement.subjects = {cable};
    judgement.message = message;
    judgement.has_figures = true;
    judgement.computed = 253.2;
    judgement.limit = 250;
    judgement.unit = "degC";
    return judgement;
}

layout::papers::StacksContent stacks_of(const std::string& file) {
    const auto kit = kit_of(testing::tree_path("harnesses/mistakes/" + file));
    const report::Voice voice(kit->view, report::Language::english);
    return report::stacks_content(
        voice, report::diagram_content(kit->view, layout::Sheet::a3, report::Language::english));
}

std::set<std::string> ringed(const layout::papers::StacksContent& content) {
    std::set<std::string> ids;
    for (const layout::papers::StudCard& card : content.cards) {
        if (card.failing)
            ids.insert(card.id);
        for (const layout::papers::StackPlate& plate : card.plates)
            if (plate.failing)
                ids.insert(card.id + " " + plate.number);
    }
    return ids;
}

} // namespace

TEST_CASE("every local bar that carries some current is measured on its way out and back") {
    const report::Voice voice(workboat().view, report::Language::english);
    std::vector<report::MeasuredLoop> loops;
    std::set<std::string> bars; // at whose stud a row ends or begins
    std::size_t rows = 0;
    for (const report::MeasuredRow& row : report::measured_rows(voice, loops)) {
        if (!row.named)
            continue;
        ++rows;
        const auto device = [&](model::TerminalIndex terminal) {
            return workboat().harness.device(workboat().harness.terminal(terminal).device).id;
        };
        bars.insert(device(row.red));
        bars.insert(device(row.black));
        CHECK(device(row.red) != device(row.black));
        REQUIRE(row.high_v);
        // A joint that loses as much again as the whole stretch is not passed, and nothing is refused as new.
        CHECK(*row.high_v > row.expected_v);
        CHECK(*row.high_v <= std::max(2 * row.expected_v, row.expected_v + 0.05) + 1e-9);
    }
    CHECK(rows > 20);
    // The main bars, the four area bars of either side, and of each area at least one local bar.
    for (const char* bar : {"X1", "X2", "X10", "X15", "X20", "X25", "X30", "X35", "X40", "X45", "X11", "X22",
                            "X32", "X41", "X16", "X27", "X37", "X46"})
        CHECK_MESSAGE(bars.contains(bar), bar);
}

TEST_CASE("with every stretch between bars at its limit no consumer loses more than its share") {
    const model::Harness& harness = workboat().harness;
    const report::Voice voice(workboat().view, report::Language::english);
    std::vector<report::MeasuredLoop> loops;
    std::vector<report::MeasuredRow> bars;
    for (const report::MeasuredRow& row : report::measured_rows(voice, loops))
        if (row.named)
            bars.push_back(row);
    const auto rated = report::rated_duty(workboat().view);
    REQUIRE(rated);
    const solve::OperatingPoint& point = *voice.facts().duties.at(model::at(*rated)).point;
    const auto battery = model::find_terminal(harness, "G2.+"), sink = model::find_terminal(harness, "G2.-");
    REQUIRE(battery);
    REQUIRE(sink);
    std::size_t asked = 0;
    for (std::size_t i = 0; i < harness.devices.size(); ++i) {
        const auto* consumer = std::get_if<model::Consumer>(&harness.devices[i].data);
        if (consumer == nullptr || !point.devices[i].running)
            continue;
        const auto device = static_cast<model::DeviceIndex>(i);
        const auto plus = model::terminal_of(harness, device, model::Role::positive),
                   minus = model::terminal_of(harness, device, model::Role::negative);
        REQUIRE(plus);
        REQUIRE(minus);
        double lost_v = 0;
        const auto add = [&](const std::vector<report::WayPart>& way) {
            std::set<std::size_t> studs;
            for (const report::WayPart& part : way) {
                lost_v += part.drop_v;
                studs.insert({model::at(part.from), model::at(part.to)});
            }
            for (const report::MeasuredRow& row : bars)
                if (studs.contains(model::at(row.red)) && studs.contains(model::at(row.black)))
                    lost_v += *row.high_v - row.expected_v;
        };
        add(report::way_between(harness, point, *battery, *plus));
        add(report::way_between(harness, point, *minus, *sink));
        const double share =
            model::limit_in_force(harness, consumer->critical ? "critical-drop" : "consumer-drop").value;
        CHECK_MESSAGE(lost_v <= share * harness.nominal_v.value + 1e-6, harness.devices[i].id);
        ++asked;
    }
    CHECK(asked > 40);
}

TEST_CASE("findings that differ in nothing but the cable are one group and others are not") {
    const auto groups = report::alike_findings(
        {finding("W1", "W1 burns"), finding("W12", "W12 burns"), finding("W3", "W3 burns after W1 does"),
         finding("W4", "W4 burns"), finding("W5", "W5 burns"), finding("W5", "W5 burns")});
    REQUIRE(groups.size() == 4);
    CHECK(groups[0] == std::vector<std::size_t>{0, 1});
    CHECK(groups[1] == std::vector<std::size_t>{2});
    CHECK(groups[2] == std::vector<std::size_t>{3, 4});
    CHECK(groups[3] == std::vector<std::size_t>{5}); // twice of the same is no list of two
    auto hotter = finding("W2", "W2 burns");
    hotter.computed = 263;
    CHECK(report::alike_findings({finding("W1", "W1 burns"), hotter}).size() == 2);
    auto graver = finding("W2", "W2 burns");
    graver.severity = check::Severity::note;
    CHECK(report::alike_findings({finding("W1", "W1 burns"), graver}).size() == 2);
    // "W1" within "W12" is no word of its own.
    CHECK(report::alike_findings({finding("W1", "W12 burns W1"), finding("W2", "W22 burns W2")}).size() == 2);
}

TEST_CASE("the record tells every finding once by number or in a group") {
    const report::Voice voice(workboat().view, report::Language::english);
    const auto found = report::findings(workboat().view);
    std::size_t told = 0;
    for (const auto& group : report::alike_findings(found)) {
        CHECK(std::is_sorted(group.begin(), group.end()));
        told += group.size();
    }
    CHECK(told == found.size());
    bool gathered = false;
    for (const auto& section : report::record_content(voice).sections)
        for (const auto& table : section.tables)
            for (const auto& row : table.rows)
                for (const std::string& cell : row.cells)
                    gathered = gathered || cell.find("likewise W176, W191, W209 [fuse-coordination]") !=
                                               std::string::npos;
    CHECK(gathered);
}

TEST_CASE("a failing joint wears a ring and a sound one none") {
    CHECK(ringed(stacks_of("d2-five-on-a-stud-cured.xml")).empty());
    CHECK(ringed(stacks_of("d2-five-on-a-stud-wrong.xml")).size() == 1); // the whole stack
    CHECK(ringed(stacks_of("d1-loose-lug-cured.xml")).empty());
    const auto loose = ringed(stacks_of("d1-loose-lug-wrong.xml"));
    REQUIRE(!loose.empty());
    CHECK(loose.begin()->find(' ') != std::string::npos); // one plate of it
}

TEST_CASE("in the cut list a thread stands under its hole and a sleeve's words between the ends") {
    const auto lettering = draw::lettering();
    report::PackOptions options;
    options.only = {report::Paper::cut_list};
    const auto pack = report::build_pack(workboat().view, options, *lettering);
    REQUIRE(pack.has_value());
    std::map<std::string, double> middle; // of the words in the row of W14
    for (const layout::Page& page : pack->document.pages)
        for (const layout::Element& element : page.elements)
            if (element.id == "W14")
                for (const layout::Text& text : element.texts)
                    middle[text.words] = text.box.x_mm + text.box.width_mm / 2;
    for (const char* words : {"M6", "M5", "200 mm", "W14  −X10.2", "W14  −F11.a"})
        REQUIRE_MESSAGE(middle.contains(words), words);
    // The dimension reaches from hole to hole and bears its figure in the middle.
    CHECK((middle["M6"] + middle["M5"]) / 2 == doctest::Approx(middle["200 mm"]).epsilon(0.005));
    CHECK(middle["M6"] < middle["W14  −X10.2"]);
    CHECK(middle["W14  −X10.2"] < middle["200 mm"]);
    CHECK(middle["200 mm"] < middle["W14  −F11.a"]);
    CHECK(middle["W14  −F11.a"] < middle["M5"]);
}

TEST_CASE("a long list of ends of one kind bears the kind in its heading and every end once") {
    const report::Voice voice(workboat().view, report::Language::english);
    const auto content = report::stacks_content(
        voice, report::diagram_content(workboat().view, layout::Sheet::a3, report::Language::english));
    std::set<std::string> ends;
    std::size_t rows = 0;
    bool headed = false;
    for (const auto& table : content.tables) {
        headed = headed || table.caption.ends_with(": blade 6.3");
        for (const auto& row : table.rows) {
            ++rows;
            ends.insert(row.id);
            CHECK(row.cells.size() == table.columns.size());
        }
    }
    CHECK(headed);
    CHECK(ends.size() == rows);
    // Of the file: two ends of each of its 76 consumers and of its 76 blade fuse-links, two of the key
    // switch, the charge lamp's lead on the unit.
    CHECK(rows == 2 * 76 + 2 * 76 + 2 + 1);
}
