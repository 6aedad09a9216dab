// Drop limits that may be loosened when a kit cannot be had otherwise: what charging and cranking may lose,
// which good practice sets, and the file's own. Never a limit that keeps a cable or a fuse-link from harm,
// and never what a standard gives a consumer. Room-internal.
#pragma once

#include "size/size.h"

#include <string>
#include <vector>

namespace stoutloom::size {

struct DropLimit {
    std::string told;            // "charging-feed-drop", "from G1.B+ to G2.+"
    std::string name;            // empty: the file's own, by number
    std::size_t own = 0;         // in Harness::limits
    double from_v = 0, to_v = 0; // in force, and as it is tried
};
struct LooserLimit {
    std::vector<DropLimit> limits; // loosened together
    std::string price_of_it;       // "the battery then gets so much less"
    std::string rule;              // how the rules begin that it bears on: "charging-drop "
    bool helps(const Conflict& conflict) const;
};

/// Those that conflicts name, each group once.
std::vector<LooserLimit> looser_limits(const model::Harness& harness, const std::vector<Conflict>& conflicts);
/// Writes the limit's tried value into the harness.
void set_limit(model::Harness& harness, const DropLimit& limit);

} // namespace stoutloom::size
