// Who can feed what: sources, fuse-links on the way, return paths. Graph questions, no volts.
#pragma once

#include "model/harness.h"

#include <vector>

namespace stoutloom::check {

/// One way in which a source can push fault current into one end of a cable.
struct FeedPath {
    model::DeviceIndex source{};                  // battery or generator
    model::CableIndex cable{};
    int entry_end = 0;                            // the end of the cable the current comes in by
    std::vector<model::DeviceIndex> fuse_links;   // fuse-links passed on the way, nearest the source first
    double bare_length_m = 0;                     // conductor length from the source to the nearest fuse-link (or to
                                                  // the cable's far end if there is none), the shortest such way
    bool all_sheathed = false;                    // that length is sheathed all the way
    bool from_battery_terminal = false;           // the first cable is bolted straight to a battery terminal
};

enum class Side { feed, back, control, unknown }; // live side, return side, thin control lead

struct Topology {
    std::vector<int> node_of_terminal;       // electrical nodes: posts merged, cables not
    std::vector<Side> side_of_cable;         // by CableIndex
    std::vector<Side> side_of_terminal;      // by TerminalIndex
    std::vector<FeedPath> feeds;             // every live cable, every source that can reach it without passing a load
};

Topology topology_of(const model::Harness& harness);

} // namespace stoutloom::check
