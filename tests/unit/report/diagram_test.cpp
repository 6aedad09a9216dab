// The diagram's words: what is put on the sheet for each part, numbered and ordered as it is fitted.
#include "report/diagram_parts.h"
#include "report/report.h"

#include "synthetic.h"

#include <cmath>

using namespace stoutloom;

namespace {

std::string kit(const std::string& cables) {
    return R"(<?xml version="1.0" encoding="UTF-8"?>
<harness xmlns="urn:stoutloom:harness:1" title="Workboat" drawing="WB-7" nominal="12 V">
  <title-block owner="Slip Yard" created-by="N. Okoro" date="2026-02-01" status="Issued"/>
  <zone id="fore" label="Forepeak" ambient="35 degC"/>
  <zone id="bay" label="Engine space" ambient="60.2 degC"/>
  <battery id="G2" label="Battery" zone="fore" capacity="95 Ah" cold-cranking="760 A"/>
  <generator id="G1" label="Charging unit" zone="bay" set-point="14.2 V" return="case" mass="U2">
    <output speed="rated" cold="120 A" hot="100 A"/>
    <terminal id="B+" stud="M8"/>
  </generator>
  <consumer id="E1" label="Lamps" zone="fore" power="55 W" symbol="lamp" return="case" mass="U2"/>
  <fuse-link id="F1" label="Feed link" zone="fore" type="SF51" rating="150 A"/>
  <mass id="U2" label="Engine block" zone="bay"> <terminal id="a" stud="M10"/> </mass>
)" + cables +
           "</harness>\n";
}

const std::string usual_cables = R"(
  <cable id="W10" section="70 mm2" insulation="C" colour="RD" length="5.404 m" origin="new">
    <from at="G1.B+"/> <to at="F1.b"/>
    <route zone="bay" length="1.404 m"/> <route zone="fore" length="4.000 m"/>
  </cable>
  <cable id="W11" section="70 mm2" insulation="105 degC" colour="RD" length="0.30 m" zone="fore"> <from at="F1.a"/> <to at="G2.+" lug="post"/> </cable>
  <cable id="W12" section="50 mm2" colour="BK" length="3 m" build="braid"> <from at="G2.-" lug="post"/> <to at="U2.a"/>
    <route zone="fore" length="1 m"/> <route zone="bay" length="2 m"/> </cable>
  <cable id="W13" section="2.5 mm2" length="1 m" zone="fore"> <from at="G2.+" lug="post"/> <to at="E1.+"/> </cable>
)";

std::unique_ptr<testing::Synthetic> loaded() {
    auto made = testing::synthetic(kit(usual_cables));
    const auto rated = model::at(*model::find_duty(made->harness, "rated"));
    const double amperes[] = {99.2, 99.2, 95.1, 4.1};
    for (std::size_t c = 0; c < 4; ++c) {
        made->facts.worst[c].duty = static_cast<model::DutyIndex>(rated);
        made->facts.worst[c].current_a = amperes[c];
        made->facts.ratings[c].usable_a = 229.7;
        made->facts.duties[rated].point->cables[c].current_a = c == 2 ? -amperes[c] : amperes[c];
    }
    made->judge("W10", check::Verdict::passes, check::Severity::note);
    return made;
}

const layout::StudGlyph& stud(const layout::DiagramContent& content, const std::string& id) {
    for (const layout::UnitGlyph& unit : content.units)
        for (const layout::StudGlyph& one : unit.studs)
            if (one.id == id)
                return one;
    for (const layout::BedGlyph& bed : content.beds)
        for (const layout::StudGlyph& one : bed.studs)
            if (one.id == id)
                return one;
    FAIL("no stud ", id);
    throw std::logic_error(id);
}

} // namespace

TEST_CASE("labels of a run in the workshop's figures") {
    const auto made = loaded();
    const layout::DiagramContent content = report::diagram_content(made->checked, layout::Sheet::a3);
    REQUIRE(content.cables.size() == 4);
    const layout::RunGlyph& run = content.cables[0];
    CHECK(run.number == "10");
    CHECK(run.line1 == "70 mm²  RD  5.41 m"); // a cut length is never shown short
    CHECK(run.gauge_note == "44 %");          // 99.2 of 229.7 is 43.2 %, shown up
    CHECK(run.line3 == "100 A of 229 A, class C");
    CHECK(run.direction == 1);
    CHECK(run.kept == false);
    CHECK(run.zones == std::vector<std::size_t>{1, 0});
    CHECK(content.cables[1].line3 == "100 A of 229 A, 105 °C");
    CHECK(content.cables[1].kept);
    CHECK(content.cables[2].direction == -1);
    CHECK(content.cables[2].line3 == "96 A of 229 A, braid");
    CHECK(content.cables[3].line3 == "4.1 A of 229 A, class B");
    CHECK(run.gauge->fraction == doctest::Approx(99.2 / 229.7));
}

TEST_CASE("a run whose current turns round between duties has no arrow") {
    const auto made = loaded();
    made->facts.duties[model::at(*model::find_duty(made->harness, "idle"))].point->cables[0].current_a = -20;
    CHECK(report::diagram_content(made->checked, layout::Sheet::a3).cables[0].direction == 0);
}

TEST_CASE("lugs go on heaviest current first") {
    const auto made = loaded();
    const layout::StudGlyph post = stud(report::diagram_content(made->checked, layout::Sheet::a3), "G2.+");
    REQUIRE(post.lugs.size() == 2);
    CHECK(post.lugs[0].cable == 1); // W11, 99.2 A, before W13, 4.1 A
    made->facts.duties[0].point->cables[3].current_a = 300;
    const layout::StudGlyph turned = stud(report::diagram_content(made->checked, layout::Sheet::a3), "G2.+");
    CHECK(turned.lugs[0].cable == 3);
}

TEST_CASE("numbers are the ids' digits only where they tell the cables apart") {
    const std::string twice = R"(
  <cable id="W1" section="70 mm2" length="1 m" zone="bay"> <from at="G1.B+"/> <to at="F1.b"/> </cable>
  <cable id="X1" section="70 mm2" length="1 m" zone="fore"> <from at="F1.a"/> <to at="G2.+" lug="post"/> </cable>
)";
    const auto made = testing::synthetic(kit(twice));
    const layout::DiagramContent content = report::diagram_content(made->checked, layout::Sheet::a3);
    CHECK(content.cables[0].number == "1");
    CHECK(content.cables[1].number == "2");
}

TEST_CASE("every end of every run is a stud on the sheet and every lug's cable exists") {
    for (const std::string& path : testing::files_below(testing::tree_path("harnesses"), ".xml")) {
        if (path.find("/workboat") != std::string::npos)
            continue; // minutes under a sanitizer; read in tests/repo
        const auto made = testing::synthetic(testing::file_text(path));
        const layout::DiagramContent content = report::diagram_content(made->checked, layout::Sheet::a3);
        CHECK(content.cables.size() == made->harness.cables.size());
        for (const layout::RunGlyph& run : content.cables) {
            CAPTURE(run.id);
            CHECK(!stud(content, run.from).lugs.empty());
            CHECK(!stud(content, run.to).lugs.empty());
            for (const std::size_t zone : run.zones)
                CHECK(zone < content.zones.size());
        }
        for (const layout::BedGlyph& bed : content.beds) {
            CHECK(bed.studs.size() == bed.stud_zones.size());
            for (const std::size_t zone : bed.stud_zones)
                CHECK(std::find(bed.zones.begin(), bed.zones.end(), zone) != bed.zones.end());
        }
    }
}

TEST_CASE("zones keep the file's order and beds run where their metal is met") {
    const auto made = loaded();
    const layout::DiagramContent content = report::diagram_content(made->checked, layout::Sheet::a3);
    REQUIRE(content.zones.size() == 2);
    CHECK(content.zones[0].id == "fore");
    CHECK(content.zones[1].ambient == "61 °C"); // 60.2 shown up
    REQUIRE(content.beds.size() == 1);
    CHECK(content.beds[0].zones ==
          std::vector<std::size_t>{0, 1}); // the block itself and the lamps that stand on it
    const layout::UnitGlyph& unit = content.units[1];
    CHECK(unit.id == "G1");
    CHECK(unit.details == std::vector<std::string>{"100 A hot"});
    CHECK(unit.seat_bed == 0);
}

TEST_CASE("an error makes the sheet one for review and hangs a flag on its subject") {
    const auto made = loaded();
    CHECK(report::diagram_content(made->checked, layout::Sheet::a3).title.status == "Issued");
    made->judge("standby", check::Verdict::fails, check::Severity::warning).message = "drains";
    check::Judgement& error = made->judge("nothing drawn", check::Verdict::fails, check::Severity::error);
    error.subjects.emplace_back("W12");
    error.message = "W12 stands 50 mm2 at 90 degC";
    made->judge("W10", check::Verdict::fails, check::Severity::note);
    const layout::DiagramContent content = report::diagram_content(made->checked, layout::Sheet::a3);
    CHECK(content.title.status == "For review");
    REQUIRE(content.flags.size() == 2); // notes wear no flag
    CHECK(content.flags[0].error);
    CHECK(content.flags[0].number == "1");
    CHECK(content.flags[0].subject == "W12");
    CHECK(content.flags[0].what == "W12 stands 50 mm² at 90 °C");
    CHECK_FALSE(content.flags[1].error);
    CHECK(content.flags[1].subject == "G2"); // a duty is drawn nowhere
}

TEST_CASE("a finding about what is not drawn hangs on what it belongs to") {
    const auto made = testing::synthetic(
        kit(usual_cables +
            R"(<incidental id="X9" label="Throttle cable" from="U2" to="G2.-" resistance="40 mohm"/>)"));
    made->judge("X9", check::Verdict::fails, check::Severity::error);
    made->judge("E1.+", check::Verdict::fails, check::Severity::error);
    made->judge("F1.nothing", check::Verdict::fails, check::Severity::error);
    const layout::DiagramContent content = report::diagram_content(made->checked, layout::Sheet::a3);
    REQUIRE(content.flags.size() == 3);
    CHECK(content.flags[0].subject == "X9"); // the path itself, on a sheet that shows it
    CHECK(content.flags[0].instead == "U2");
    CHECK(content.flags[1].subject == "E1.+");
    CHECK(content.flags[2].subject == "F1");
}

TEST_CASE("the volt line follows the charging feed in the rated duty") {
    const auto made = loaded();
    const auto rated = model::at(*model::find_duty(made->harness, "rated"));
    solve::OperatingPoint& point = *made->facts.duties[rated].point;
    const auto volts = [&](const char* address, double v) {
        point.terminal_v[model::at(*model::find_terminal(made->harness, address))] = v;
    };
    volts("G1.B+", 14.2);
    volts("F1.b", 14.1);
    volts("F1.a", 14.05);
    volts("G2.+", 14.0);
    point.devices[model::at(*model::find_device(made->harness, "G1"))].current_a = 99.2;
    point.devices[model::at(*model::find_device(made->harness, "G1"))].running = true;
    point.devices[model::at(*model::find_device(made->harness, "F1"))].current_a = 99.2;
    const auto line = report::volt_line(report::Voice(made->checked, report::Language::english));
    REQUIRE(line.has_value());
    CHECK(line->studs == std::vector<std::string>{"G1.B+", "F1.b", "F1.a", "G2.+"});
    CHECK(line->volts_v == std::vector<double>{14.2, 14.1, 14.05, 14.0});
    CHECK(line->caption == "Feed side, G1.B+ to G2.+, at rated output, hot, 100 A.");
    CHECK(line->set_point_v == 14.2);
    CHECK(line->limit_v ==
          doctest::Approx(0.20)); // the default limit of the charging feed, model::limit_rows
    point.terminal_v[model::at(*model::find_terminal(made->harness, "F1.a"))] = NAN;
    CHECK_FALSE(report::volt_line(report::Voice(made->checked, report::Language::english)).has_value());
}

TEST_CASE("signs of the lettering stand only for units") {
    CHECK(report::with_signs("50 mm2 at 85 degC, 0.5 mohm, 3 ohm") == "50 mm² at 85 °C, 0.5 mΩ, 3 Ω");
    CHECK(report::with_signs("ohmic mm2x degClass") == "ohmic mm2x degClass");
}
