// Who can feed what: sources, fuse-links on the way, return paths. Graph questions, no volts.
#pragma once

#include "model/harness.h"

#include <functional>
#include <optional>
#include <vector>

namespace stoutloom::check {

/// A conductor between two electrical nodes that a fault current can pass whatever the duty: a cable, a
/// fuse-link, a switch or relay contact, a shunt. Never a load, never a source, never an incidental path.
struct Link {
    int a = 0, b = 0; // nodes; for a cable a is its `from` end
    std::optional<model::CableIndex> cable;
    std::optional<model::DeviceIndex> device; // of a fuse-link, switch, relay, shunt
    bool fuse_link = false;
};

/// One way in which a source can push fault current into one end of a cable.
struct FeedPath {
    model::DeviceIndex source{}; // battery or generator
    model::CableIndex cable{};
    int entry_end = 0; // the end of the cable the current comes in by
    std::vector<model::DeviceIndex>
        fuse_links;                      // fuse-links passed on the way, nearest the source first; of several
                                         // ways the one that protects least (greatest least rating)
    std::vector<model::DeviceIndex> cut; // the fuse-links that all have to open, least sum of ratings;
                                         // empty when some way passes none
    double cut_rating_a = 0;             // sum of their ratings
    double bare_length_m = 0;            // conductor length from the source to the nearest fuse-link (or to
                                         // the cable's far end if there is none), the shortest such way
    bool all_sheathed = false;           // that length is sheathed all the way
    bool from_battery_terminal = false;  // the cable itself is bolted straight to the battery's terminal
};

enum class Side { feed, back, control, unknown }; // live side, return side, thin control lead

struct Topology {
    int node_count = 0;
    std::vector<int> node_of_terminal;  // electrical nodes: posts, masses and seats merged, cables not
    std::vector<int> component_of_node; // nodes joined by links
    std::vector<Link> links;
    std::vector<std::vector<std::size_t>> links_at; // by node: the links that touch it
    std::vector<Side> side_of_cable;                // by CableIndex
    std::vector<Side> side_of_terminal;             // by TerminalIndex
    std::vector<bool>
        starter_cable;           // by CableIndex: on an unfused way from a battery to a starter's main stud
    std::vector<FeedPath> feeds; // every live cable, every source that can reach it without passing a load

    int node(model::TerminalIndex terminal) const { return node_of_terminal[model::at(terminal)]; }
    int component(model::TerminalIndex terminal) const {
        return component_of_node[static_cast<std::size_t>(node(terminal))];
    }
};

Topology topology_of(const model::Harness& harness);

/// The same without some links: what hangs together is told anew. Sides, starter cables and ways of feeding
/// stay those of the whole network.
Topology without(const Topology& topology, const std::function<bool(const Link&)>& gone);
/// The same with one stud apart from the metal that it is part of, its lugs still together.
Topology split_off(const model::Harness& harness, const Topology& topology, model::TerminalIndex stud);

/// Only the nodes: terminals that are one piece of metal share a number. By TerminalIndex.
std::vector<int> nodes_of(const model::Harness& harness);
/// The conducting links between those nodes.
std::vector<Link> links_of(const model::Harness& harness, const std::vector<int>& node_of_terminal);
/// Nodes reached from one node over the links that `passes` lets through.
std::vector<bool> reached_from(const Topology& topology, int node,
                               const std::function<bool(const Link&)>& passes);

struct Between {
    int from, to; // nodes
};
/// Links of a way with the fewest links from one node to another, in order; nothing if there is none.
std::optional<std::vector<std::size_t>> way_between(const Topology& topology, Between nodes,
                                                    const std::function<bool(const Link&)>& passes);
/// Links of that kind which every way between the two nodes must pass, in order from the first node.
std::vector<std::size_t> unavoidable_links(const Topology& topology, Between nodes,
                                           const std::function<bool(const Link&)>& passes);

/// Batteries and generators, in file order.
std::vector<model::DeviceIndex> sources_of(const model::Harness& harness);
/// The two terminals a part conducts between: a/b, or 30/87 of a relay; empty for others.
std::optional<std::pair<model::TerminalIndex, model::TerminalIndex>> contact_of(const model::Harness& harness,
                                                                                model::DeviceIndex device);

} // namespace stoutloom::check
