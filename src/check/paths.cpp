#include "check/paths.h"

#include "check/flow.h"

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

constexpr double endless = std::numeric_limits<double>::infinity();

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

// Least conductor length from a node to every node, over the links that may be passed; the links walked last.
struct Lengths {
    std::vector<double> length_m;
    std::vector<std::size_t> by; // link index, npos at the start and where not reached
};

using Incident = std::vector<std::vector<std::size_t>>;

Incident incident_of(const Topology& topology) {
    Incident incident(static_cast<std::size_t>(topology.node_count));
    for (std::size_t i = 0; i < topology.links.size(); ++i) {
        incident[static_cast<std::size_t>(topology.links[i].a)].push_back(i);
        if (topology.links[i].a != topology.links[i].b)
            incident[static_cast<std::size_t>(topology.links[i].b)].push_back(i);
    }
    return incident;
}

double length_of(const Harness& harness, const Link& link) {
    return link.cable ? harness.cable(*link.cable).length_m.value : 0;
}

Lengths lengths_from(const Harness& harness, const Topology& topology, const Incident& incident, int start,
                     const std::function<bool(const Link&)>& passes) {
    constexpr auto none = std::numeric_limits<std::size_t>::max();
    Lengths found{std::vector<double>(incident.size(), endless),
                  std::vector<std::size_t>(incident.size(), none)};
    using Entry = std::pair<double, int>;
    std::priority_queue<Entry, std::vector<Entry>, std::greater<>> open;
    found.length_m[static_cast<std::size_t>(start)] = 0;
    open.emplace(0, start);
    while (!open.empty()) {
        const auto [length, node] = open.top();
        open.pop();
        if (length > found.length_m[static_cast<std::size_t>(node)])
            continue;
        for (const std::size_t index : incident[static_cast<std::size_t>(node)]) {
            const Link& link = topology.links[index];
            if (!passes(link))
                continue;
            const int next = link.a == node ? link.b : link.a;
            const double longer = length + length_of(harness, link);
            if (longer >= found.length_m[static_cast<std::size_t>(next)])
                continue;
            found.length_m[static_cast<std::size_t>(next)] = longer;
            found.by[static_cast<std::size_t>(next)] = index;
            open.emplace(longer, next);
        }
    }
    return found;
}

std::vector<std::size_t> walk_back(const Topology& topology, const Lengths& lengths, int node) {
    std::vector<std::size_t> links;
    while (lengths.by[static_cast<std::size_t>(node)] != std::numeric_limits<std::size_t>::max()) {
        links.push_back(lengths.by[static_cast<std::size_t>(node)]);
        const Link& link = topology.links[links.back()];
        node = link.a == node ? link.b : link.a;
    }
    std::reverse(links.begin(), links.end());
    return links;
}

double rating_of(const Harness& harness, const Link& link) {
    if (!link.fuse_link)
        return endless;
    return std::get<model::FuseLink>(harness.device(*link.device).data).rating_a.value;
}

// Of several fused ways to a node, the one whose smallest fuse-link is largest; among those the shortest.
std::vector<std::size_t> widest_way(const Harness& harness, const Topology& topology,
                                    const Incident& incident, int start, int goal, CableIndex without) {
    std::vector<double> ratings;
    for (const Link& link : topology.links)
        if (link.fuse_link)
            ratings.push_back(rating_of(harness, link));
    std::sort(ratings.begin(), ratings.end(), std::greater<>());
    for (const double least : ratings) {
        const Lengths lengths = lengths_from(harness, topology, incident, start, [&](const Link& link) {
            return link.cable != without && rating_of(harness, link) >= least;
        });
        if (lengths.length_m[static_cast<std::size_t>(goal)] != endless)
            return walk_back(topology, lengths, goal);
    }
    return {};
}

struct FeedSearch {
    const Harness& harness;
    const Topology& topology;
    const Incident& incident;

    bool sheathed(const std::vector<std::size_t>& links, std::size_t count) const {
        return std::all_of(links.begin(), links.begin() + static_cast<std::ptrdiff_t>(count),
                           [&](std::size_t index) {
                               const Link& link = topology.links[index];
                               return !link.cable || harness.cable(*link.cable).sheathed;
                           });
    }

    void add_cut(FeedPath& path, int start, int goal) const {
        std::vector<Pipe> pipes;
        std::vector<const Link*> links;
        for (const Link& link : topology.links) {
            if (link.cable == path.cable)
                continue;
            pipes.push_back({link.a, link.b, rating_of(harness, link)});
            links.push_back(&link);
        }
        const GreatestFlow flow = greatest_flow(topology.node_count, pipes, start, goal);
        path.cut_rating_a = flow.value;
        for (const std::size_t index : flow.cut)
            if (links[index]->fuse_link)
                path.cut.push_back(*links[index]->device);
    }

    std::optional<FeedPath> path(DeviceIndex source, int start, CableIndex cable, int end) const {
        const model::Cable& about = harness.cable(cable);
        const int goal = topology.node(end == 0 ? about.from.at : about.to.at);
        FeedPath found;
        found.source = source;
        found.cable = cable;
        found.entry_end = end;
        found.from_battery_terminal = start == goal && harness.device(source).kind() == DeviceKind::battery;
        const Lengths bare = lengths_from(harness, topology, incident, start, [&](const Link& link) {
            return link.cable != cable && !link.fuse_link;
        });
        if (bare.length_m[static_cast<std::size_t>(goal)] != endless) {
            const std::vector<std::size_t> links = walk_back(topology, bare, goal);
            found.bare_length_m = bare.length_m[static_cast<std::size_t>(goal)] + about.length_m.value;
            found.all_sheathed = about.sheathed && sheathed(links, links.size());
            return found;
        }
        const std::vector<std::size_t> links = widest_way(harness, topology, incident, start, goal, cable);
        if (links.empty())
            return std::nullopt;
        std::size_t before = 0;
        for (std::size_t i = 0; i < links.size(); ++i) {
            const Link& link = topology.links[links[i]];
            if (link.fuse_link)
                found.fuse_links.push_back(*link.device);
            if (found.fuse_links.empty()) {
                found.bare_length_m += length_of(harness, link);
                before = i + 1;
            }
        }
        found.all_sheathed = sheathed(links, before);
        add_cut(found, start, goal);
        return found;
    }
};

// A cable lies on a simple unfused way from battery to starter exactly when two ways without a common node
// lead from its two ends to the two of them: a flow of 2 with one unit through each node.
bool on_starter_way(const Harness& harness, const Topology& topology, CableIndex cable, int battery,
                    int starter) {
    const model::Cable& about = harness.cable(cable);
    const int from = topology.node(about.from.at), to = topology.node(about.to.at);
    const int middle = 2 * topology.node_count, goal = middle + 1;
    std::vector<Arc> arcs;
    for (int node = 0; node < topology.node_count; ++node)
        arcs.push_back({.from = 2 * node, .to = 2 * node + 1, .least = 0, .greatest = 1, .cost = 0});
    for (const Link& link : topology.links) {
        if (link.fuse_link || link.cable == cable || link.a == link.b)
            continue;
        arcs.push_back({.from = 2 * link.a + 1, .to = 2 * link.b, .least = 0, .greatest = 1, .cost = 0});
        arcs.push_back({.from = 2 * link.b + 1, .to = 2 * link.a, .least = 0, .greatest = 1, .cost = 0});
    }
    for (const int end : {from, to})
        arcs.push_back({.from = middle, .to = 2 * end, .least = 1, .greatest = 1, .cost = 0});
    for (const int end : {battery, starter})
        arcs.push_back({.from = 2 * end + 1, .to = goal, .least = 1, .greatest = 1, .cost = 0});
    arcs.push_back({.from = goal, .to = middle, .least = 2, .greatest = 2, .cost = 0});
    return from != to && cheapest_circulation(goal + 1, arcs).has_value();
}

void mark_starter_cables(const Harness& harness, Topology& topology) {
    topology.starter_cable.assign(harness.cables.size(), false);
    std::vector<std::pair<int, int>> ways;
    for (std::size_t d = 0; d < harness.devices.size(); ++d) {
        if (harness.devices[d].kind() != DeviceKind::starter)
            continue;
        const auto main_stud = model::terminal_of(harness, static_cast<DeviceIndex>(d), Role::positive);
        if (!main_stud)
            continue;
        const std::vector<bool> near = reached_from(topology, topology.node(*main_stud),
                                                    [](const Link& link) { return !link.fuse_link; });
        for (const DeviceIndex source : sources_of(harness)) {
            const auto plus = model::terminal_of(harness, source, Role::positive);
            if (harness.device(source).kind() == DeviceKind::battery && plus &&
                near[static_cast<std::size_t>(topology.node(*plus))])
                ways.emplace_back(topology.node(*plus), topology.node(*main_stud));
        }
    }
    for (std::size_t c = 0; c < harness.cables.size(); ++c)
        if (topology.side_of_cable[c] == Side::feed)
            for (const auto& [battery, starter] : ways)
                if (on_starter_way(harness, topology, static_cast<CableIndex>(c), battery, starter))
                    topology.starter_cable[c] = true;
}

void find_feeds(const Harness& harness, Topology& topology) {
    const Incident incident = incident_of(topology);
    const FeedSearch search{harness, topology, incident};
    for (std::size_t c = 0; c < harness.cables.size(); ++c) {
        if (topology.side_of_cable[c] != Side::feed)
            continue;
        for (const DeviceIndex source : sources_of(harness)) {
            const auto plus = model::terminal_of(harness, source, Role::positive);
            if (!plus || topology.component(*plus) != topology.component(harness.cables[c].from.at))
                continue;
            for (const int end : {0, 1})
                if (auto path = search.path(source, topology.node(*plus), static_cast<CableIndex>(c), end))
                    topology.feeds.push_back(std::move(*path));
        }
    }
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
    const Incident incident = incident_of(topology);
    std::vector<std::size_t> by(incident.size(), std::numeric_limits<std::size_t>::max());
    reached.assign(incident.size(), false);
    reached[static_cast<std::size_t>(from)] = true;
    std::queue<int> open;
    open.push(from);
    while (!open.empty()) {
        const int here = open.front();
        open.pop();
        for (const std::size_t index : incident[static_cast<std::size_t>(here)]) {
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

std::optional<std::vector<std::size_t>> way_between(const Topology& topology, int from, int to,
                                                    const std::function<bool(const Link&)>& passes) {
    std::vector<bool> reached;
    const std::vector<std::size_t> by = first_links(topology, from, passes, reached);
    if (!reached[static_cast<std::size_t>(to)])
        return std::nullopt;
    std::vector<std::size_t> links;
    for (int node = to; node != from;) {
        const Link& link = topology.links[by[static_cast<std::size_t>(node)]];
        links.push_back(by[static_cast<std::size_t>(node)]);
        node = link.a == node ? link.b : link.a;
    }
    std::reverse(links.begin(), links.end());
    return links;
}

std::vector<std::size_t> unavoidable_links(const Topology& topology, int from, int to,
                                           const std::function<bool(const Link&)>& passes) {
    std::vector<std::size_t> unavoidable;
    const auto way = way_between(topology, from, to, passes);
    if (!way)
        return unavoidable;
    for (const std::size_t index : *way) {
        const Link* gone = &topology.links[index];
        const auto rest =
            reached_from(topology, from, [&](const Link& link) { return &link != gone && passes(link); });
        if (!rest[static_cast<std::size_t>(to)])
            unavoidable.push_back(index);
    }
    return unavoidable;
}

Topology topology_of(const Harness& harness) {
    Topology topology;
    topology.node_of_terminal = nodes_of(harness);
    for (const int node : topology.node_of_terminal)
        topology.node_count = std::max(topology.node_count, node + 1);
    topology.links = links_of(harness, topology.node_of_terminal);
    std::vector<int> parent(static_cast<std::size_t>(topology.node_count));
    std::iota(parent.begin(), parent.end(), 0);
    for (const Link& link : topology.links)
        join(parent, link.a, link.b);
    int count = 0;
    topology.component_of_node = numbered(parent, count);
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
