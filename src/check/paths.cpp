#include "check/paths.h"

#include "check/feeds.h"

#include <algorithm>
#include <limits>
#include <numeric>
#include <queue>

namespace stoutloom::check {
namespace {

using model::at;
using model::CableIndex;
using model::DeviceIndex;
using model::DeviceKind;
using model::Harness;
using model::Role;
using model::TerminalIndex;

int root_of(std::vector<int>& parent, int item) {
    while (parent[static_cast<std::size_t>(item)] != item) {
        int& up = parent[static_cast<std::size_t>(item)];
        up = parent[static_cast<std::size_t>(up)];
        item = up;
    }
    return item;
}

void join(std::vector<int>& parent, int one, int other) {
    one = root_of(parent, one);
    other = root_of(parent, other);
    parent[static_cast<std::size_t>(std::max(one, other))] = std::min(one, other);
}

// Roots renamed 0, 1, 2 ... in order of first use, so that numbers follow the file.
std::vector<int> numbered(std::vector<int>& parent, int& count) {
    std::vector<int> name(parent.size(), -1), result;
    count = 0;
    for (std::size_t i = 0; i < parent.size(); ++i) {
        int& mine = name[static_cast<std::size_t>(root_of(parent, static_cast<int>(i)))];
        if (mine < 0)
            mine = count++;
        result.push_back(mine);
    }
    return result;
}

struct Marks {
    bool battery_plus = false, battery_minus = false, generator_plus = false, generator_minus = false,
         control = false;
};

std::vector<Marks> marks_of(const Harness& harness, const Topology& topology) {
    std::vector<Marks> marks(static_cast<std::size_t>(topology.node_count));
    for (std::size_t t = 0; t < harness.terminals.size(); ++t) {
        const model::Terminal& terminal = harness.terminals[t];
        Marks& mark = marks[static_cast<std::size_t>(topology.component(static_cast<TerminalIndex>(t)))];
        const DeviceKind kind = harness.device(terminal.device).kind();
        const bool plus = terminal.role == Role::positive, minus = terminal.role == Role::negative;
        mark.battery_plus |= kind == DeviceKind::battery && plus;
        mark.battery_minus |= kind == DeviceKind::battery && minus;
        mark.generator_plus |= kind == DeviceKind::generator && plus;
        mark.generator_minus |= kind == DeviceKind::generator && minus;
        mark.control |= terminal.role == Role::excite || terminal.role == Role::sense ||
                        terminal.role == Role::control || terminal.role == Role::signal;
    }
    return marks;
}

Side side_from(const Marks& marks) {
    // Batteries in series meet plus to minus: such a link stands at a voltage, so it counts as live.
    if (marks.battery_plus)
        return Side::feed;
    if (marks.battery_minus)
        return Side::back;
    if (marks.generator_plus)
        return Side::feed;
    if (marks.generator_minus)
        return Side::back;
    return marks.control ? Side::control : Side::unknown;
}

} // namespace

std::vector<DeviceIndex> sources_of(const Harness& harness) {
    std::vector<DeviceIndex> sources;
    for (std::size_t d = 0; d < harness.devices.size(); ++d) {
        const DeviceKind kind = harness.devices[d].kind();
        if (kind == DeviceKind::battery || kind == DeviceKind::generator)
            sources.push_back(static_cast<DeviceIndex>(d));
    }
    return sources;
}

std::optional<std::pair<TerminalIndex, TerminalIndex>> contact_of(const Harness& harness,
                                                                  DeviceIndex device) {
    const model::Device& about = harness.device(device);
    switch (about.kind()) {
    case DeviceKind::relay: {
        std::optional<TerminalIndex> common, make;
        for (const TerminalIndex t : about.terminals) {
            if (harness.terminal(t).id == "30")
                common = t;
            if (harness.terminal(t).id == "87")
                make = t;
        }
        if (!common || !make)
            return std::nullopt;
        return std::pair(*common, *make);
    }
    case DeviceKind::switch_:
    case DeviceKind::fuse_link:
    case DeviceKind::shunt:
        if (about.terminals.size() < 2)
            return std::nullopt;
        return std::pair(about.terminals[0], about.terminals[1]);
    default:
        return std::nullopt;
    }
}

std::vector<int> nodes_of(const Harness& harness) {
    std::vector<int> parent(harness.terminals.size());
    std::iota(parent.begin(), parent.end(), 0);
    for (const model::Device& device : harness.devices) {
        const bool one_metal = device.kind() == DeviceKind::post || device.kind() == DeviceKind::mass;
        for (const TerminalIndex t : device.terminals) {
            if (one_metal)
                join(parent, static_cast<int>(at(device.terminals.front())), static_cast<int>(at(t)));
            if (!one_metal && device.seat && harness.terminal(t).implicit)
                join(parent, static_cast<int>(at(t)),
                     static_cast<int>(at(model::metal_of(harness, *device.seat))));
        }
    }
    int count = 0;
    return numbered(parent, count);
}

std::vector<Link> links_of(const Harness& harness, const std::vector<int>& node_of_terminal) {
    std::vector<Link> links;
    const auto node = [&](TerminalIndex t) { return node_of_terminal[at(t)]; };
    for (std::size_t c = 0; c < harness.cables.size(); ++c)
        links.push_back({.a = node(harness.cables[c].from.at),
                         .b = node(harness.cables[c].to.at),
                         .cable = static_cast<CableIndex>(c),
                         .device = std::nullopt,
                         .fuse_link = false});
    for (std::size_t d = 0; d < harness.devices.size(); ++d)
        if (const auto contact = contact_of(harness, static_cast<DeviceIndex>(d)))
            links.push_back({.a = node(contact->first),
                             .b = node(contact->second),
                             .cable = std::nullopt,
                             .device = static_cast<DeviceIndex>(d),
                             .fuse_link = harness.devices[d].kind() == DeviceKind::fuse_link});
    return links;
}

namespace {

// Link by which each node was first reached, breadth first; npos at the start and where not reached.
std::vector<std::size_t> first_links(const Topology& topology, int from,
                                     const std::function<bool(const Link&)>& passes,
                                     std::vector<bool>& reached) {
    std::vector<std::size_t> by(topology.links_at.size(), std::numeric_limits<std::size_t>::max());
    reached.assign(topology.links_at.size(), false);
    reached[static_cast<std::size_t>(from)] = true;
    std::queue<int> open;
    open.push(from);
    while (!open.empty()) {
        const int here = open.front();
        open.pop();
        for (const std::size_t index : topology.links_at[static_cast<std::size_t>(here)]) {
            const Link& link = topology.links[index];
            const int next = link.a == here ? link.b : link.a;
            if (reached[static_cast<std::size_t>(next)] || !passes(link))
                continue;
            reached[static_cast<std::size_t>(next)] = true;
            by[static_cast<std::size_t>(next)] = index;
            open.push(next);
        }
    }
    return by;
}

} // namespace

std::vector<bool> reached_from(const Topology& topology, int node,
                               const std::function<bool(const Link&)>& passes) {
    std::vector<bool> reached;
    first_links(topology, node, passes, reached);
    return reached;
}

std::optional<std::vector<std::size_t>> way_between(const Topology& topology, Between nodes,
                                                    const std::function<bool(const Link&)>& passes) {
    std::vector<bool> reached;
    const std::vector<std::size_t> by = first_links(topology, nodes.from, passes, reached);
    if (!reached[static_cast<std::size_t>(nodes.to)])
        return std::nullopt;
    std::vector<std::size_t> links;
    for (int node = nodes.to; node != nodes.from;) {
        const Link& link = topology.links[by[static_cast<std::size_t>(node)]];
        links.push_back(by[static_cast<std::size_t>(node)]);
        node = link.a == node ? link.b : link.a;
    }
    std::reverse(links.begin(), links.end());
    return links;
}

std::vector<std::size_t> unavoidable_links(const Topology& topology, Between nodes,
                                           const std::function<bool(const Link&)>& passes) {
    std::vector<std::size_t> unavoidable;
    const auto way = way_between(topology, nodes, passes);
    if (!way)
        return unavoidable;
    for (const std::size_t index : *way) {
        const Link* gone = &topology.links[index];
        const auto rest = reached_from(topology, nodes.from,
                                       [&](const Link& link) { return &link != gone && passes(link); });
        if (!rest[static_cast<std::size_t>(nodes.to)])
            unavoidable.push_back(index);
    }
    return unavoidable;
}

namespace {

void join_links(Topology& topology) {
    topology.links_at.assign(static_cast<std::size_t>(topology.node_count), {});
    for (std::size_t i = 0; i < topology.links.size(); ++i) {
        topology.links_at[static_cast<std::size_t>(topology.links[i].a)].push_back(i);
        if (topology.links[i].a != topology.links[i].b)
            topology.links_at[static_cast<std::size_t>(topology.links[i].b)].push_back(i);
    }
    std::vector<int> parent(static_cast<std::size_t>(topology.node_count));
    std::iota(parent.begin(), parent.end(), 0);
    for (const Link& link : topology.links)
        join(parent, link.a, link.b);
    int count = 0;
    topology.component_of_node = numbered(parent, count);
}

} // namespace

Topology without(const Topology& topology, const std::function<bool(const Link&)>& gone) {
    Topology left = topology;
    std::erase_if(left.links, gone);
    join_links(left);
    return left;
}

Topology split_off(const Harness& harness, const Topology& topology, TerminalIndex stud) {
    Topology left = topology;
    const int own = left.node_count++;
    left.node_of_terminal[at(stud)] = own;
    for (Link& link : left.links) {
        if (!link.cable)
            continue;
        if (harness.cable(*link.cable).from.at == stud)
            link.a = own;
        if (harness.cable(*link.cable).to.at == stud)
            link.b = own;
    }
    join_links(left);
    return left;
}

Topology topology_of(const Harness& harness) {
    Topology topology;
    topology.node_of_terminal = nodes_of(harness);
    for (const int node : topology.node_of_terminal)
        topology.node_count = std::max(topology.node_count, node + 1);
    topology.links = links_of(harness, topology.node_of_terminal);
    join_links(topology);
    const std::vector<Marks> marks = marks_of(harness, topology);
    for (std::size_t t = 0; t < harness.terminals.size(); ++t)
        topology.side_of_terminal.push_back(
            side_from(marks[static_cast<std::size_t>(topology.component(static_cast<TerminalIndex>(t)))]));
    for (const model::Cable& cable : harness.cables)
        topology.side_of_cable.push_back(topology.side_of_terminal[at(cable.from.at)]);
    mark_starter_cables(harness, topology);
    find_feeds(harness, topology);
    return topology;
}

} // namespace stoutloom::check
