// Which source reaches which cable by which fuse-links, against walking every simple way through small random
// nets.
#include "testing/testing.h"

#include "check/paths.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <functional>
#include <limits>
#include <set>

using namespace stoutloom;

namespace {

int pick(std::mt19937_64& random, int from, int to) {
    return std::uniform_int_distribution<int>(from, to)(random);
}

struct Net {
    model::Harness harness;

    std::size_t device(const std::string& id, decltype(model::Device::data) data, int terminals,
                       model::Role first) {
        harness.devices.push_back({.id = id,
                                   .label = {},
                                   .zone = {},
                                   .terminals = {},
                                   .seat = {},
                                   .data = std::move(data),
                                   .span = {}});
        for (int t = 0; t < terminals; ++t) {
            model::Terminal made;
            made.id = std::string(1, static_cast<char>('a' + t));
            made.address = id + "." + made.id;
            made.device = static_cast<model::DeviceIndex>(harness.devices.size() - 1);
            made.stud = *base::fastener_by_name("M8");
            made.role = t == 0 ? first : model::Role::negative;
            harness.devices.back().terminals.push_back(
                static_cast<model::TerminalIndex>(harness.terminals.size()));
            harness.terminals.push_back(made);
        }
        return harness.devices.size() - 1;
    }

    void cable(model::TerminalIndex from, model::TerminalIndex to, double length_m) {
        model::Cable made;
        made.id = "W" + std::to_string(harness.cables.size());
        made.section_mm2.value = 16;
        made.from.at = from;
        made.to.at = to;
        made.length_m.value = length_m;
        harness.cables.push_back(made);
    }
};

// A battery, some posts, cables between them, and fuse-links that hang between posts by short cables.
Net random_net(std::mt19937_64& random) {
    Net net;
    net.device("G2", model::Battery{}, 2, model::Role::positive);
    const int posts = pick(random, 2, 4);
    std::vector<model::TerminalIndex> nodes = {net.harness.devices[0].terminals[0]};
    for (int p = 0; p < posts; ++p)
        nodes.push_back(
            net.harness.devices[net.device("X" + std::to_string(p), model::Post{}, 1, model::Role::through)]
                .terminals[0]);
    const auto node = [&] { return nodes[static_cast<std::size_t>(pick(random, 0, posts))]; };
    for (int f = pick(random, 0, 3); f > 0; --f) {
        model::FuseLink link;
        link.rating_a.value = 10 * pick(random, 1, 4);
        const std::size_t d = net.device("F" + std::to_string(f), link, 2, model::Role::through);
        net.cable(node(), net.harness.devices[d].terminals[0], 0.1 * pick(random, 1, 9));
        net.cable(net.harness.devices[d].terminals[1], node(), 0.1 * pick(random, 1, 9));
    }
    for (int c = pick(random, 1, 4); c > 0; --c)
        net.cable(node(), node(), 0.1 * pick(random, 1, 20));
    return net;
}

struct Found {
    bool reached = false, bare = false;
    double bare_m = std::numeric_limits<double>::infinity();
    double width_a = -1;
    std::vector<std::set<std::size_t>> fused_ways; // fuse-links on each simple way
};

// Every simple way from a node to another without one cable, by trying them all.
Found walk(const model::Harness& harness, const check::Topology& topology, int from, int to,
           std::size_t without) {
    Found found;
    std::set<int> visited = {from};
    std::set<std::size_t> fuses;
    const std::function<void(int, double, double)> step = [&](int here, double length_m, double width_a) {
        if (here == to) {
            found.reached = true;
            found.width_a = std::max(found.width_a, width_a);
            found.fused_ways.push_back(fuses);
            if (fuses.empty()) {
                found.bare = true;
                found.bare_m = std::min(found.bare_m, length_m);
            }
            return;
        }
        for (std::size_t l = 0; l < topology.links.size(); ++l) {
            const check::Link& link = topology.links[l];
            if ((link.cable && model::at(*link.cable) == without) || (link.a != here && link.b != here))
                continue;
            const int next = link.a == here ? link.b : link.a;
            if (visited.contains(next))
                continue;
            double rating_a = std::numeric_limits<double>::infinity();
            if (link.fuse_link)
                rating_a = std::get<model::FuseLink>(harness.device(*link.device).data).rating_a.value;
            visited.insert(next);
            if (link.fuse_link)
                fuses.insert(model::at(*link.device));
            step(next, length_m + (link.cable ? harness.cable(*link.cable).length_m.value : 0),
                 std::min(width_a, rating_a));
            if (link.fuse_link)
                fuses.erase(model::at(*link.device));
            visited.erase(next);
        }
    };
    step(from, 0, std::numeric_limits<double>::infinity());
    return found;
}

// The least sum of ratings that cuts every way, by trying every set of fuse-links.
double least_cut_a(const model::Harness& harness, const Found& found) {
    std::vector<std::size_t> links;
    for (std::size_t d = 0; d < harness.devices.size(); ++d)
        if (harness.devices[d].kind() == model::DeviceKind::fuse_link)
            links.push_back(d);
    double least = std::numeric_limits<double>::infinity();
    for (unsigned set = 0; set < (1U << links.size()); ++set) {
        std::set<std::size_t> opened;
        double sum = 0;
        for (std::size_t i = 0; i < links.size(); ++i)
            if ((set >> i & 1U) != 0) {
                opened.insert(links[i]);
                sum += std::get<model::FuseLink>(harness.devices[links[i]].data).rating_a.value;
            }
        const bool cuts = std::all_of(found.fused_ways.begin(), found.fused_ways.end(), [&](const auto& way) {
            return std::any_of(way.begin(), way.end(),
                               [&](std::size_t link) { return opened.contains(link); });
        });
        if (cuts)
            least = std::min(least, sum);
    }
    return least;
}

} // namespace

TEST_CASE("feeds agree with walking every simple way") {
    auto random = testing::random_source("feeds");
    int bare = 0, fused = 0, none = 0, several = 0;
    for (int round = 0; round < 1500; ++round) {
        const Net net = random_net(random);
        const check::Topology topology = check::topology_of(net.harness);
        const int start = topology.node_of_terminal[0];
        for (std::size_t c = 0; c < net.harness.cables.size(); ++c)
            for (const int end : {0, 1}) {
                CAPTURE(round);
                CAPTURE(c);
                const check::FeedPath* told = nullptr;
                for (const check::FeedPath& feed : topology.feeds)
                    if (model::at(feed.cable) == c && feed.entry_end == end)
                        told = &feed;
                const check::Link& link = topology.links[c];
                const Found found = walk(net.harness, topology, start, end == 0 ? link.a : link.b, c);
                REQUIRE((told != nullptr) == found.reached);
                if (told == nullptr) {
                    ++none;
                    continue;
                }
                REQUIRE(told->fuse_links.empty() == found.bare);
                if (found.bare) {
                    ++bare;
                    CHECK(told->bare_length_m ==
                          doctest::Approx(found.bare_m + net.harness.cables[c].length_m.value));
                    continue;
                }
                ++fused;
                several += told->cut.size() > 1;
                double smallest = std::numeric_limits<double>::infinity(), sum = 0;
                for (const model::DeviceIndex d : told->fuse_links)
                    smallest = std::min(smallest,
                                        std::get<model::FuseLink>(net.harness.device(d).data).rating_a.value);
                for (const model::DeviceIndex d : told->cut)
                    sum += std::get<model::FuseLink>(net.harness.device(d).data).rating_a.value;
                CHECK(smallest == doctest::Approx(found.width_a));
                CHECK(told->cut_rating_a == doctest::Approx(least_cut_a(net.harness, found)));
                CHECK(sum == doctest::Approx(told->cut_rating_a));
            }
    }
    CHECK(bare > 500);
    CHECK(fused > 500);
    CHECK(none > 500);
    CHECK(several > 50);
}
