#include "check/flow.h"

#include <algorithm>
#include <limits>
#include <queue>

namespace stoutloom::check {
namespace {

constexpr double endless = std::numeric_limits<double>::infinity();

// What may still be pushed along a pipe: forward (a to b) and backward.
struct Rest {
    double forward, backward;
};

using Incident = std::vector<std::vector<std::size_t>>;

double room(const Pipe& pipe, const Rest& rest, int leaving) {
    return pipe.a == leaving ? rest.forward : rest.backward;
}

// Pipe by which each node was first reached; npos where not reached.
std::vector<std::size_t> search(std::span<const Pipe> pipes, const std::vector<Rest>& rests,
                                const Incident& incident, int from) {
    constexpr auto unseen = std::numeric_limits<std::size_t>::max();
    std::vector<std::size_t> by(incident.size(), unseen);
    std::vector<bool> seen(incident.size(), false);
    std::queue<int> open;
    open.push(from);
    seen[static_cast<std::size_t>(from)] = true;
    while (!open.empty()) {
        const int node = open.front();
        open.pop();
        for (const std::size_t index : incident[static_cast<std::size_t>(node)]) {
            const Pipe& pipe = pipes[index];
            const int next = pipe.a == node ? pipe.b : pipe.a;
            if (seen[static_cast<std::size_t>(next)] || room(pipe, rests[index], node) <= 0)
                continue;
            seen[static_cast<std::size_t>(next)] = true;
            by[static_cast<std::size_t>(next)] = index;
            open.push(next);
        }
    }
    return by;
}

struct Trip {
    int from, to;
};

double push_along(std::span<const Pipe> pipes, std::vector<Rest>& rests, const std::vector<std::size_t>& by,
                  Trip trip) {
    const auto walk = [&](auto&& visit) {
        for (int node = trip.to; node != trip.from;) {
            const std::size_t index = by[static_cast<std::size_t>(node)];
            const int before = pipes[index].a == node ? pipes[index].b : pipes[index].a;
            visit(index, before);
            node = before;
        }
    };
    double amount = endless;
    walk([&](std::size_t index, int before) {
        amount = std::min(amount, room(pipes[index], rests[index], before));
    });
    if (amount == endless)
        return amount;
    walk([&](std::size_t index, int before) {
        const bool forward = pipes[index].a == before;
        (forward ? rests[index].forward : rests[index].backward) -= amount;
        (forward ? rests[index].backward : rests[index].forward) += amount;
    });
    return amount;
}

} // namespace

GreatestFlow greatest_flow(int node_count, std::span<const Pipe> pipes, int from, int to) {
    GreatestFlow answer;
    if (from == to)
        return {.value = endless, .cut = {}};
    Incident incident(static_cast<std::size_t>(node_count));
    std::vector<Rest> rests;
    for (std::size_t i = 0; i < pipes.size(); ++i) {
        incident[static_cast<std::size_t>(pipes[i].a)].push_back(i);
        incident[static_cast<std::size_t>(pipes[i].b)].push_back(i);
        rests.push_back({pipes[i].capacity, pipes[i].capacity});
    }
    constexpr auto unseen = std::numeric_limits<std::size_t>::max();
    while (true) {
        const std::vector<std::size_t> by = search(pipes, rests, incident, from);
        if (by[static_cast<std::size_t>(to)] == unseen) {
            const auto inside = [&](int node) {
                return node == from || by[static_cast<std::size_t>(node)] != unseen;
            };
            for (std::size_t i = 0; i < pipes.size(); ++i)
                if (inside(pipes[i].a) != inside(pipes[i].b))
                    answer.cut.push_back(i);
            return answer;
        }
        const double amount = push_along(pipes, rests, by, {.from = from, .to = to});
        if (amount == endless)
            return {.value = endless, .cut = {}};
        answer.value += amount;
    }
}

namespace {

// One direction of an arc in the residual network; the twin stands at index ^ 1.
struct Half {
    int to, rest, cost;
};

struct Residual {
    std::vector<Half> halves;
    std::vector<std::vector<std::size_t>> leaving;

    std::size_t add(int from, int to, int room, int cost) {
        const std::size_t index = halves.size();
        halves.push_back({to, room, cost});
        halves.push_back({from, 0, -cost});
        leaving[static_cast<std::size_t>(from)].push_back(index);
        leaving[static_cast<std::size_t>(to)].push_back(index + 1);
        return index;
    }

    // Pushes one unit along the cheapest path; false when none is left. Bellman and Ford, residual costs may
    // be < 0.
    bool push_unit(int from, int to) {
        constexpr int far = std::numeric_limits<int>::max() / 2;
        std::vector<int> cost(leaving.size(), far);
        std::vector<std::size_t> by(leaving.size(), 0);
        cost[static_cast<std::size_t>(from)] = 0;
        for (bool changed = true; changed;) {
            changed = false;
            for (std::size_t node = 0; node < leaving.size(); ++node) {
                if (cost[node] == far)
                    continue;
                for (const std::size_t h : leaving[node]) {
                    const auto next = static_cast<std::size_t>(halves[h].to);
                    if (halves[h].rest == 0 || cost[node] + halves[h].cost >= cost[next])
                        continue;
                    cost[next] = cost[node] + halves[h].cost;
                    by[next] = h;
                    changed = true;
                }
            }
        }
        if (cost[static_cast<std::size_t>(to)] == far)
            return false;
        for (int node = to; node != from;) {
            const std::size_t h = by[static_cast<std::size_t>(node)];
            halves[h].rest -= 1;
            halves[h ^ 1U].rest += 1;
            node = halves[h ^ 1U].to;
        }
        return true;
    }
};

} // namespace

std::optional<std::vector<int>> cheapest_circulation(int node_count, std::span<const Arc> arcs) {
    const int source = node_count, sink = node_count + 1;
    Residual residual;
    residual.leaving.resize(static_cast<std::size_t>(node_count) + 2);
    std::vector<int> surplus(static_cast<std::size_t>(node_count), 0);
    std::vector<std::size_t> halves;
    for (const Arc& arc : arcs) {
        if (arc.greatest < arc.least)
            return std::nullopt;
        halves.push_back(residual.add(arc.from, arc.to, arc.greatest - arc.least, arc.cost));
        surplus[static_cast<std::size_t>(arc.to)] += arc.least;
        surplus[static_cast<std::size_t>(arc.from)] -= arc.least;
    }
    int demand = 0;
    for (int node = 0; node < node_count; ++node) {
        const int over = surplus[static_cast<std::size_t>(node)];
        if (over > 0)
            residual.add(source, node, over, 0);
        if (over < 0)
            residual.add(node, sink, -over, 0);
        demand += std::max(over, 0);
    }
    for (int unit = 0; unit < demand; ++unit)
        if (!residual.push_unit(source, sink))
            return std::nullopt;
    std::vector<int> flows;
    for (std::size_t i = 0; i < arcs.size(); ++i)
        flows.push_back(arcs[i].greatest - residual.halves[halves[i]].rest);
    return flows;
}

} // namespace stoutloom::check
