// The pure puzzle behind a keyed landing: ends, studs, what fits, what belongs together. No harness, no
// volts.
//
// An assembly puts every end on a stud it fits. It is complete when no stud that must be used is bare and
// none has more ends than it takes. It is as intended when every class of ends meets every node as often as
// intended, up to turning round a part that conducts alike both ways. Exact: one flow with lower bounds per
// way of being wrong.
#pragma once

#include <optional>
#include <utility>
#include <vector>

namespace stoutloom::check {

struct Puzzle {
    std::vector<std::vector<bool>> fits; // [end][stud]; an end always fits its home
    std::vector<int> home;               // [end] the stud it belongs on
    std::vector<int> class_of;           // [end] ends of one class may be exchanged without harm
    std::vector<int> node;               // [stud] studs of one node may be exchanged without harm
    std::vector<bool> may_stay_bare;     // [stud]
    std::vector<int> most;               // [stud] most ends it takes, never fewer than belong on it
    std::vector<std::pair<int, int>>
        mirrors; // nodes that may be exchanged as a whole: the two ends of a fuse-link
};

/// [end] the stud each end sits on.
using Assembly = std::vector<int>;

/// Whether an assembly is electrically the intended one.
bool as_intended(const Puzzle& puzzle, const Assembly& assembly);

/// What can be assembled wrongly. `completing`: one assembly per way of being wrong (an end too many of some
/// class on some node), the fewest moved ends first, no two alike; empty exactly when the landing is keyed.
/// `self_revealing`: (end, stud) that fits and is never right, yet leads to no complete assembly.
struct Wrongs {
    std::vector<Assembly> completing;
    std::vector<std::pair<int, int>> self_revealing;
};
Wrongs wrong_assemblies(const Puzzle& puzzle);

} // namespace stoutloom::check
