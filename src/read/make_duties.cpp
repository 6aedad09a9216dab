// Duties, limits and landings.
#include "read/making.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace stoutloom::read {
namespace {

std::vector<std::string> consumer_ids(const Making& making) {
    std::vector<std::string> ids;
    for (const model::Device& device : making.harness.devices)
        if (device.kind() == model::DeviceKind::consumer)
            ids.push_back(device.id);
    return ids;
}

std::vector<model::DeviceIndex> consumers(Making& making, const Node& node, std::string_view attribute) {
    std::vector<model::DeviceIndex> found;
    const GivenAttribute* list = node.given(attribute);
    if (list == nullptr)
        return found;
    for (const std::string& id : list_items(list->value.text)) {
        const auto device = making.devices.find(id);
        if (device == making.devices.end()) {
            if (making.form.lost_ids.contains(id))
                continue;
            const auto known = consumer_ids(making);
            making.complaints.meaning(
                "unknown-id", list->span, fmt::format("there is no consumer \"{}\"", id),
                nearest_or(making.complaints, id, known,
                           known.empty() ? "the file has none"
                                         : fmt::format("the file has {}", listed(known))));
        } else if (making.harness.device(device->second).kind() != model::DeviceKind::consumer) {
            making.complaints.meaning(
                "not-a-consumer", list->span,
                fmt::format("\"{}\" is a {}, not a consumer", id,
                            model::kind_name(making.harness.device(device->second).kind())),
                "list consumers only; contacts follow their closes");
        } else if (std::find(found.begin(), found.end(), device->second) == found.end()) {
            found.push_back(device->second);
        }
    }
    return found;
}

void make_duty(Making& making, const Node& node) {
    model::Duty duty;
    duty.id = node.text("id");
    duty.label = node.text("label", duty.id);
    duty.span = node.tag;
    duty.engine = word_of(node, "engine", model::Engine::off);
    duty.key_on = node.yes("key", true);
    duty.hot = !node.is("temperature", "cold");
    duty.charge_fraction =
        making.written_or(node, "charge", 0.75, "duty " + duty.id, "75 %", "no state of charge is given");
    if (duty.charge_fraction.value > 1)
        making.complaints.meaning("out-of-range", duty.charge_fraction.span,
                                  fmt::format("charge \"{}\" is over full", duty.charge_fraction.text),
                                  "write at most 100 %");
    duty.duration_s = making.written(node, "duration");
    if (node.mentioned("duration") == nullptr && duty.engine == model::Engine::cranking) {
        duty.duration_s = model::Written{.value = 10, .given = false, .text = "10 s", .span = node.name};
        making.assume("duty " + duty.id, "duration 10 s", "one attempt at cranking; no duration is given");
    }
    duty.engine_rpm = making.written(node, "engine-speed");
    const GivenAttribute* on = node.given("on");
    const bool every = on != nullptr && list_items(on->value.text) == std::vector<std::string>{"all"};
    if (every) {
        duty.all_on = true;
    } else {
        duty.on = consumers(making, node, "on");
    }
    duty.off = consumers(making, node, "off");
    for (const model::DeviceIndex device : duty.off)
        if (!every && std::find(duty.on.begin(), duty.on.end(), device) != duty.on.end())
            making.complaints.meaning("on-and-off", place_of(node, "off"),
                                      fmt::format("\"{}\" is both on and off in duty \"{}\"",
                                                  making.harness.device(device).id, duty.id),
                                      "keep it in one of the lists");
    if (!duty.id.empty())
        making.duties.emplace(duty.id, static_cast<model::DutyIndex>(making.harness.duties.size()));
    making.harness.duties.push_back(std::move(duty));
}

void make_named_limit(Making& making, const Node& node, model::Limit& limit) {
    limit.name = node.text("name");
    for (const std::string_view foreign : {"from", "to", "drop", "duty"})
        if (node.mentioned(foreign) != nullptr)
            making.complaints.meaning("limit", place_of(node, foreign),
                                      fmt::format("a limit with a name has no {}", foreign),
                                      "make two limits of it");
    const GivenAttribute* value = node.given("value");
    if (value == nullptr) {
        if (node.mentioned("value") == nullptr)
            making.complaints.meaning("limit", node.name,
                                      fmt::format("limit \"{}\" has no value", limit.name),
                                      "add value=\"...\"");
        return;
    }
    const auto& rows = model::limit_rows();
    const auto row = std::find_if(rows.begin(), rows.end(),
                                  [&](const model::LimitRow& r) { return r.name == limit.name; });
    if (row == rows.end())
        return;
    const auto parsed = base::parse_quantity(row->quantity, value->value.text);
    if (!parsed) {
        making.complaints.meaning("limit", value->span,
                                  fmt::format("limit {}: {}", limit.name, parsed.error().wrong),
                                  parsed.error().mend);
        return;
    }
    if (*parsed <= 0 || (row->quantity == base::Quantity::fraction && *parsed > 1))
        making.complaints.meaning(
            "limit", value->span,
            fmt::format("limit {}: \"{}\" is out of range", limit.name, value->value.text),
            row->quantity == base::Quantity::fraction ? "write a share above zero, at most 100 %"
                                                      : "write a figure above zero");
    limit.value =
        model::Written{.value = *parsed, .given = true, .text = value->value.text, .span = value->span};
}

void make_drop_limit(Making& making, const Node& node, model::Limit& limit) {
    for (const std::string_view wanted : {"from", "to", "drop"})
        if (node.mentioned(wanted) == nullptr) {
            making.complaints.meaning("limit", node.name,
                                      fmt::format("the limit has neither a name nor a {}", wanted),
                                      "write name and value, or from, to and drop");
            return;
        }
    if (node.mentioned("value") != nullptr)
        making.complaints.meaning("limit", place_of(node, "value"), "a drop limit has no value",
                                  "its figure stands in drop");
    limit.from = terminal_at(making, node, "from", false);
    limit.to = terminal_at(making, node, "to", false);
    if (limit.from && limit.from == limit.to)
        making.complaints.meaning("same-terminal", place_of(node, "to"),
                                  fmt::format("a drop from {} to itself", node.text("to")),
                                  "name the other terminal");
    if (const auto drop = making.written(node, "drop"))
        limit.value = *drop;
    const GivenAttribute* duties = node.given("duty");
    if (duties == nullptr)
        return;
    const auto items = list_items(duties->value.text);
    if (items == std::vector<std::string>{"all"})
        return;
    for (const std::string& id : items) {
        const auto duty = making.duties.find(id);
        if (duty != making.duties.end()) {
            limit.duties.push_back(duty->second);
            continue;
        }
        std::vector<std::string> known;
        for (const auto& [name, unused] : making.duties)
            known.push_back(name);
        if (!making.form.lost_ids.contains(id))
            making.complaints.meaning(
                "unknown-id", duties->span, fmt::format("there is no duty \"{}\"", id),
                nearest_or(making.complaints, id, known, fmt::format("there are {}", listed(known))));
    }
}

} // namespace

void make_duties(Making& making) {
    const auto nodes = making.all("duty");
    for (const Node* node : nodes)
        make_duty(making, *node);
    if (!nodes.empty())
        return;
    making.harness.duties = model::built_in_duties();
    for (std::size_t i = 0; i < making.harness.duties.size(); ++i)
        making.duties.emplace(making.harness.duties[i].id, static_cast<model::DutyIndex>(i));
    making.assume("duties", "cranking, idle, rated, cruise, standby", "the file gives no duty");
}

void make_limits(Making& making) {
    for (const Node* node : making.all("limit")) {
        model::Limit limit;
        limit.span = node->tag;
        if (node->mentioned("name") != nullptr)
            make_named_limit(making, *node, limit);
        else
            make_drop_limit(making, *node, limit);
        making.harness.limits.push_back(std::move(limit));
    }
}

void make_landings(Making& making) {
    std::set<model::TerminalIndex> taken;
    for (const Node* node : making.all("landing")) {
        model::Landing landing;
        landing.id = node->text("id");
        landing.span = node->tag;
        if (const GivenAttribute* list = node->given("terminals")) {
            const auto items = list_items(list->value.text);
            for (const std::string& address : items) {
                const auto terminal = terminal_named(making, address, list->span, true);
                if (!terminal)
                    continue;
                if (!taken.insert(*terminal).second)
                    making.complaints.meaning("landing", list->span,
                                              fmt::format("terminal {} is in a landing already", address),
                                              "a terminal belongs to one landing");
                landing.terminals.push_back(*terminal);
            }
            if (items.size() < 2)
                making.complaints.meaning("landing", list->span,
                                          fmt::format("landing \"{}\" has one terminal", landing.id),
                                          "list at least two that could be confused");
        }
        making.harness.landings.push_back(std::move(landing));
    }
}

} // namespace stoutloom::read
