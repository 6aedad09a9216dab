// The fall of volts along the charging feed: the way from the unit's output to the battery that carries most
// current.
#include "report/diagram_parts.h"

#include "report/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <queue>

namespace stoutloom::report {
namespace {

constexpr double endless = std::numeric_limits<double>::infinity();

struct Way {
    std::size_t to;
    double current_a;
};
using Ways = std::vector<std::vector<Way>>;

Ways conducting_ways(const model::Harness& harness, const solve::OperatingPoint& point) {
    Ways ways(harness.terminals.size());
    const auto join = [&](std::size_t a, std::size_t b, double current_a) {
        ways[a].push_back({.to = b, .current_a = std::abs(current_a)});
        ways[b].push_back({.to = a, .current_a = std::abs(current_a)});
    };
    for (std::size_t i = 0; i < harness.cables.size(); ++i)
        join(model::at(harness.cables[i].from.at), model::at(harness.cables[i].to.at),
             point.cables.at(i).current_a);
    for (std::size_t i = 0; i < harness.devices.size(); ++i) {
        const model::Device& device = harness.devices[i];
        const bool link =
            device.kind() == model::DeviceKind::fuse_link || device.kind() == model::DeviceKind::switch_ ||
            device.kind() == model::DeviceKind::relay || device.kind() == model::DeviceKind::shunt;
        if (link && device.terminals.size() >= 2)
            join(model::at(device.terminals[0]), model::at(device.terminals[1]),
                 point.devices.at(i).current_a);
        if (device.kind() == model::DeviceKind::post) // one node: any current passes
            for (std::size_t t = 1; t < device.terminals.size(); ++t)
                join(model::at(device.terminals[0]), model::at(device.terminals[t]), endless);
    }
    return ways;
}

// The way whose least current is greatest: the path that carries the charge, not a thin one beside it.
std::vector<std::size_t> widest_way(const Ways& ways, std::size_t from, std::size_t to) {
    std::vector<double> width(ways.size(), -1);
    std::vector<std::size_t> before(ways.size(), ways.size());
    using Entry = std::pair<double, std::size_t>;
    const auto later = [](const Entry& a, const Entry& b) {
        return a.first != b.first ? a.first < b.first : a.second > b.second;
    };
    std::priority_queue<Entry, std::vector<Entry>, decltype(later)> open(later);
    width[from] = endless;
    open.emplace(endless, from);
    while (!open.empty()) {
        const auto [reached, here] = open.top();
        open.pop();
        if (reached < width[here])
            continue;
        for (const Way& way : ways[here]) {
            const double through = std::min(reached, way.current_a);
            if (through <= width[way.to])
                continue;
            width[way.to] = through;
            before[way.to] = here;
            open.emplace(through, way.to);
        }
    }
    if (width[to] <= 0)
        return {};
    std::vector<std::size_t> path;
    for (std::size_t here = to; here < ways.size(); here = here == from ? ways.size() : before[here])
        path.push_back(here);
    std::reverse(path.begin(), path.end());
    return path;
}

struct Ends {
    model::DeviceIndex generator{};
    std::size_t from = 0, to = 0;
    std::vector<std::size_t> path;
};

std::optional<Ends> charging_feed(const model::Harness& harness, const solve::OperatingPoint& point) {
    const Ways ways = conducting_ways(harness, point);
    std::optional<Ends> best;
    for (std::size_t g = 0; g < harness.devices.size(); ++g) {
        if (harness.devices[g].kind() != model::DeviceKind::generator || !point.devices.at(g).running)
            continue;
        const auto output =
            model::terminal_of(harness, static_cast<model::DeviceIndex>(g), model::Role::positive);
        for (std::size_t b = 0; b < harness.devices.size(); ++b) {
            if (harness.devices[b].kind() != model::DeviceKind::battery || !output)
                continue;
            const auto post =
                model::terminal_of(harness, static_cast<model::DeviceIndex>(b), model::Role::positive);
            if (!post)
                continue;
            Ends ends{.generator = static_cast<model::DeviceIndex>(g),
                      .from = model::at(*output),
                      .to = model::at(*post),
                      .path = widest_way(ways, model::at(*output), model::at(*post))};
            if (ends.path.size() < 2)
                continue;
            const auto out_a = [&](model::DeviceIndex device) {
                return point.devices.at(model::at(device)).current_a;
            };
            if (!best || out_a(ends.generator) > out_a(best->generator))
                best = std::move(ends);
        }
    }
    return best;
}

} // namespace

std::optional<layout::VoltLine> volt_line(const Voice& voice) {
    const Checked& checked = voice.checked();
    const auto duty = rated_duty(checked);
    if (!duty)
        return std::nullopt;
    const model::Harness& harness = *checked.harness;
    const solve::OperatingPoint& point = *checked.facts->duties.at(model::at(*duty)).point;
    const auto feed = charging_feed(harness, point);
    if (!feed)
        return std::nullopt;
    const auto& generator = std::get<model::Generator>(harness.device(feed->generator).data);
    layout::VoltLine line;
    line.set_point_v = generator.set_point_v.value;
    line.limit_v = model::limit_in_force(harness, "charging-feed-drop").value;
    for (const std::size_t terminal : feed->path) {
        if (!std::isfinite(point.terminal_v.at(terminal)))
            return std::nullopt;
        line.studs.push_back(harness.terminals[terminal].address);
        line.volts_v.push_back(point.terminal_v[terminal]);
    }
    line.caption =
        voice.say(harness.duty(*duty).hot ? Phrase::diagram_volts_hot : Phrase::diagram_volts_cold,
                  {line.studs.front(), line.studs.back(),
                   base::shown_up(point.devices.at(model::at(feed->generator)).current_a, 0, "A")});
    return line;
}

} // namespace stoutloom::report
