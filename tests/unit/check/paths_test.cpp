// Who can feed what: nodes, sides, ways with and without fuse-links, starter cables.
#include "kit.h"
#include "testing/testing.h"

#include "check/paths.h"

#include <algorithm>

using namespace stoutloom;
using check::Side;
using testing::cable;
using testing::kit;

namespace {

const check::FeedPath* feed_of(const model::Harness& harness, const check::Topology& topology,
                               const std::string& id, const std::string& source, int end) {
    for (const check::FeedPath& feed : topology.feeds)
        if (harness.cable(feed.cable).id == id && harness.device(feed.source).id == source &&
            feed.entry_end == end)
            return &feed;
    return nullptr;
}

std::vector<std::string> names(const model::Harness& harness,
                               const std::vector<model::DeviceIndex>& devices) {
    std::vector<std::string> ids;
    for (const model::DeviceIndex d : devices)
        ids.push_back(harness.device(d).id);
    return ids;
}

Side side_of(const model::Harness& harness, const check::Topology& topology, const std::string& id) {
    return topology.side_of_cable[model::at(*model::find_cable(harness, id))];
}

const std::string one_fuse =
    testing::battery + testing::unit + "<fuse-link id=\"F1\" zone=\"shop\" rating=\"100 A\"/>\n" +
    cable("W1", "35 mm2", "G1.B+", "F1.b", "3 m") + cable("W2", "35 mm2", "F1.a", "G2.+", "0.15 m") +
    cable("W3", "35 mm2", "G2.-", "G1.B-", "3 m");

} // namespace

TEST_CASE("a cable between two sources is asked from both ends") {
    const model::Harness harness = kit(one_fuse);
    const check::Topology topology = check::topology_of(harness);
    const auto* from_battery = feed_of(harness, topology, "W1", "G2", 1);
    REQUIRE(from_battery != nullptr);
    CHECK(names(harness, from_battery->fuse_links) == std::vector<std::string>{"F1"});
    CHECK(from_battery->cut_rating_a == 100);
    CHECK(from_battery->bare_length_m == doctest::Approx(0.15));
    const auto* from_unit = feed_of(harness, topology, "W1", "G1", 0);
    REQUIRE(from_unit != nullptr);
    CHECK(from_unit->fuse_links.empty());
    CHECK(from_unit->bare_length_m == doctest::Approx(3));
    CHECK_FALSE(from_unit->from_battery_terminal);
    const auto* first_piece = feed_of(harness, topology, "W2", "G2", 1);
    REQUIRE(first_piece != nullptr);
    CHECK(first_piece->fuse_links.empty());
    CHECK(first_piece->from_battery_terminal);
    CHECK(first_piece->bare_length_m == doctest::Approx(0.15));
    // No source pushes into the end that only leads to itself.
    CHECK(feed_of(harness, topology, "W1", "G2", 0) == nullptr);
    CHECK(feed_of(harness, topology, "W3", "G2", 0) == nullptr);
    CHECK(side_of(harness, topology, "W1") == Side::feed);
    CHECK(side_of(harness, topology, "W3") == Side::back);
}

TEST_CASE("fuse-links side by side add up and one bare way beside a fuse-link undoes it") {
    const std::string two =
        testing::battery +
        "<post id=\"X1\" zone=\"shop\"/>\n<consumer id=\"E1\" zone=\"shop\" draw=\"5 A\"/>\n"
        "<fuse-link id=\"F1\" zone=\"shop\" rating=\"100 A\"/><fuse-link id=\"F2\" zone=\"shop\" rating=\"60 "
        "A\"/>\n" +
        cable("W1", "35 mm2", "G2.+", "F1.a", "0.1 m") + cable("W2", "35 mm2", "G2.+", "F2.a", "0.1 m") +
        cable("W3", "35 mm2", "F1.b", "X1", "1 m") + cable("W4", "35 mm2", "F2.b", "X1", "1 m") +
        cable("W5", "35 mm2", "X1", "E1.+", "1 m") + cable("W6", "2.5 mm2", "E1.-", "G2.-", "1 m");
    const model::Harness fused = kit(two);
    const auto topology = check::topology_of(fused);
    const auto* feed = feed_of(fused, topology, "W5", "G2", 0);
    REQUIRE(feed != nullptr);
    CHECK(feed->cut_rating_a == 160);
    CHECK(names(fused, feed->cut) == std::vector<std::string>{"F1", "F2"});
    // The way that protects least is the one by the larger link.
    CHECK(names(fused, feed->fuse_links) == std::vector<std::string>{"F1"});

    const model::Harness bare = kit(two + cable("W7", "6 mm2", "G2.+", "X1", "2 m"));
    const auto opened = check::topology_of(bare);
    const auto* undone = feed_of(bare, opened, "W5", "G2", 0);
    REQUIRE(undone != nullptr);
    CHECK(undone->fuse_links.empty());
    CHECK(undone->bare_length_m == doctest::Approx(3));
}

TEST_CASE("only the cables between battery and starter are starter cables") {
    const model::Harness harness =
        kit(testing::battery + testing::unit +
            "<mass id=\"U1\" zone=\"shop\"><terminal id=\"a\" stud=\"M8\"/></mass>\n"
            "<starter id=\"M1\" zone=\"shop\" draw=\"200 A\" mass=\"U1\"><terminal id=\"30\" "
            "stud=\"M10\"/></starter>\n"
            "<switch id=\"Q1\" zone=\"shop\"/>\n"
            "<fuse-link id=\"F1\" zone=\"shop\" rating=\"100 A\"/>\n" +
            cable("W1", "50 mm2", "G2.+", "Q1.a", "1 m") + cable("W2", "50 mm2", "Q1.b", "M1.30", "1 m") +
            cable("W3", "35 mm2", "M1.30", "G1.B+", "1 m") + cable("W4", "35 mm2", "Q1.b", "F1.a", "0.1 m") +
            cable("W5", "35 mm2", "G2.-", "U1.a", "1 m") + cable("W6", "35 mm2", "G1.B-", "U1.a", "1 m"));
    const auto topology = check::topology_of(harness);
    const auto is_starter_cable = [&](const char* id) {
        return bool{topology.starter_cable[model::at(*model::find_cable(harness, id))]};
    };
    CHECK(is_starter_cable("W1"));
    CHECK(is_starter_cable("W2"));
    CHECK_FALSE(is_starter_cable("W3"));
    CHECK_FALSE(is_starter_cable("W4"));
    CHECK_FALSE(is_starter_cable("W5"));
    // The unit's cable is then fed bare from the battery by way of the starter stud.
    const auto* feed = feed_of(harness, topology, "W3", "G2", 0);
    REQUIRE(feed != nullptr);
    CHECK(feed->fuse_links.empty());
    CHECK(feed->bare_length_m == doctest::Approx(3));
}

TEST_CASE("posts and masses and seats are one node and a lamp in the exciter lead is control") {
    const model::Harness harness =
        kit(testing::battery + testing::unit +
            "<mass id=\"U1\" zone=\"shop\"><terminal id=\"a\" stud=\"M8\"/><terminal id=\"b\" "
            "stud=\"M8\"/></mass>\n"
            "<starter id=\"M1\" zone=\"shop\" draw=\"200 A\" mass=\"U1\"/>\n"
            "<consumer id=\"P1\" zone=\"shop\" power=\"3 W\" symbol=\"lamp\" runs=\"key-on\"/>\n" +
            cable("W1", "35 mm2", "G2.+", "G1.B+", "0.1 m") + cable("W2", "35 mm2", "G2.-", "U1.a", "1 m") +
            cable("W3", "1 mm2", "G2.+", "P1.+", "0.1 m") + cable("W4", "1 mm2", "P1.-", "G1.L", "1 m") +
            cable("W5", "35 mm2", "G1.B-", "U1.b", "1 m") + cable("W6", "50 mm2", "G2.+", "M1.30", "1 m"));
    const auto topology = check::topology_of(harness);
    const auto node = [&](const char* address) {
        return topology.node(*model::find_terminal(harness, address));
    };
    CHECK(node("U1.a") == node("U1.b"));
    CHECK(topology.node(*model::terminal_of(harness, *model::find_device(harness, "M1"),
                                            model::Role::negative)) == node("U1.a"));
    CHECK(node("G2.+") != node("G1.B+"));
    CHECK(side_of(harness, topology, "W4") == Side::control);
    CHECK(side_of(harness, topology, "W5") == Side::back);
    CHECK(side_of(harness, topology, "W3") == Side::feed);
}

TEST_CASE("the links that every way must pass") {
    const model::Harness harness = kit(one_fuse);
    const auto topology = check::topology_of(harness);
    const auto node = [&](const char* address) {
        return topology.node(*model::find_terminal(harness, address));
    };
    const auto any = [](const check::Link&) { return true; };
    CHECK(check::unavoidable_links(topology, {node("G2.+"), node("G1.B+")}, any).size() == 3);
    const model::Harness doubled = kit(one_fuse + cable("W4", "35 mm2", "G2.+", "F1.a", "0.15 m"));
    const auto wider = check::topology_of(doubled);
    const auto at = [&](const char* address) { return wider.node(*model::find_terminal(doubled, address)); };
    CHECK(check::unavoidable_links(wider, {at("G2.+"), at("G1.B+")}, any).size() == 2);
    CHECK_FALSE(check::way_between(wider, {at("G2.+"), at("G2.-")}, any).has_value());
}
