// Studs, holes, torques, barrels and joint resistances against the tables they were taken from.
#include "base/fastener.h"
#include "physics/joint.h"
#include "published/tables.h"

#include <doctest/doctest.h>

#include <charconv>
#include <map>

namespace stoutloom {
namespace {

using physics::StudPlace;
using published::Row;

base::Fastener stud(const std::string& name) {
    const auto found = base::fastener_by_name(name);
    REQUIRE_MESSAGE(found.has_value(), "no stud ", name);
    return *found;
}

double leading_number(const std::string& text) {
    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    REQUIRE(error == std::errc{});
    return value;
}

/// Where a row of the torque table belongs; rows of parts we have no place for are told by an empty answer.
std::optional<StudPlace> place_of(const std::string& item) {
    static const std::map<std::string, StudPlace> places = {
        {"low-voltage apparatus (brass or copper stud and nut)", StudPlace::apparatus},
        {"stainless stud on copper bus bar or switch", StudPlace::bus_bar},
        {"SF30 strip fuse-link", StudPlace::fuse_strip_30},
        {"SF51 strip fuse-link", StudPlace::fuse_strip_51},
        {"generator B+ (steel stud)", StudPlace::generator_output},
        {"generator D+ L W", StudPlace::generator_small},
        {"starter 30 (copper stud with steel nut)", StudPlace::starter_main},
        {"starter 30 (copper stud)", StudPlace::starter_main},
        {"starter 50", StudPlace::starter_control},
        {"ground bolt steel 8.8 dry", StudPlace::ground_steel},
        {"ground bolt in aluminium block", StudPlace::ground_aluminium}};
    if (item.starts_with("battery stud") || item.starts_with("tapered"))
        return StudPlace::battery;
    const auto found = places.find(item);
    return found == places.end() ? std::nullopt : std::optional(found->second);
}

std::string stud_name(const std::string& size) {
    if (size == "M6 clamp bolt")
        return "post";
    if (size == "#10-32 UNF")
        return "#10";
    const std::size_t either = size.find(" or ");
    return either == std::string::npos ? size : size.substr(either + 4);
}

} // namespace

TEST_CASE("stud diameters and lug holes against their standards") {
    std::size_t cells = 0;
    for (const Row& row : published::rows_of("fasteners")) {
        if (row.text("section") == "stud") {
            CHECK(stud(stud_name(row.text("size"))).diameter_m * 1000 ==
                  doctest::Approx(row.number("typical")));
            ++cells;
        }
        if (row.text("section") == "hole") {
            const base::Fastener lug = stud(row.text("size"));
            CHECK(lug.hole_low_m * 1000 == doctest::Approx(row.number("low")));
            CHECK(lug.hole_high_m * 1000 == doctest::Approx(row.number("high")));
            CHECK(lug.hole_low_m > lug.diameter_m); // it goes on its own stud
            cells += 2;
        }
    }
    CHECK(cells == 33);
}

TEST_CASE("tightening torques against the table") {
    std::size_t cells = 0;
    for (const Row& row : published::rows_of("fasteners")) {
        if (row.text("section") != "torque")
            continue;
        const auto place = place_of(row.text("item"));
        if (!place)
            continue;
        const auto torque = physics::tightening_torque(*place, stud(stud_name(row.text("size"))));
        CAPTURE(row.text("item"));
        CAPTURE(row.text("size"));
        REQUIRE(torque.has_value());
        CHECK(torque->typical_newton_m == doctest::Approx(row.number("typical")));
        if (const auto low = row.number_if_any("low"))
            CHECK(torque->low_newton_m == doctest::Approx(*low));
        if (const auto high = row.number_if_any("high"))
            CHECK(torque->high_newton_m == doctest::Approx(*high));
        CHECK_FALSE(torque->source.empty());
        ++cells;
    }
    CHECK(cells == 31);
    CHECK_FALSE(physics::tightening_torque(StudPlace::generator_output, stud("M12")).has_value());
    CHECK_FALSE(physics::tightening_torque(StudPlace::battery, stud("plug")).has_value());
}

TEST_CASE("lug barrels against the compression lug table") {
    std::size_t cells = 0;
    for (const Row& row : published::rows_of("fasteners")) {
        if (row.text("section") != "barrel" || row.text("unit") != "stud range")
            continue;
        const double section_mm2 = leading_number(row.text("size"));
        const auto barrel = physics::barrel_for(section_mm2);
        REQUIRE(barrel.has_value());
        CHECK(barrel->barrel_mm2 == section_mm2);
        CHECK(barrel->exact);
        if (section_mm2 >= 10) { // 6 mm2 exists as a ring terminal too, from M4 to M10
            CHECK(barrel->least_stud == row.text("low"));
            CHECK(barrel->greatest_stud == row.text("high"));
        }
        ++cells;
    }
    CHECK(cells == 10);
}

TEST_CASE("gauge cables in metric barrels as the trade pairs them") {
    std::size_t cells = 0;
    for (const Row& row : published::rows_of("fasteners")) {
        if (row.text("item") != "AWG to nearest metric lug")
            continue;
        const std::string& size = row.text("size"); // "1/0 AWG 53.5 mm2"
        const double section_mm2 = leading_number(size.substr(size.find("AWG ") + 4));
        const auto barrel = physics::barrel_for(section_mm2);
        REQUIRE(barrel.has_value());
        CHECK(barrel->barrel_mm2 == row.number("typical"));
        CHECK(physics::barrel_takes(row.number("typical"), section_mm2));
        CHECK_FALSE(barrel->exact);
        ++cells;
    }
    CHECK(cells == 9);
    CHECK_FALSE(physics::barrel_takes(16, 25)); // strands that do not go in
    CHECK_FALSE(physics::barrel_takes(95, 50)); // a lug that pulls off by hand
    CHECK_FALSE(physics::barrel_takes(35, 42.4));
    CHECK_FALSE(physics::barrel_for(500).has_value());
}

TEST_CASE("crimp and joint resistances against the table") {
    std::size_t cells = 0;
    const auto check = [&](const physics::JointResistance& joint, const Row& row) {
        CAPTURE(row.text("item"));
        CAPTURE(row.text("size"));
        CHECK(joint.low_ohm * 1e6 == doctest::Approx(row.number("low")));
        CHECK(joint.typical_ohm * 1e6 == doctest::Approx(row.number("typical")));
        CHECK(joint.high_ohm * 1e6 == doctest::Approx(row.number("high")));
        ++cells;
    };
    for (const Row& row : published::rows_of("fasteners")) {
        if (row.text("section") != "joint" || row.text("unit") != "uohm")
            continue;
        const std::string& item = row.text("item");
        if (item.starts_with("crimp resistance"))
            check(physics::crimp_resistance(leading_number(row.text("size"))), row);
        if (item.starts_with("bolted tinned lug"))
            check(physics::bolted_resistance(stud(row.text("size")), physics::JointSeat::copper_or_brass),
                  row);
        if (item.starts_with("lug on bare clean steel"))
            check(physics::bolted_resistance(stud(row.text("size")), physics::JointSeat::bare_steel), row);
        if (item == "battery post clamp")
            check(physics::bolted_resistance(stud("post"), physics::JointSeat::taper_post), row);
        if (item == "strip fuse-link bolted joint")
            CHECK(physics::bolted_resistance(stud("M5"), physics::JointSeat::strip_fuse).high_ohm * 1e6 <
                  row.number("high")); // the bench limit is no working figure
    }
    CHECK(cells == 14);
}

TEST_CASE("joint resistances keep their order") {
    const auto ordered = [](const physics::JointResistance& joint) {
        return joint.low_ohm > 0 && joint.low_ohm <= joint.typical_ohm && joint.typical_ohm <= joint.high_ohm;
    };
    double before = 1;
    for (double section_mm2 = 0.3; section_mm2 < 300; section_mm2 *= 1.1) {
        const auto joint = physics::crimp_resistance(section_mm2);
        CHECK(ordered(joint));
        CHECK(joint.typical_ohm <= before);
        before = joint.typical_ohm;
    }
    for (const std::string_view name : base::fastener_names())
        for (const auto seat :
             {physics::JointSeat::copper_or_brass, physics::JointSeat::bare_steel,
              physics::JointSeat::taper_post, physics::JointSeat::strip_fuse, physics::JointSeat::push_on}) {
            CAPTURE(name);
            CHECK(ordered(physics::bolted_resistance(stud(std::string(name)), seat)));
        }
    // Inch studs count as their metric neighbours.
    CHECK(physics::bolted_resistance(stud("5/16 in"), physics::JointSeat::copper_or_brass).typical_ohm ==
          physics::bolted_resistance(stud("M8"), physics::JointSeat::copper_or_brass).typical_ohm);
    CHECK(physics::lug_exists(50, stud("M8")));
    CHECK(physics::lug_exists(50, stud("5/16 in")));
    CHECK_FALSE(physics::lug_exists(50, stud("M6")));
    CHECK_FALSE(physics::lug_exists(120, stud("M8")));
    CHECK_FALSE(physics::lug_exists(50, stud("plug")));
}

} // namespace stoutloom
