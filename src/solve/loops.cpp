#include "solve/loops.h"

#include <algorithm>
#include <array>

namespace stoutloom::solve {
namespace {

struct Edge {
    int a, b;
    int branch; // -1 for a port
};

/// Depth-first search with its own stack: a chain of ten thousand cables must not overflow the program's.
class BridgeSearch {
  public:
    BridgeSearch(const Network& network, const std::vector<int>& without_branches, std::vector<bool>& found)
        : found_(found), seen_(static_cast<std::size_t>(network.nodes), -1), low_(seen_.size(), 0),
          at_(seen_.size()) {
        for (std::size_t i = 0; i < network.branches.size(); ++i)
            if (std::find(without_branches.begin(), without_branches.end(), static_cast<int>(i)) ==
                without_branches.end())
                add({.a = network.branches[i].a, .b = network.branches[i].b, .branch = static_cast<int>(i)});
        for (const Port& port : network.ports)
            add({.a = port.plus, .b = port.minus, .branch = -1});
    }
    void run() {
        for (std::size_t root = 0; root < seen_.size(); ++root)
            if (seen_[root] < 0)
                from(static_cast<int>(root));
    }

  private:
    struct Step {
        int node;
        int came_by; // edge
        std::size_t next = 0;
    };
    void add(const Edge& edge) {
        at_[static_cast<std::size_t>(edge.a)].push_back(static_cast<int>(edges_.size()));
        at_[static_cast<std::size_t>(edge.b)].push_back(static_cast<int>(edges_.size()));
        edges_.push_back(edge);
    }
    void from(int root);

    std::vector<bool>& found_;
    std::vector<Edge> edges_;
    std::vector<int> seen_, low_;
    std::vector<std::vector<int>> at_;
    int clock_ = 0;
};

void BridgeSearch::from(int root) {
    std::vector<Step> stack;
    const auto enter = [&](int node, int edge) {
        seen_[static_cast<std::size_t>(node)] = low_[static_cast<std::size_t>(node)] = clock_++;
        stack.push_back({.node = node, .came_by = edge});
    };
    enter(root, -1);
    while (!stack.empty()) {
        Step& step = stack.back();
        const auto node = static_cast<std::size_t>(step.node);
        if (step.next < at_[node].size()) {
            const int index = at_[node][step.next++];
            if (index == step.came_by)
                continue;
            const Edge& edge = edges_[static_cast<std::size_t>(index)];
            const int other = edge.a == step.node ? edge.b : edge.a;
            if (seen_[static_cast<std::size_t>(other)] < 0)
                enter(other, index);
            else
                low_[node] = std::min(low_[node], seen_[static_cast<std::size_t>(other)]);
            continue;
        }
        const Step done = step;
        stack.pop_back();
        if (stack.empty())
            continue;
        const auto parent = static_cast<std::size_t>(stack.back().node);
        low_[parent] = std::min(low_[parent], low_[node]);
        const int branch = edges_[static_cast<std::size_t>(done.came_by)].branch;
        if (low_[node] > seen_[parent] && branch >= 0)
            found_[static_cast<std::size_t>(branch)] = true;
    }
}

template <class Joins>
std::vector<int> components(const Network& network, const std::vector<int>& without_branches, Joins joins) {
    std::vector<int> component(static_cast<std::size_t>(network.nodes));
    for (std::size_t n = 0; n < component.size(); ++n)
        component[n] = static_cast<int>(n);
    const auto root = [&](int node) {
        while (component[static_cast<std::size_t>(node)] != node) {
            int& parent = component[static_cast<std::size_t>(node)];
            parent = component[static_cast<std::size_t>(parent)];
            node = parent;
        }
        return node;
    };
    for (std::size_t i = 0; i < network.branches.size(); ++i) {
        const Branch& branch = network.branches[i];
        if (!joins(branch) || std::find(without_branches.begin(), without_branches.end(),
                                        static_cast<int>(i)) != without_branches.end())
            continue;
        component[static_cast<std::size_t>(root(branch.a))] = root(branch.b);
    }
    for (std::size_t n = 0; n < component.size(); ++n)
        component[n] = root(static_cast<int>(n));
    return component;
}

} // namespace

std::vector<bool> bridges(const Network& network, const std::vector<int>& without_branches) {
    std::vector<bool> found(network.branches.size(), false);
    BridgeSearch(network, without_branches, found).run();
    return found;
}

std::vector<int> conductor_components(const Network& network, const std::vector<int>& without_branches) {
    static constexpr std::array<std::string_view, 5> joining = {"cable", "contact", "link", "metal", "seat"};
    return components(network, without_branches, [](const Branch& branch) {
        return std::find(joining.begin(), joining.end(), branch.part) != joining.end();
    });
}

std::vector<int> islands_without(const Network& network, const std::vector<int>& without_branches) {
    return components(network, without_branches, [](const Branch&) { return true; });
}

} // namespace stoutloom::solve
