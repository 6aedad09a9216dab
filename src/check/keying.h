// Can the kit be bolted on the wrong way round? Decided exactly, by flow with lower bounds, one test per
// wrong pair.
#pragma once

#include "check/assembly.h"
#include "model/harness.h"

#include <string>
#include <vector>

namespace stoutloom::check {

/// A lug that is to go on a stud of the landing: one end of one cable.
struct LooseEnd {
    model::CableIndex cable{};
    int end = 0;
    int run = 0; // of the cable's parallel runs, each with its own lug
};
struct Placed {
    LooseEnd end;
    model::TerminalIndex stud{};
};
/// A complete assembly that is not electrically the intended one, or one that can be begun but not completed.
struct WrongAssembly {
    std::vector<Placed> moved; // only the ends that do not sit where they belong
    bool completes = false;    // false: self-revealing, a lug is left over or a stud stays bare
    std::string sentence;      // "W10 on G1.B- and W11 on G1.B+"
    std::string
        consequence;     // what would then happen, from the rewired network; empty until it has been solved
    bool harmful = true; // false: nothing worse than a part that does not work
};
struct LandingVerdict {
    std::string id; // device id or the landing's own
    std::vector<model::TerminalIndex> studs;
    std::vector<LooseEnd> ends;
    bool keyed = true; // no wrong assembly completes
    bool open = false; // a stud or a lug of it is to be chosen: nothing is decided, `keyed` is false
    std::vector<WrongAssembly> wrong;     // completing ones first; least moved first
    std::vector<std::string> assumptions; // what the decision rests on beside sizes
    base::Span span;
};

/// Every landing of the harness: the file's own, and by default each device with at least two nodes to bolt
/// to and at least two lugs.
///
/// Ends of equal section whose far ends are one node are of one class; studs of a post or a mass are one
/// node; a fuse-link, switch, shunt, relay contact or coil, lamp or heater may be turned round. Battery taper
/// posts differ by polarity (about 19.5 and 17.9 mm across, common practice, no source), so their clamps
/// count as keyed. Plugs, splices and the blades of consumers and relays sit in a keyed connector and fit
/// only where they belong.
std::vector<LandingVerdict> judge_landings(const model::Harness& harness);

/// The puzzle behind one landing, for the property test and for those who want to see it.
Puzzle puzzle_of(const model::Harness& harness, const LandingVerdict& landing);

} // namespace stoutloom::check
