// Which source reaches which cable, by which fuse-links, over how much bare conductor.
#include "check/feeds.h"

#include "check/flow.h"

#include <algorithm>
#include <limits>
#include <map>
#include <queue>

namespace stoutloom::check {
namespace {

using model::CableIndex;
using model::DeviceIndex;
using model::DeviceKind;
using model::Harness;
using model::Role;

constexpr double endless = std::numeric_limits<double>::infinity();
constexpr auto no_link = std::numeric_limits<std::size_t>::max();

// Least conductor length from a node to every node, over the links that may be passed; the links walked last.
struct Lengths {
    std::vector<double> length_m;
    std::vector<std::size_t> by; // link index, npos at the start and where not reached
};

double length_of(const Harness& harness, const Link& link) {
    return link.cable ? harness.cable(*link.cable).length_m.value : 0;
}

Lengths lengths_from(const Harness& harness, const Topology& topology, int start,
                     const std::function<bool(const Link&)>& passes) {
    Lengths found{std::vector<double>(topology.links_at.size(), endless),
                  std::vector<std::size_t>(topology.links_at.size(), no_link)};
    using Entry = std::pair<double, int>;
    std::priority_queue<Entry, std::vector<Entry>, std::greater<>> open;
    found.length_m[static_cast<std::size_t>(start)] = 0;
    open.emplace(0, start);
    while (!open.empty()) {
        const auto [length, node] = open.top();
        open.pop();
        if (length > found.length_m[static_cast<std::size_t>(node)])
            continue;
        for (const std::size_t index : topology.links_at[static_cast<std::size_t>(node)]) {
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
    while (lengths.by[static_cast<std::size_t>(node)] != no_link) {
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

// The greatest rating that some way to each node offers: its smallest fuse-link, as large as can be.
std::vector<double> widths_from(const Harness& harness, const Topology& topology, int start,
                                std::optional<CableIndex> without) {
    std::vector<double> width(topology.links_at.size(), -1);
    std::priority_queue<std::pair<double, int>> open;
    width[static_cast<std::size_t>(start)] = endless;
    open.emplace(endless, start);
    while (!open.empty()) {
        const auto [wide, node] = open.top();
        open.pop();
        if (wide < width[static_cast<std::size_t>(node)])
            continue;
        for (const std::size_t index : topology.links_at[static_cast<std::size_t>(node)]) {
            const Link& link = topology.links[index];
            if (without && link.cable == without)
                continue;
            const int next = link.a == node ? link.b : link.a;
            const double through = std::min(wide, rating_of(harness, link));
            if (through <= width[static_cast<std::size_t>(next)])
                continue;
            width[static_cast<std::size_t>(next)] = through;
            open.emplace(through, next);
        }
    }
    return width;
}

// Links whose loss parts their two nodes: depth-first search with low points, without recursion.
std::vector<bool> bridges_of(const Topology& topology) {
    std::vector<bool> bridge(topology.links.size(), false);
    std::vector<int> entered(topology.links_at.size(), -1), low(topology.links_at.size(), 0);
    int clock = 0;
    struct Frame {
        int node;
        std::size_t by, next;
    };
    for (std::size_t root = 0; root < topology.links_at.size(); ++root) {
        if (entered[root] >= 0)
            continue;
        std::vector<Frame> stack = {{static_cast<int>(root), no_link, 0}};
        entered[root] = low[root] = clock++;
        while (!stack.empty()) {
            Frame& frame = stack.back();
            const auto here = static_cast<std::size_t>(frame.node);
            if (frame.next < topology.links_at[here].size()) {
                const std::size_t index = topology.links_at[here][frame.next++];
                const Link& link = topology.links[index];
                const int other = link.a == frame.node ? link.b : link.a;
                const auto there = static_cast<std::size_t>(other);
                if (index == frame.by)
                    continue;
                if (entered[there] >= 0) {
                    low[here] = std::min(low[here], entered[there]);
                } else {
                    entered[there] = low[there] = clock++;
                    stack.push_back({other, index, 0});
                }
                continue;
            }
            const std::size_t by = frame.by;
            stack.pop_back();
            if (stack.empty())
                continue;
            const auto above = static_cast<std::size_t>(stack.back().node);
            low[above] = std::min(low[above], low[here]);
            bridge[by] = low[here] > entered[above];
        }
    }
    return bridge;
}

// What one source offers to every node, one cable perhaps taken out.
struct View {
    int start = 0;
    std::optional<CableIndex> without;
    Lengths any, bare;
    std::vector<double> width;
    std::map<double, Lengths>
        at_width; // least lengths over links of at least that rating, made when first asked
};

struct FeedSearch {
    const Harness& harness;
    const Topology& topology;
    std::vector<bool> bridge;

    View view(int start, std::optional<CableIndex> without) const {
        const auto kept = [&](const Link& link) { return !without || link.cable != without; };
        View made{.start = start,
                  .without = without,
                  .any = lengths_from(harness, topology, start, kept),
                  .bare = lengths_from(harness, topology, start,
                                       [&](const Link& link) { return kept(link) && !link.fuse_link; }),
                  .width = widths_from(harness, topology, start, without),
                  .at_width = {}};
        return made;
    }

    // Of several fused ways to a node, the one whose smallest fuse-link is largest; among those the shortest.
    std::vector<std::size_t> widest_way(View& from, int goal) const {
        const double width = from.width[static_cast<std::size_t>(goal)];
        auto found = from.at_width.find(width);
        if (found == from.at_width.end())
            found =
                from.at_width
                    .emplace(width, lengths_from(harness, topology, from.start,
                                                 [&](const Link& link) {
                                                     return (!from.without || link.cable != from.without) &&
                                                            rating_of(harness, link) >= width;
                                                 }))
                    .first;
        return walk_back(topology, found->second, goal);
    }

    bool sheathed(const std::vector<std::size_t>& links, std::size_t count) const {
        return std::all_of(links.begin(), links.begin() + static_cast<std::ptrdiff_t>(count),
                           [&](std::size_t index) {
                               const Link& link = topology.links[index];
                               return !link.cable || harness.cable(*link.cable).sheathed;
                           });
    }

    // The least cut is never under the smallest link of the widest way; where that link is a bridge, it is
    // the cut.
    void add_cut(FeedPath& path, const View& from, int goal, const std::vector<std::size_t>& way) const {
        for (const std::size_t index : way) {
            const Link& link = topology.links[index];
            if (link.fuse_link && bridge[index] &&
                rating_of(harness, link) <= from.width[static_cast<std::size_t>(goal)]) {
                path.cut = {*link.device};
                path.cut_rating_a = rating_of(harness, link);
                return;
            }
        }
        std::vector<Pipe> pipes;
        std::vector<const Link*> links;
        for (const Link& link : topology.links) {
            if (link.cable == path.cable)
                continue;
            pipes.push_back({link.a, link.b, rating_of(harness, link)});
            links.push_back(&link);
        }
        const GreatestFlow flow = greatest_flow(topology.node_count, pipes, from.start, goal);
        path.cut_rating_a = flow.value;
        for (const std::size_t index : flow.cut)
            if (links[index]->fuse_link)
                path.cut.push_back(*links[index]->device);
    }

    void add_fused(FeedPath& path, View& from, int goal) const {
        const std::vector<std::size_t> way = widest_way(from, goal);
        std::size_t before = 0;
        for (std::size_t i = 0; i < way.size(); ++i) {
            const Link& link = topology.links[way[i]];
            if (link.fuse_link)
                path.fuse_links.push_back(*link.device);
            if (path.fuse_links.empty()) {
                path.bare_length_m += length_of(harness, link);
                before = i + 1;
            }
        }
        path.all_sheathed = sheathed(way, before);
        add_cut(path, from, goal, way);
    }

    // `from` must leave the cable out, or the cable must be a bridge that does not lie between source and
    // end.
    std::optional<FeedPath> path(DeviceIndex source, View& from, CableIndex cable, int end) const {
        const model::Cable& about = harness.cable(cable);
        const int goal = topology.node(end == 0 ? about.from.at : about.to.at);
        const auto at = static_cast<std::size_t>(goal);
        if (from.any.length_m[at] == endless)
            return std::nullopt;
        FeedPath found;
        found.source = source;
        found.cable = cable;
        found.entry_end = end;
        found.from_battery_terminal =
            from.start == goal && harness.device(source).kind() == DeviceKind::battery;
        if (from.bare.length_m[at] == endless) {
            add_fused(found, from, goal);
            return found;
        }
        const std::vector<std::size_t> way = walk_back(topology, from.bare, goal);
        found.bare_length_m = from.bare.length_m[at] + about.length_m.value;
        found.all_sheathed = about.sheathed && sheathed(way, way.size());
        return found;
    }

    bool passes(const View& from, int goal, CableIndex cable) const {
        const std::vector<std::size_t> way = walk_back(topology, from.any, goal);
        return std::any_of(way.begin(), way.end(),
                           [&](std::size_t index) { return topology.links[index].cable == cable; });
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
    arcs.reserve(static_cast<std::size_t>(topology.node_count) + 2 * topology.links.size() + 5);
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

} // namespace

void mark_starter_cables(const Harness& harness, Topology& topology) {
    topology.starter_cable.assign(harness.cables.size(), false);
    struct Way {
        int battery, starter;
        std::vector<bool> near; // nodes the starter's main stud reaches without a fuse-link
    };
    std::vector<Way> ways;
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
                ways.push_back({topology.node(*plus), topology.node(*main_stud), near});
        }
    }
    for (std::size_t c = 0; c < harness.cables.size(); ++c)
        for (const Way& way : ways)
            if (topology.side_of_cable[c] == Side::feed &&
                way.near[static_cast<std::size_t>(topology.node(harness.cables[c].from.at))] &&
                on_starter_way(harness, topology, static_cast<CableIndex>(c), way.battery, way.starter))
                topology.starter_cable[c] = true;
}

void find_feeds(const Harness& harness, Topology& topology) {
    FeedSearch search{.harness = harness, .topology = topology, .bridge = {}};
    search.bridge = bridges_of(topology);
    std::map<DeviceIndex, View> whole;
    for (const DeviceIndex source : sources_of(harness))
        if (const auto plus = model::terminal_of(harness, source, Role::positive))
            whole.emplace(source, search.view(topology.node(*plus), std::nullopt));
    for (std::size_t l = 0; l < topology.links.size(); ++l) {
        const Link& link = topology.links[l];
        if (!link.cable || topology.side_of_cable[model::at(*link.cable)] != Side::feed)
            continue;
        for (auto& [source, view] : whole)
            for (const int end : {0, 1}) {
                const int goal = end == 0 ? link.a : link.b;
                std::optional<FeedPath> path;
                if (!search.bridge[l]) {
                    View without = search.view(view.start, link.cable);
                    path = search.path(source, without, *link.cable, end);
                } else if (!search.passes(view, goal, *link.cable)) {
                    path = search.path(source, view, *link.cable, end);
                }
                if (path)
                    topology.feeds.push_back(std::move(*path));
            }
    }
}

} // namespace stoutloom::check
