// What the file says arrives in the model, in our units; what it leaves out is filled and told.
#include "read/read.h"
#include "read/vocabulary.h"
#include "testing/testing.h"

#include <doctest/doctest.h>
#include <pugixml.hpp>

#include <set>

namespace {

using namespace stoutloom;
using doctest::Approx;

model::Harness harness_of(const std::string& path) {
    auto read = read::read_file(testing::tree_path(path));
    REQUIRE(read.has_value());
    return std::move(read->harness);
}

template <class Data> const Data& data_of(const model::Harness& harness, const std::string& id) {
    const auto found = model::find_device(harness, id);
    REQUIRE(found.has_value());
    return std::get<Data>(harness.device(*found).data);
}
const model::Terminal& terminal_of(const model::Harness& harness, const std::string& address) {
    const auto found = model::find_terminal(harness, address);
    REQUIRE_MESSAGE(found.has_value(), address);
    return harness.terminal(*found);
}
bool assumed(const model::Harness& harness, const std::string& subject, const std::string& what) {
    return std::any_of(
        harness.assumptions.begin(), harness.assumptions.end(), [&](const model::Assumption& one) {
            return (", " + one.subject + ",").find(", " + subject + ",") != std::string::npos &&
                   one.what == what && !one.reason.empty();
        });
}

} // namespace

TEST_CASE("the file with everything uses every element and attribute") {
    pugi::xml_document document;
    REQUIRE(document.load_file(testing::tree_path("tests/unit/read/everything.xml").c_str()));
    std::set<std::string> used;
    for (const auto& found : document.select_nodes("//*"))
        for (const auto& attribute : found.node().attributes())
            used.insert(std::string(found.node().name()) + " " + attribute.name());
    for (const read::ElementRow& row : read::element_rows()) {
        CHECK_MESSAGE(!document.select_nodes(("//" + std::string(row.name)).c_str()).empty(), row.name);
        const bool end = row.name == "to";    // as from
        const bool step = row.name == "step"; // as note
        // The generator there returns by wire, so it has no mass; the starter has one.
        if (row.name == "generator")
            used.insert("generator mass");
        for (const read::AttributeRow& attribute : row.attributes)
            if (!end && !step)
                CHECK_MESSAGE(used.contains(std::string(row.name) + " " + std::string(attribute.name)),
                              row.name, " ", attribute.name);
    }
}

TEST_CASE("quantities arrive in the program's units") {
    const model::Harness h = harness_of("tests/unit/read/everything.xml");
    CHECK(h.nominal_v.value == 24);
    CHECK(h.profile == model::Profile::boat);
    CHECK(h.units == model::UnitSystem::both);
    CHECK(h.title_block.subtitle == "All of it & more, As drawn"); // the variant tells itself
    CHECK(h.zones[1].ambient_degc.value == Approx(40));            // 104 degF
    CHECK(h.zones[0].radiant_k.value == 5);
    const auto& battery = data_of<model::Battery>(h, "G2");
    CHECK(battery.cold_cranking_a->value == 1100);
    CHECK(battery.resistance_ohm->value == Approx(0.0042));
    CHECK(battery.kind == model::BatteryKind::agm);
    // 110 lbf in: GNU units: 12.428331
    CHECK(terminal_of(h, "G2.-").torque_newton_m->value == Approx(12.428331).epsilon(1e-6));
    const auto& generator = data_of<model::Generator>(h, "G1");
    CHECK(generator.temperature_coefficient_v_per_k->value == Approx(-0.010));
    CHECK(generator.belt_power_w->value == Approx(3728.4994).epsilon(1e-6)); // GNU units: 5 hp
    CHECK(generator.outputs[1].shaft_rpm->value == 3000);
    CHECK_FALSE(generator.outputs[1].speed.has_value());
    CHECK(h.terminal(*generator.sense).address == "G2.+");
    const model::Cable& w1 = h.cables[0];
    CHECK(w1.automatic);
    CHECK(w1.length_m.value == Approx(4.1148)); // GNU units: 13.5 ft
    CHECK(w1.length_m.text == "13.5 ft");
    CHECK(w1.parallel == 2);
    CHECK(w1.insulation.class_degc == 105);
    CHECK(w1.from.joint_ohm->value == Approx(30e-6));
    CHECK(w1.from.joint_degc->value == 110);
    CHECK(w1.conductor_diameter_m->value == Approx(0.010922)); // GNU units: 0.43 in
    CHECK(w1.segments.size() == 2);
    CHECK(w1.segments[0].mounting == model::Mounting::clear);
    CHECK(w1.segments[0].loom == "L1");
    CHECK(h.cables[1].section_mm2.value == Approx(53.475).epsilon(1e-4)); // 1/0 AWG, ASTM B258: 0.3249 in
    CHECK(data_of<model::FuseLink>(h, "F1").automatic);
    CHECK(data_of<model::FuseLink>(h, "F1").breaking_capacity_a->value == 2000);
    CHECK(h.duties[0].duration_s->value == 7200);
    CHECK(h.duties[0].charge_fraction.value == Approx(0.8));
    CHECK(h.limits[0].value.value == Approx(0.4));
    CHECK(h.limits[1].duties.size() == 2);
    CHECK(h.landings[0].terminals.size() == 3);
    CHECK(h.stock.links[0].rating_a.value == 150);
    CHECK(h.notes.size() == 2);
    CHECK(h.notes[1].step);
    CHECK(h.acceptances[0].rule == "charging-drop");
}

TEST_CASE("roles come from designations or from the file") {
    const model::Harness h = harness_of("tests/unit/read/everything.xml");
    CHECK(terminal_of(h, "G1.B+").role == model::Role::positive);
    CHECK(terminal_of(h, "G1.B-").role == model::Role::negative);
    CHECK(terminal_of(h, "G1.D+").role == model::Role::excite);
    CHECK(terminal_of(h, "G1.X").role == model::Role::signal);
    CHECK(terminal_of(h, "M1.50").role == model::Role::control);
    CHECK(terminal_of(h, "K1.85").role == model::Role::control);
    CHECK(terminal_of(h, "K1.30").role == model::Role::through);
    CHECK(terminal_of(h, "X2.1").role == model::Role::through);
}

TEST_CASE("metal and seats have terminals without a stud") {
    const model::Harness h = harness_of("tests/unit/read/everything.xml");
    CHECK(terminal_of(h, "U1").implicit);
    CHECK(terminal_of(h, "M1.case").implicit);
    const auto starter = model::find_device(h, "M1");
    CHECK(h.terminal(*model::terminal_of(h, *starter, model::Role::negative)).address == "M1.case");
    CHECK(h.device(*h.device(*starter).seat).id == "U2");
    CHECK(terminal_of(h, "U1.a").steel_seat); // said so, on aluminium
    CHECK(terminal_of(h, "U2.a").steel_seat); // a steel mass
    CHECK_FALSE(terminal_of(h, "X1").steel_seat);
    CHECK(terminal_of(h, "X1").stud.name == "3/8 in");
}

TEST_CASE("defaults are filled and each is told") {
    const model::Harness h = harness_of("harnesses/first-kit.xml");
    CHECK(terminal_of(h, "G2.+").stud.name == "post");
    CHECK(terminal_of(h, "F1.a").stud.name == "M8");
    CHECK(terminal_of(h, "F2.a").stud.name == "M8"); // a stud-cube as well
    CHECK(assumed(h, "G2", "terminals + post, - post"));
    CHECK(assumed(h, "harness", "profile vehicle"));
    CHECK(assumed(h, "W3", "insulation class B (100 degC)"));
    CHECK(assumed(h, "W1", "half in bonnet, half in box"));
    CHECK(assumed(h, "duties", "cranking, idle, rated, cruise, standby"));
    CHECK(assumed(h, "G1", "limits its own current"));
    CHECK_FALSE(assumed(h, "W1", "insulation class B (100 degC)")); // it is given
    CHECK(h.duties.size() == 5);
    CHECK(h.cables[0].insulation.class_degc == 125);
    CHECK(h.cables[2].insulation.class_degc == 100);
    CHECK(h.cables[0].segments.size() == 2);
    CHECK(h.cables[0].segments[0].length_m.value == Approx(0.8));
    CHECK(h.cables[0].from.lug.name == "M8");
    CHECK(h.cables[3].from.lug.name == "post");
}

TEST_CASE("a fuse-link's own terminals go with its type") {
    const auto stud_of = [](const std::string& type) {
        const auto read =
            read::read_text("kit.xml", fmt::format(R"(<harness xmlns="urn:stoutloom:harness:1" title="t">
      <zone id="a" ambient="40 degC"/><fuse-link id="F1" type="{}" rating="30 A"/><post id="X1"/>
      <cable id="W1" section="9 mm2" length="1 m"><from at="F1.a"/><to at="X1"/></cable></harness>)",
                                                   type));
        REQUIRE_MESSAGE(read.has_value(), type);
        return terminal_of(read->harness, "F1.b").stud.name;
    };
    // The table of the format's page.
    for (const auto& row : std::vector<std::pair<std::string, std::string>>{{"SF51", "M8"},
                                                                            {"SF30", "M5"},
                                                                            {"stud-cube", "M8"},
                                                                            {"C", "blade 6.3"},
                                                                            {"F", "blade 2.8"},
                                                                            {"E", "blade 9.5"},
                                                                            {"link-wire", "splice"}})
        CHECK_MESSAGE(stud_of(row.first) == row.second, row.first);
}

TEST_CASE("a set point of another system is read and left to the rules") {
    const auto told = [](const std::string& set_point) {
        return read::read_text("kit.xml", fmt::format(R"(<harness xmlns="urn:stoutloom:harness:1" title="t">
      <zone id="a" ambient="40 degC"/><battery id="G2" capacity="90 Ah"/>
      <generator id="G1" return="isolated" set-point="{}"><output speed="rated" cold="100 A"/>
        <terminal id="B+" stud="M8"/><terminal id="B-" stud="M8"/></generator>
      <cable id="W1" section="9 mm2" length="1 m"><from at="G1.B+"/><to at="G2.+"/></cable></harness>)",
                                                      set_point))
            .has_value();
    };
    CHECK(told("28.4 V"));
    CHECK(told("7.1 V"));
    CHECK_FALSE(told("1.1 V")); // no regulator of any system
    CHECK_FALSE(told("150 V"));
}

TEST_CASE("a hot figure that is not given is the cold one's usual share") {
    const auto read =
        read::read_text("kit.xml", R"(<harness xmlns="urn:stoutloom:harness:1" title="t" nominal="24 V">
      <zone id="a" ambient="40 degC"/><battery id="G2" capacity="9 Ah"/>
      <generator id="G1" return="isolated"><output speed="idle" cold="100 A"/><output speed="rated" cold="100 A"/>
        <terminal id="B+" stud="M8"/><terminal id="B-" stud="M8"/></generator>
      <cable id="W1" section="9 mm2" length="1 m"><from at="G1.B+"/><to at="G2.+"/></cable></harness>)");
    REQUIRE(read.has_value());
    const auto& generator = data_of<model::Generator>(read->harness, "G1");
    CHECK(generator.outputs[0].hot_a.value == Approx(67)); // the format's page: 0.67 at idle, 0.80 elsewhere
    CHECK(generator.outputs[1].hot_a.value == Approx(80));
    CHECK_FALSE(generator.outputs[0].hot_a.given);
    CHECK(generator.set_point_v.value == Approx(28.4));
    CHECK(assumed(read->harness, "G1", "set-point 28.4 V"));
}

TEST_CASE("stretches within the slack are made to add up exactly") {
    const auto read = read::read_text("kit.xml", R"(<harness xmlns="urn:stoutloom:harness:1" title="t">
      <zone id="a" ambient="40 degC"/><post id="X1"/><post id="X2"/>
      <cable id="W1" section="9 mm2" length="13.5 ft"><from at="X1"/><to at="X2"/>
        <route zone="a" length="1.1 m"/><route zone="a" length="3.0 m"/></cable></harness>)");
    REQUIRE(read.has_value());
    const model::Cable& cable = read->harness.cables[0];
    CHECK(cable.segments[0].length_m.value == Approx(1.1));
    CHECK(cable.segments[0].length_m.value + cable.segments[1].length_m.value ==
          Approx(4.1148).epsilon(1e-12));
}

TEST_CASE("a part without a zone lies in the hottest one") {
    const model::Harness h = harness_of("tests/unit/read/everything.xml");
    CHECK(h.zone(*h.device(*model::find_device(h, "X2")).zone).id == "engine-room");
    CHECK(assumed(h, "X2", "zone engine-room"));
    CHECK_FALSE(h.device(*model::find_device(h, "U2")).zone.has_value()); // metal reaches through all of them
}
