// Cables with their ends and routes, and the paths nobody meant to carry current.
#include "read/making.h"

#include "base/insulation.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::read {
namespace {

// Lengths are written in rounded figures, and feet beside metres: a route may differ from its cable by this
// much.
constexpr double route_slack_m = 0.005;
constexpr double route_slack_fraction = 0.01;

model::CableEnd cable_end(Making& making, const Node& node) {
    model::CableEnd end;
    end.span = node.tag;
    const auto at = terminal_at(making, node, "at", true);
    if (at)
        end.at = *at;
    if (const GivenAttribute* lug = node.given("lug")) {
        end.lug_given = true;
        end.lug_span = lug->span;
        end.lug = lug->value.text == "auto"
                      ? base::fastener_to_choose()
                      : base::fastener_by_name(lug->value.text).value_or(base::Fastener{});
    } else if (at)
        end.lug = making.harness.terminal(*at).stud;
    end.barrel_mm2 = making.written(node, "barrel");
    end.joint_ohm = making.written(node, "joint");
    end.crimp_ohm = making.written(node, "crimp");
    end.joint_degc = making.written(node, "stud-temperature");
    end.washer_under = node.yes("washer-under");
    return end;
}

void make_ends(Making& making, const Node& node, model::Cable& cable) {
    const auto from = making.children(node, "from");
    const auto to = making.children(node, "to");
    if (from.size() != 1 || to.size() != 1)
        return; // told as form
    cable.from = cable_end(making, *from.front());
    cable.to = cable_end(making, *to.front());
    const GivenAttribute* first = from.front()->given("at");
    const GivenAttribute* second = to.front()->given("at");
    if (first != nullptr && second != nullptr && first->value.text == second->value.text)
        making.complaints.meaning(
            "same-terminal", second->span,
            fmt::format("both ends of cable \"{}\" are on {}", cable.id, second->value.text),
            "name the terminal its other end goes to");
    std::string told;
    // A lug that goes with a stud still to be chosen is no size taken for granted.
    if (from.front()->mentioned("lug") == nullptr && !base::is_to_choose(cable.from.lug))
        told = cable.from.lug.name;
    if (to.front()->mentioned("lug") == nullptr && !base::is_to_choose(cable.to.lug))
        told += (told.empty() ? "" : " and ") + cable.to.lug.name;
    if (!told.empty())
        making.assume(cable.id, "lug " + told, "no lug is given; made for the stud it sits on");
}

void check_route(Making& making, const Node& node, model::Cable& cable) {
    double sum_m = 0;
    for (const model::Segment& segment : cable.segments)
        sum_m += segment.length_m.value;
    const double difference_m = sum_m - cable.length_m.value;
    const double slack_m = std::max(route_slack_m, route_slack_fraction * cable.length_m.value);
    if (std::abs(difference_m) > slack_m) {
        making.complaints.meaning(
            "route-length", place_of(node, "length"),
            fmt::format("the route of cable \"{}\" is {} m long, {} than its length of {}", cable.id,
                        base::shown_number(sum_m, 3, base::Rounding::nearest),
                        difference_m > 0 ? "longer" : "shorter", cable.length_m.text),
            "mend the length, or the stretches of the route, until they agree");
        return;
    }
    const auto longest = std::max_element(
        cable.segments.begin(), cable.segments.end(),
        [](const model::Segment& a, const model::Segment& b) { return a.length_m.value < b.length_m.value; });
    longest->length_m.value -= difference_m;
}

void make_route(Making& making, const Node& node, const std::vector<const Node*>& routes,
                model::Cable& cable) {
    bool sound = node.given("length") != nullptr;
    for (const Node* route : routes) {
        model::Segment segment;
        const auto zone = zone_of(making, *route);
        const auto length = making.written(*route, "length");
        sound = sound && length.has_value();
        if (zone)
            segment.zone = *zone;
        if (length)
            segment.length_m = *length;
        segment.loom = route->text("loom");
        if (route->given("mounting") != nullptr)
            segment.mounting = word_of(*route, "mounting", model::Mounting::clipped);
        segment.span = route->tag;
        cable.segments.push_back(std::move(segment));
    }
    cable.segments_given = true;
    if (sound)
        check_route(making, node, cable);
}

void whole_length_in(model::Cable& cable, model::ZoneIndex zone) {
    model::Segment segment;
    segment.zone = zone;
    segment.length_m = cable.length_m;
    segment.span = cable.span;
    cable.segments.push_back(std::move(segment));
}

// Neither route nor zone: where its ends are.
void assumed_route(Making& making, model::Cable& cable) {
    const auto zone_at = [&](const model::CableEnd& end) -> std::optional<model::ZoneIndex> {
        if (model::at(end.at) >= making.harness.terminals.size())
            return std::nullopt;
        return making.harness.device(making.harness.terminal(end.at).device).zone;
    };
    const auto first = zone_at(cable.from);
    const auto second = zone_at(cable.to);
    const auto name = [&](model::ZoneIndex zone) { return making.harness.zone(zone).id; };
    if (first && second && first != second) {
        whole_length_in(cable, *first);
        whole_length_in(cable, *second);
        for (model::Segment& segment : cable.segments) {
            segment.length_m.value /= 2;
            segment.length_m.given = false;
        }
        making.assume(cable.id, fmt::format("half in {}, half in {}", name(*first), name(*second)),
                      "no route is given; its ends lie there");
        return;
    }
    const auto only = first ? first : second ? second : hottest_zone(making);
    if (!only)
        return; // no zone at all: told by make_head
    whole_length_in(cable, *only);
    making.assume(cable.id, "all in " + name(*only),
                  first || second ? "no route is given; its ends lie there"
                                  : "no route is given; the hottest zone is the safe side");
}

void make_segments(Making& making, const Node& node, model::Cable& cable) {
    const auto routes = making.children(node, "route");
    if (!routes.empty()) {
        if (node.mentioned("zone") != nullptr)
            making.complaints.meaning("zone-and-route", place_of(node, "zone"),
                                      fmt::format("cable \"{}\" has both a zone and a route", cable.id),
                                      "take the zone out: the route says where it runs");
        return make_route(making, node, routes, cable);
    }
    if (const auto zone = zone_of(making, node)) {
        cable.segments_given = true;
        return whole_length_in(cable, *zone);
    }
    if (node.mentioned("zone") == nullptr)
        assumed_route(making, cable);
}

void make_insulation(Making& making, const Node& node, model::Cable& cable) {
    cable.insulation_given = node.given("insulation") != nullptr;
    if (const auto parsed = base::parse_insulation(node.text("insulation", "B")))
        cable.insulation = *parsed;
    if (node.mentioned("insulation") == nullptr && cable.build != model::CableBuild::braid)
        making.assume(cable.id, "insulation class B (100 degC)", "the file gives none");
}

void check_diameters(Making& making, const Node& node, const model::Cable& cable) {
    if (!cable.outer_diameter_m || !cable.conductor_diameter_m)
        return;
    if (cable.outer_diameter_m->value >= cable.conductor_diameter_m->value)
        return;
    making.complaints.meaning(
        "diameters", place_of(node, "outer-diameter"),
        fmt::format("cable \"{}\" is {} over its insulation, less than {} over its strands", cable.id,
                    cable.outer_diameter_m->text, cable.conductor_diameter_m->text),
        "swap or mend the two");
}

// Two digits at most, checked by its kind.
int whole_number(std::string_view digits) {
    int number = 0;
    for (const char c : digits)
        number = 10 * number + (c - '0');
    return number;
}

void make_cable(Making& making, const Node& node) {
    model::Cable cable;
    cable.id = node.text("id");
    cable.span = node.tag;
    cable.automatic = node.is("section", "auto");
    if (const auto section = making.written(node, "section"))
        cable.section_mm2 = *section;
    if (const GivenAttribute* section = node.mentioned("section"))
        cable.section_span = section->span;
    cable.colour = node.text("colour");
    if (const auto length = making.written(node, "length"))
        cable.length_m = *length;
    if (const GivenAttribute* parallel = node.given("parallel"))
        cable.parallel = whole_number(parallel->value.text);
    cable.origin = word_of(node, "origin", model::Origin::original);
    cable.build = word_of(node, "build", model::CableBuild::cable);
    cable.mounting = word_of(node, "mounting", model::Mounting::clipped);
    if (node.mentioned("mounting") == nullptr)
        making.assume(cable.id, "clipped to a surface", "the file gives no mounting");
    cable.sheathed = node.yes("sheathed");
    cable.guarded = node.yes("guarded");
    cable.r20_ohm_per_m = making.written(node, "resistance-per-length");
    cable.outer_diameter_m = making.written(node, "outer-diameter");
    cable.conductor_diameter_m = making.written(node, "conductor-diameter");
    check_diameters(making, node, cable);
    make_insulation(making, node, cable);
    make_ends(making, node, cable);
    make_segments(making, node, cable);
    if (!cable.id.empty())
        making.cables.emplace(cable.id, static_cast<model::CableIndex>(making.harness.cables.size()));
    making.harness.cables.push_back(std::move(cable));
}

} // namespace

void make_cables(Making& making) {
    for (const Node* node : making.all("cable"))
        make_cable(making, *node);
}

void make_paths(Making& making) {
    for (const Node* node : making.all("incidental")) {
        model::Incidental path;
        path.id = node->text("id");
        path.label = node->text("label", path.id);
        path.span = node->tag;
        const auto from = terminal_at(making, *node, "from", false);
        const auto to = terminal_at(making, *node, "to", false);
        if (from)
            path.from = *from;
        if (to)
            path.to = *to;
        if (from && to && from == to)
            making.complaints.meaning(
                "same-terminal", place_of(*node, "to"),
                fmt::format("both ends of incidental \"{}\" are on {}", path.id, node->text("to")),
                "name the metal its other end touches");
        if (const auto resistance = making.written(*node, "resistance"))
            path.resistance_ohm = *resistance;
        path.rating_a = making.written(*node, "rating");
        path.section_mm2 = making.written(*node, "section");
        if (!path.id.empty())
            making.incidentals.emplace(
                path.id, static_cast<model::IncidentalIndex>(making.harness.incidentals.size()));
        making.harness.incidentals.push_back(std::move(path));
    }
}

} // namespace stoutloom::read
