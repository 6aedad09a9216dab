// What a spanner or a loose lug can bridge: from each stud to the conducting parts within its reach.
#pragma once

#include "model/harness.h"

#include <optional>
#include <vector>

namespace stoutloom::solve {

/// One stud and one part beside it.
struct InReach {
    model::TerminalIndex stud{};
    model::TerminalIndex part{};                // another stud, or the metal of a mass
    std::optional<model::IncidentalIndex> path; // the part is an end of this stray path
};
/// Studs with a lug on them, or on a source; beside them: the other studs of the same landing (the part
/// itself where the file gives none), the metal a part stands on, masses in the part's zone, and both ends of
/// stray paths that have an end in that zone. Each pair once, one metal not against itself; stud order, then
/// part order. A stud marked near ground reaches every mass: the file says that ground is near, not which.
std::vector<InReach> parts_in_reach(const model::Harness& harness);

} // namespace stoutloom::solve
