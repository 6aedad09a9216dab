// Can the kit be bolted on the wrong way round? Decided exactly, by flow with lower bounds, one test per wrong pair.
#pragma once

#include "model/harness.h"

#include <string>
#include <vector>

namespace stoutloom::check {

/// A lug that is to go on a stud of the landing: one end of one cable.
struct LooseEnd {
    model::CableIndex cable{};
    int end = 0;
};
struct Placed {
    LooseEnd end;
    model::TerminalIndex stud{};
};
/// A complete assembly that is not electrically the intended one, or one that can be begun but not completed.
struct WrongAssembly {
    std::vector<Placed> moved;  // only the ends that do not sit where they belong
    bool completes = false;     // false: self-revealing, a lug is left over or a stud stays bare
    std::string sentence;       // "W10 on G1.B- and W11 on G1.B+"
};
struct LandingVerdict {
    std::string id;                              // device id or the landing's own
    std::vector<model::TerminalIndex> studs;
    std::vector<LooseEnd> ends;
    bool keyed = true;                           // no wrong assembly completes
    std::vector<WrongAssembly> wrong;            // completing ones first; least moved first
};

/// Every landing of the harness: the file's own, and by default each device with at least two studs that carry lugs.
std::vector<LandingVerdict> judge_landings(const model::Harness& harness);

} // namespace stoutloom::check
