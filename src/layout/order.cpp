// Asks the dot engine for the order. It runs in a child process: it may abort or run away, and it leaks a
// little; a child takes all of that with it, and the one context a process may have lives and dies there.
#include "layout/order.h"

#include <algorithm>
#include <cmath>
#include <csignal>
#include <gvc.h>
#include <map>
#include <optional>
#include <poll.h>
#include <sstream>
#include <string>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

namespace stoutloom::layout {
namespace {

constexpr int patience_ms = 2000;

struct Link {
    std::size_t a, b;
    bool above; // runs over the unit row: a feed
};

/// Joins of units by cables; a mass of one zone counts as a partner too, so it pulls units together.
std::vector<Link> links_of(const DiagramContent& content) {
    std::vector<std::vector<std::size_t>> ends(content.cables.size());
    for (std::size_t u = 0; u < content.units.size(); ++u)
        for (const StudGlyph& stud : content.units[u].studs)
            for (const LugGlyph& lug : stud.lugs)
                if (lug.cable < ends.size())
                    ends[lug.cable].push_back(u);
    std::vector<Link> links;
    for (std::size_t c = 0; c < ends.size(); ++c)
        if (ends[c].size() == 2 && ends[c][0] != ends[c][1])
            links.push_back({ends[c][0], ends[c][1], content.cables[c].flow != Flow::back});
    return links;
}

std::vector<double> keys_from(const DiagramContent& content, const std::vector<double>& place) {
    std::vector<std::size_t> order(content.units.size());
    for (std::size_t i = 0; i < order.size(); ++i)
        order[i] = i;
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        if (content.units[a].zone != content.units[b].zone)
            return content.units[a].zone < content.units[b].zone;
        return place[a] < place[b];
    });
    std::vector<double> keys(order.size());
    double within = 0;
    for (std::size_t i = 0; i < order.size(); ++i) {
        within = i > 0 && content.units[order[i]].zone == content.units[order[i - 1]].zone ? within + 1 : 1;
        keys[order[i]] = static_cast<double>(content.units[order[i]].zone) * 1000 + within;
    }
    return keys;
}

void set(Agraph_t* graph, int kind, const char* name, const char* value) {
    agattr(graph, kind, const_cast<char*>(name), const_cast<char*>(value));
}

/// Units of all zones in one rank, kept in vehicle order by flat edges; each cable is a node in the rank
/// above or below, so that the engine's crossing search orders the units inside a zone. Prints "index x"
/// lines.
std::string place_with_dot(const DiagramContent& content, const std::vector<Link>& links) {
    GVC_t* context = gvContext();
    Agraph_t* graph = agopen(const_cast<char*>("order"), Agdirected, nullptr);
    set(graph, AGNODE, "label", "");
    set(graph, AGNODE, "shape", "box");
    set(graph, AGNODE, "fixedsize", "true");
    set(graph, AGRAPH, "rank", "");
    set(graph, AGEDGE, "weight", "1");
    Agraph_t* row = agsubg(graph, const_cast<char*>("row"), 1);
    agset(row, const_cast<char*>("rank"), const_cast<char*>("same"));
    std::vector<Agnode_t*> nodes;
    std::map<std::size_t, Agnode_t*> fences;
    const auto fence = [&](std::size_t zone) {
        Agnode_t*& node = fences[zone];
        if (node == nullptr)
            node = agnode(row, const_cast<char*>(("z" + std::to_string(zone)).c_str()), 1);
        return node;
    };
    for (std::size_t u = 0; u < content.units.size(); ++u) {
        nodes.push_back(agnode(row, const_cast<char*>(("u" + std::to_string(u)).c_str()), 1));
        agedge(graph, fence(content.units[u].zone), nodes[u], nullptr, 1);
        agedge(graph, nodes[u], fence(content.units[u].zone + 1), nullptr, 1);
    }
    for (std::size_t c = 0; c < links.size(); ++c) {
        Agnode_t* cable = agnode(graph, const_cast<char*>(("c" + std::to_string(c)).c_str()), 1);
        for (Agnode_t* unit : {nodes[links[c].a], nodes[links[c].b]})
            links[c].above ? agedge(graph, cable, unit, nullptr, 1) : agedge(graph, unit, cable, nullptr, 1);
    }
    std::ostringstream told;
    if (gvLayout(context, graph, "dot") == 0)
        for (std::size_t u = 0; u < nodes.size(); ++u)
            told << u << ' ' << static_cast<long>(ND_coord(nodes[u]).x) << '\n';
    gvFreeLayout(context, graph);
    agclose(graph);
    gvFreeContext(context);
    return told.str();
}

[[noreturn]] void child_part(int pipe_end, const DiagramContent& content, const std::vector<Link>& links) {
    const rlimit seconds{2, 2};
    setrlimit(RLIMIT_CPU, &seconds);
#if !defined(STOUTLOOM_SANITIZED) // a sanitizer's shadow memory alone is larger than any sane limit
    const rlimit bytes{1UL << 30U, 1UL << 30U};
    setrlimit(RLIMIT_AS, &bytes);
#endif
    const rlimit none{0, 0};
    setrlimit(RLIMIT_CORE, &none);
    const std::string told = place_with_dot(content, links);
    const bool written = write(pipe_end, told.data(), told.size()) == static_cast<ssize_t>(told.size());
    _exit(written ? 0 : 1);
}

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): a pipe and a process, named so
std::optional<std::string> heard_from(int pipe_end, pid_t child) {
    std::string told;
    bool whole = false;
    for (;;) {
        pollfd waiting{pipe_end, POLLIN, 0};
        if (poll(&waiting, 1, patience_ms) <= 0)
            break;
        char part[4096];
        const ssize_t count = read(pipe_end, part, sizeof part);
        if (count < 0)
            break;
        if (count == 0) {
            whole = true;
            break;
        }
        told.append(part, static_cast<std::size_t>(count));
    }
    if (!whole)
        kill(child, SIGKILL);
    int status = 0;
    waitpid(child, &status, 0);
    if (!whole || !WIFEXITED(status) || WEXITSTATUS(status) != 0)
        return std::nullopt;
    return told;
}

std::optional<std::vector<double>> places_from_dot(const DiagramContent& content,
                                                   const std::vector<Link>& links) {
    int ends[2];
    if (pipe(ends) != 0)
        return std::nullopt;
    const pid_t child = fork();
    if (child < 0) {
        close(ends[0]);
        close(ends[1]);
        return std::nullopt;
    }
    if (child == 0) {
        close(ends[0]);
        child_part(ends[1], content, links);
    }
    close(ends[1]);
    const std::optional<std::string> told = heard_from(ends[0], child);
    close(ends[0]);
    if (!told)
        return std::nullopt;
    std::vector<double> places(content.units.size(), -1);
    std::istringstream lines(*told);
    std::size_t unit = 0;
    long x = 0;
    std::size_t count = 0;
    while (lines >> unit >> x)
        if (unit < places.size()) {
            places[unit] = static_cast<double>(x);
            ++count;
        }
    if (count != places.size())
        return std::nullopt;
    return places;
}

/// Whether the unit is drawn in line with its feed, so that it should stand between its partners.
bool in_line(const UnitGlyph& unit) {
    return unit.studs.size() == 2 && unit.symbol != UnitSymbol::battery;
}

double stretch(const DiagramContent& content, const std::vector<Link>& links,
               const std::vector<double>& keys) {
    // A zone is taken as wide as ten places: what matters inside it is the order alone.
    double sum = 0;
    std::vector<int> left(keys.size(), 0);
    std::vector<int> right(keys.size(), 0);
    for (const Link& link : links) {
        sum += std::min(std::abs(keys[link.a] - keys[link.b]),
                        10.0 + std::abs(std::fmod(keys[link.a], 1000) - std::fmod(keys[link.b], 1000)) * 0.1);
        const bool a_left = keys[link.a] < keys[link.b];
        ++(a_left ? right : left)[link.a];
        ++(a_left ? left : right)[link.b];
    }
    for (std::size_t u = 0; u < keys.size(); ++u)
        if (in_line(content.units[u]) && left[u] + right[u] >= 2 && (left[u] == 0 || right[u] == 0))
            sum += 3;
    // Leaving a zone on the far side of its other units costs a little per unit passed.
    for (const Link& link : links)
        if (content.units[link.a].zone != content.units[link.b].zone) {
            const std::size_t low = keys[link.a] < keys[link.b] ? link.a : link.b;
            const std::size_t high = low == link.a ? link.b : link.a;
            for (std::size_t u = 0; u < keys.size(); ++u) {
                sum += content.units[u].zone == content.units[low].zone && keys[u] > keys[low] ? 0.6 : 0;
                sum += content.units[u].zone == content.units[high].zone && keys[u] < keys[high] ? 0.6 : 0;
            }
        }
    return sum;
}

/// The best order of one zone's units, the others held: every order of a few, swaps of many.
bool settle_zone(const DiagramContent& content, const std::vector<Link>& links, std::vector<double>& keys,
                 const std::vector<std::size_t>& units, double& least) {
    std::vector<double> slots;
    slots.reserve(units.size());
    for (const std::size_t unit : units)
        slots.push_back(keys[unit]);
    std::sort(slots.begin(), slots.end());
    std::vector<double> best = keys;
    bool better = false;
    const auto weigh = [&] {
        if (const double now = stretch(content, links, keys); now < least - 1e-9) {
            least = now;
            best = keys;
            better = true;
        }
    };
    if (units.size() <= 6) {
        std::vector<std::size_t> turn(units.size());
        for (std::size_t i = 0; i < turn.size(); ++i)
            turn[i] = i;
        do {
            for (std::size_t i = 0; i < turn.size(); ++i)
                keys[units[turn[i]]] = slots[i];
            weigh();
        } while (std::next_permutation(turn.begin(), turn.end()));
    } else {
        for (std::size_t a = 0; a < units.size(); ++a)
            for (std::size_t b = a + 1; b < units.size(); ++b) {
                keys = best;
                std::swap(keys[units[a]], keys[units[b]]);
                weigh();
            }
    }
    keys = best;
    return better;
}

/// Mends the engine's order by the length of the ways and by what stands in them, zone by zone until nothing
/// gains.
std::vector<double> settled(const DiagramContent& content, const std::vector<Link>& links,
                            std::vector<double> keys) {
    double least = stretch(content, links, keys);
    for (int round = 0; round < 6; ++round) {
        bool better = false;
        for (std::size_t z = 0; z < content.zones.size(); ++z) {
            std::vector<std::size_t> units;
            for (std::size_t u = 0; u < content.units.size(); ++u)
                if (content.units[u].zone == z)
                    units.push_back(u);
            if (units.size() > 1)
                better = settle_zone(content, links, keys, units, least) || better;
        }
        if (!better)
            break;
    }
    return keys;
}

} // namespace

std::vector<double> order_units_plainly(const DiagramContent& content) {
    std::vector<double> place(content.units.size());
    for (std::size_t u = 0; u < place.size(); ++u)
        place[u] = static_cast<double>(content.units[u].zone) * 1000 + static_cast<double>(u % 900);
    const std::vector<Link> links = links_of(content);
    for (int sweep = 0; sweep < 2; ++sweep) {
        std::vector<double> sum(place.size(), 0);
        std::vector<double> count(place.size(), 0);
        for (const Link& link : links) {
            sum[link.a] += place[link.b];
            sum[link.b] += place[link.a];
            count[link.a] += 1;
            count[link.b] += 1;
        }
        for (std::size_t u = 0; u < place.size(); ++u)
            if (count[u] > 0)
                sum[u] /= count[u];
            else
                sum[u] = place[u];
        place = keys_from(content, sum);
    }
    return settled(content, links, place);
}

std::vector<double> order_units(const DiagramContent& content) {
    if (content.units.size() < 2)
        return order_units_plainly(content);
    const std::vector<Link> links = links_of(content);
    if (const auto places = places_from_dot(content, links))
        return settled(content, links, keys_from(content, *places));
    return order_units_plainly(content);
}

} // namespace stoutloom::layout
