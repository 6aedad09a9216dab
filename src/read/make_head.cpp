// Root attributes, title block, zones; notes and acceptances.
#include "read/making.h"

#include "base/fastener.h"

#include <fmt/format.h>

namespace stoutloom::read {

void at_most_one(Making& making, std::string_view name) {
    const auto found = making.all(name);
    for (std::size_t i = 1; i < found.size(); ++i)
        making.complaints.meaning("repeated-element", found[i]->name, fmt::format("a second <{}>", name),
                                  "put all of it into the first");
}

namespace {

void make_title_block(Making& making) {
    at_most_one(making, "title-block");
    const auto found = making.all("title-block");
    if (found.empty())
        return;
    const Node& node = *found.front();
    making.harness.title_block = {.owner = node.text("owner"),
                                  .created_by = node.text("created-by"),
                                  .approved_by = node.text("approved-by"),
                                  .technical_reference = node.text("technical-reference"),
                                  .department = node.text("department"),
                                  .date = node.text("date"),
                                  .language = node.text("language", "en"),
                                  .status = node.text("status"),
                                  .subtitle = node.text("subtitle")};
}

void make_zone(Making& making, const Node& node) {
    model::Zone zone;
    zone.id = node.text("id");
    zone.label = node.text("label", zone.id);
    if (const auto ambient = making.written(node, "ambient"))
        zone.ambient_degc = *ambient;
    zone.radiant_k = making.written_or(node, "radiant", 0, zone.id, "0 K", "");
    if (zone.radiant_k.value < 0)
        making.complaints.meaning(
            "out-of-range", zone.radiant_k.span,
            fmt::format("radiant of <zone>: \"{}\" would cool the zone", zone.radiant_k.text),
            "sun and hot pipes only add; lower the ambient instead");
    zone.engine_space = node.yes("engine-space");
    zone.wet = node.yes("wet");
    zone.span = node.tag;
    if (node.given("id") != nullptr)
        making.zones.emplace(zone.id, static_cast<model::ZoneIndex>(making.harness.zones.size()));
    making.harness.zones.push_back(std::move(zone));
}

} // namespace

void make_head(Making& making) {
    const Node& root = making.root();
    model::Harness& harness = making.harness;
    harness.title = root.text("title");
    harness.drawing = root.text("drawing");
    harness.revision = root.text("revision", "A");
    harness.nominal_v =
        making.written_or(root, "nominal", 12, "harness", "12 V", "the file gives no nominal voltage");
    harness.profile = word_of(root, "profile", model::Profile::vehicle);
    if (root.mentioned("profile") == nullptr)
        making.assume("harness", "profile vehicle",
                      "the file gives no profile; a boat is held to its regulation's tables as well");
    harness.units = word_of(root, "units", model::UnitSystem::metric);
    make_title_block(making);
    for (const Node* node : making.all("zone"))
        make_zone(making, *node);
    if (harness.zones.empty() && making.all("zone").empty())
        making.complaints.meaning("no-zone", root.name,
                                  "the harness has no zone, so no part has a temperature",
                                  "add <zone id=\"vehicle\" ambient=\"60 degC\"/>");
    if (making.all("cable").empty())
        making.complaints.meaning("no-cable", root.name, "the harness has no cable", "add a <cable>");
}

void make_remarks(Making& making) {
    for (const std::uint32_t index : making.root().children) {
        const Node& node = making.form.nodes[index];
        const bool step = node.row->name == "step";
        if (!step && node.row->name != "note")
            continue;
        const GivenAttribute* about = node.given("about");
        if (about != nullptr) {
            const std::string& id = about->value.text;
            const bool known = making.devices.contains(id) || making.cables.contains(id) ||
                               making.zones.contains(id) || making.incidentals.contains(id);
            if (!known && !making.terminals.contains(id) && !making.form.lost_ids.contains(id)) {
                std::vector<std::string> near;
                for (const auto& [name, unused] : making.devices)
                    near.push_back(name);
                for (const auto& [name, unused] : making.cables)
                    near.push_back(name);
                for (const auto& [name, unused] : making.zones)
                    near.push_back(name);
                making.complaints.meaning(
                    "unknown-id", about->span, fmt::format("there is nothing called \"{}\"", id),
                    nearest_or(making.complaints, id, near, "write the id of a part, cable or zone"));
            }
        }
        making.harness.notes.push_back(
            {.text = node.words, .subject = node.text("about"), .step = step, .span = node.tag});
    }
    for (const Node* node : making.all("accept"))
        making.harness.acceptances.push_back({.rule = node->text("rule"),
                                              .subject = node->text("subject"),
                                              .reason = node->text("reason"),
                                              .span = node->tag});
}

} // namespace stoutloom::read
