#include "check/assembly.h"

#include "check/flow.h"

#include <algorithm>

namespace stoutloom::check {
namespace {

using Allowed = std::vector<std::vector<bool>>;
using Counts = std::vector<std::vector<int>>; // [class][node]

// More parts that can be turned round than this are taken as if they could not: too careful, never too
// lenient.
constexpr std::size_t most_mirrors = 6;

int count_of(const std::vector<int>& names) {
    return names.empty() ? 0 : *std::max_element(names.begin(), names.end()) + 1;
}

// Where a node lands when the mirrors whose bit is set in `turned` are turned round.
int seen_at(const Puzzle& puzzle, int node, unsigned turned) {
    for (std::size_t m = 0; m < puzzle.mirrors.size(); ++m) {
        if ((turned >> m & 1U) == 0)
            continue;
        if (puzzle.mirrors[m].first == node)
            return puzzle.mirrors[m].second;
        if (puzzle.mirrors[m].second == node)
            return puzzle.mirrors[m].first;
    }
    return node;
}

unsigned turns(const Puzzle& puzzle) {
    return 1U << std::min(puzzle.mirrors.size(), most_mirrors);
}

Counts counts(const Puzzle& puzzle, const Assembly& assembly, unsigned turned) {
    Counts result(static_cast<std::size_t>(count_of(puzzle.class_of)),
                  std::vector<int>(static_cast<std::size_t>(count_of(puzzle.node)), 0));
    for (std::size_t end = 0; end < assembly.size(); ++end) {
        const int node = seen_at(puzzle, puzzle.node[static_cast<std::size_t>(assembly[end])], turned);
        ++result[static_cast<std::size_t>(puzzle.class_of[end])][static_cast<std::size_t>(node)];
    }
    return result;
}

// The orientation in which the assembly is the intended one.
std::optional<unsigned> intended_turn(const Puzzle& puzzle, const Assembly& assembly) {
    const Counts mine = counts(puzzle, assembly, 0);
    for (unsigned turned = 0; turned < turns(puzzle); ++turned)
        if (mine == counts(puzzle, puzzle.home, turned))
            return turned;
    return std::nullopt;
}

int moved(const Puzzle& puzzle, const Assembly& assembly) {
    int count = 0;
    for (std::size_t end = 0; end < assembly.size(); ++end)
        count += assembly[end] != puzzle.home[end];
    return count;
}

// The complete assembly within `allowed` that moves the fewest ends.
std::optional<Assembly> complete(const Puzzle& puzzle, const Allowed& allowed) {
    const int ends = static_cast<int>(puzzle.home.size()), studs = static_cast<int>(puzzle.node.size());
    const int pool = ends + studs;
    std::vector<Arc> arcs;
    std::vector<std::pair<int, int>> meant;
    for (int end = 0; end < ends; ++end)
        for (int stud = 0; stud < studs; ++stud)
            if (allowed[static_cast<std::size_t>(end)][static_cast<std::size_t>(stud)]) {
                const int cost = puzzle.home[static_cast<std::size_t>(end)] == stud ? 0 : 1;
                arcs.push_back({.from = end, .to = ends + stud, .least = 0, .greatest = 1, .cost = cost});
                meant.emplace_back(end, stud);
            }
    for (int end = 0; end < ends; ++end)
        arcs.push_back({.from = pool, .to = end, .least = 1, .greatest = 1, .cost = 0});
    for (int stud = 0; stud < studs; ++stud) {
        const auto s = static_cast<std::size_t>(stud);
        arcs.push_back({.from = ends + stud,
                        .to = pool,
                        .least = puzzle.may_stay_bare[s] ? 0 : 1,
                        .greatest = puzzle.most[s],
                        .cost = 0});
    }
    const auto flows = cheapest_circulation(pool + 1, arcs);
    if (!flows)
        return std::nullopt;
    Assembly assembly(puzzle.home.size(), -1);
    for (std::size_t i = 0; i < meant.size(); ++i)
        if ((*flows)[i] == 1)
            assembly[static_cast<std::size_t>(meant[i].first)] = meant[i].second;
    return assembly;
}

// Every way to force `count` members of a class onto a node, as the narrower table of what is allowed.
void force_each(const Puzzle& puzzle, const Allowed& allowed, const std::vector<std::size_t>& members,
                int count, int node, std::vector<Allowed>& ways) {
    if (count == 0) {
        ways.push_back(allowed);
        return;
    }
    for (std::size_t m = 0; m + static_cast<std::size_t>(count) <= members.size(); ++m) {
        Allowed narrower = allowed;
        bool any = false;
        std::vector<bool>& row = narrower[members[m]];
        for (std::size_t stud = 0; stud < row.size(); ++stud) {
            row[stud] = row[stud] && puzzle.node[stud] == node;
            any |= row[stud];
        }
        if (!any)
            continue;
        const std::vector<std::size_t> later(members.begin() + static_cast<std::ptrdiff_t>(m) + 1,
                                             members.end());
        force_each(puzzle, narrower, later, count - 1, node, ways);
    }
}

// Every way to differ from the intended assembly turned so: one more end of some class on some node than
// meant.
std::vector<Allowed> ways_to_differ(const Puzzle& puzzle, const Allowed& allowed, unsigned turned) {
    const Counts meant = counts(puzzle, puzzle.home, turned);
    std::vector<Allowed> ways;
    for (std::size_t kind = 0; kind < meant.size(); ++kind) {
        std::vector<std::size_t> members;
        for (std::size_t end = 0; end < puzzle.class_of.size(); ++end)
            if (static_cast<std::size_t>(puzzle.class_of[end]) == kind)
                members.push_back(end);
        for (std::size_t node = 0; node < meant[kind].size(); ++node)
            force_each(puzzle, allowed, members, meant[kind][node] + 1, static_cast<int>(node), ways);
    }
    return ways;
}

// A complete assembly within `allowed` that is not as intended in any orientation. Each step forces a
// difference from the orientation just met, so no orientation is met twice on the way down.
std::optional<Assembly> wrong_within(const Puzzle& puzzle, const Allowed& allowed) {
    std::optional<Assembly> assembly = complete(puzzle, allowed);
    if (!assembly)
        return std::nullopt;
    const std::optional<unsigned> turned = intended_turn(puzzle, *assembly);
    if (!turned)
        return assembly;
    std::optional<Assembly> best;
    for (const Allowed& way : ways_to_differ(puzzle, allowed, *turned)) {
        const std::optional<Assembly> found = wrong_within(puzzle, way);
        if (found && (!best || moved(puzzle, *found) < moved(puzzle, *best)))
            best = found;
    }
    return best;
}

bool ever_right(const Puzzle& puzzle, std::size_t end, std::size_t stud) {
    for (unsigned turned = 0; turned < turns(puzzle); ++turned) {
        const Counts meant = counts(puzzle, puzzle.home, turned);
        if (meant[static_cast<std::size_t>(puzzle.class_of[end])]
                 [static_cast<std::size_t>(puzzle.node[stud])] > 0)
            return true;
    }
    return false;
}

} // namespace

bool as_intended(const Puzzle& puzzle, const Assembly& assembly) {
    return intended_turn(puzzle, assembly).has_value();
}

Wrongs wrong_assemblies(const Puzzle& puzzle) {
    Wrongs wrongs;
    for (const Allowed& way : ways_to_differ(puzzle, puzzle.fits, 0))
        if (auto found = wrong_within(puzzle, way))
            wrongs.completing.push_back(std::move(*found));
    std::sort(wrongs.completing.begin(), wrongs.completing.end(),
              [&](const Assembly& one, const Assembly& other) {
                  return std::pair(moved(puzzle, one), one) < std::pair(moved(puzzle, other), other);
              });
    const auto same = std::unique(wrongs.completing.begin(), wrongs.completing.end());
    wrongs.completing.erase(same, wrongs.completing.end());
    for (std::size_t end = 0; end < puzzle.home.size(); ++end)
        for (std::size_t stud = 0; stud < puzzle.node.size(); ++stud) {
            if (!puzzle.fits[end][stud] || ever_right(puzzle, end, stud))
                continue;
            Allowed forced = puzzle.fits;
            forced[end].assign(puzzle.node.size(), false);
            forced[end][stud] = true;
            if (!complete(puzzle, forced))
                wrongs.self_revealing.emplace_back(static_cast<int>(end), static_cast<int>(stud));
        }
    return wrongs;
}

} // namespace stoutloom::check
