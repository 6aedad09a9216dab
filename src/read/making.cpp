// References, ids and defaults: what every step from the checked tree to the model needs.
#include "read/making.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::read {
namespace {

bool is_device(std::string_view name) {
    const auto all = device_elements();
    return std::find(all.begin(), all.end(), name) != all.end();
}

// The XSD holds the same by unique and keyref, so these are mistakes of form.
class Ids {
  public:
    explicit Ids(Making& making) : making_(making) {}

    void unique(const std::vector<const Node*>& nodes, std::string_view what) {
        const std::string_view attribute = what == "limit" ? "name" : "id";
        std::map<std::string, const Node*, std::less<>> seen;
        for (const Node* node : nodes) {
            const GivenAttribute* id = node->given(attribute);
            if (id == nullptr)
                continue;
            const auto [first, fresh] = seen.emplace(id->value.text, node);
            if (!fresh)
                refuse("duplicate-id", id->span,
                       fmt::format("{} \"{}\" is given twice", what, id->value.text),
                       fmt::format("the other one is a <{}>; rename one of them", first->second->row->name),
                       what == "terminal id");
        }
    }

    void refers(const Node& node, std::string_view attribute, const std::vector<std::string>& known,
                std::string_view what) {
        const GivenAttribute* one = node.given(attribute);
        if (one == nullptr || std::find(known.begin(), known.end(), one->value.text) != known.end())
            return;
        if (making_.form.lost_ids.contains(one->value.text))
            return;
        refuse("unknown-id", one->span, fmt::format("there is no {} \"{}\"", what, one->value.text),
               nearest_or(making_.complaints, one->value.text, known,
                          known.empty() ? fmt::format("add a <{}>", what)
                                        : fmt::format("the file has {}", listed(known))));
    }

    static std::vector<std::string> ids(const std::vector<const Node*>& nodes) {
        std::vector<std::string> all;
        for (const Node* node : nodes)
            if (const GivenAttribute* id = node->given("id"))
                all.push_back(id->value.text);
        return all;
    }

  private:
    Making& making_;

    // A variant puts a kit together that the XSD never sees whole; the terminals of one part it does see.
    void refuse(std::string slug, base::Span span, std::string message, std::string mend,
                bool one_part = false) {
        if (making_.in_variant && !one_part)
            making_.complaints.meaning(std::move(slug), span, std::move(message), std::move(mend));
        else
            making_.complaints.form(std::move(slug), span, std::move(message), std::move(mend));
    }
};

} // namespace

std::vector<const Node*> Making::children(const Node& node, std::string_view name) const {
    std::vector<const Node*> found;
    for (const std::uint32_t index : node.children)
        if (form.nodes[index].row->name == name)
            found.push_back(&form.nodes[index]);
    return found;
}

std::vector<const Node*> Making::all(std::string_view name) const {
    return children(root(), name);
}

void Making::assume(std::string subject, std::string what, std::string reason) {
    harness.assumptions.push_back(
        {.subject = std::move(subject), .what = std::move(what), .reason = std::move(reason)});
}

std::optional<model::Written> Making::written(const Node& node, std::string_view attribute) const {
    const GivenAttribute* one = node.given(attribute);
    if (one == nullptr)
        return std::nullopt;
    return model::Written{
        .value = one->value.number, .given = true, .text = one->value.text, .span = one->span};
}

model::Written Making::written_or(const Node& node, std::string_view attribute, double otherwise,
                                  std::string_view subject, std::string_view shown, std::string_view reason) {
    if (const auto given = written(node, attribute))
        return *given;
    if (!reason.empty() && node.mentioned(attribute) == nullptr)
        assume(std::string(subject), fmt::format("{} {}", attribute, shown), std::string(reason));
    return {.value = otherwise, .given = false, .text = std::string(shown), .span = node.name};
}

base::Span place_of(const Node& node, std::string_view attribute) {
    const GivenAttribute* one = node.mentioned(attribute);
    return one != nullptr ? one->span : node.name;
}

void check_unique_ids(Making& making) {
    Ids ids(making);
    std::vector<const Node*> parts, devices;
    for (const std::uint32_t index : making.root().children) {
        const Node& node = making.form.nodes[index];
        if (is_device(node.row->name))
            devices.push_back(&node);
        if (is_device(node.row->name) || node.row->name == "cable" || node.row->name == "incidental")
            parts.push_back(&node);
    }
    ids.unique(parts, "id");
    ids.unique(making.all("zone"), "zone id");
    ids.unique(making.all("duty"), "duty id");
    ids.unique(making.all("landing"), "landing id");
    ids.unique(making.all("limit"), "limit");
    for (const Node* device : devices)
        ids.unique(making.children(*device, "terminal"), "terminal id");

    const std::vector<std::string> zones = Ids::ids(making.all("zone"));
    const std::vector<std::string> masses = Ids::ids(making.all("mass"));
    for (const Node* part : parts) {
        ids.refers(*part, "zone", zones, "zone");
        ids.refers(*part, "mass", masses, "mass");
        for (const Node* route : making.children(*part, "route"))
            ids.refers(*route, "zone", zones, "zone");
    }
}

std::optional<model::TerminalIndex> terminal_named(Making& making, std::string_view address, base::Span place,
                                                   bool bolted) {
    const auto found = making.terminals.find(address);
    const std::string_view part = address.substr(0, address.find('.'));
    if (found == making.terminals.end()) {
        if (making.form.lost_ids.contains(part))
            return std::nullopt;
        std::vector<std::string> near;
        if (making.complaints.worth_a_suggestion())
            for (const auto& [name, index] : making.terminals)
                if (!bolted || !making.harness.terminal(index).implicit)
                    near.push_back(name);
        const auto device = making.devices.find(part);
        std::vector<std::string> own;
        if (device != making.devices.end())
            for (const model::TerminalIndex index : making.harness.device(device->second).terminals)
                if (!bolted || !making.harness.terminal(index).implicit)
                    own.push_back(making.harness.terminal(index).address);
        making.complaints.meaning("unknown-id", place, fmt::format("there is no terminal \"{}\"", address),
                                  nearest_or(making.complaints, address, own.empty() ? near : own,
                                             own.empty() ? "write a part's id, a point and its terminal's id"
                                                         : fmt::format("{} has {}", part, listed(own))));
        return std::nullopt;
    }
    const model::Terminal& terminal = making.harness.terminal(found->second);
    if (bolted && terminal.implicit) {
        const std::string mend = terminal.address == part
                                     ? fmt::format("give <mass id=\"{}\"> a <terminal> and name that", part)
                                     : "name the mass the unit is bolted to, at one of its terminals";
        making.complaints.meaning("no-stud", place,
                                  fmt::format("\"{}\" has no stud to bolt a lug to", address), mend);
        return std::nullopt;
    }
    return found->second;
}

std::optional<model::TerminalIndex> terminal_at(Making& making, const Node& node, std::string_view attribute,
                                                bool bolted) {
    const GivenAttribute* one = node.given(attribute);
    if (one == nullptr)
        return std::nullopt;
    return terminal_named(making, one->value.text, one->span, bolted);
}

std::optional<model::ZoneIndex> zone_of(const Making& making, const Node& node) {
    const GivenAttribute* one = node.given("zone");
    if (one == nullptr)
        return std::nullopt;
    const auto found = making.zones.find(one->value.text);
    if (found == making.zones.end())
        return std::nullopt;
    return found->second;
}

std::optional<model::ZoneIndex> hottest_zone(const Making& making) {
    std::optional<model::ZoneIndex> hottest;
    double hottest_degc = 0;
    for (std::size_t i = 0; i < making.harness.zones.size(); ++i) {
        const model::Zone& zone = making.harness.zones[i];
        const double degc = zone.ambient_degc.value + zone.radiant_k.value;
        if (hottest && degc <= hottest_degc)
            continue;
        hottest = static_cast<model::ZoneIndex>(i);
        hottest_degc = degc;
    }
    return hottest;
}

} // namespace stoutloom::read
