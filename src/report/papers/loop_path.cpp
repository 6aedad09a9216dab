#include "report/papers/loop_path.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace stoutloom::report {
namespace {

struct Step {
    std::size_t from, to;
    double current_a; // infinite where any current passes: one node
    std::optional<model::CableIndex> cable;
    std::optional<model::DeviceIndex> device;
};

void add_both_ways(std::vector<Step>& steps, Step step) {
    steps.push_back(step);
    std::swap(step.from, step.to);
    steps.push_back(step);
}

/// Two terminals of these parts are joined by a resistance of their own.
bool is_link(model::DeviceKind kind) {
    return kind == model::DeviceKind::fuse_link || kind == model::DeviceKind::switch_ ||
           kind == model::DeviceKind::relay || kind == model::DeviceKind::shunt;
}

std::vector<Step> steps_of(const model::Harness& harness, const solve::OperatingPoint& point) {
    constexpr double any = std::numeric_limits<double>::infinity();
    std::vector<Step> steps;
    for (std::size_t i = 0; i < harness.cables.size(); ++i) {
        const model::Cable& cable = harness.cables[i];
        add_both_ways(steps, {.from = model::at(cable.from.at),
                              .to = model::at(cable.to.at),
                              .current_a = std::abs(point.cables.at(i).current_a),
                              .cable = static_cast<model::CableIndex>(i),
                              .device = {}});
    }
    for (std::size_t i = 0; i < harness.devices.size(); ++i) {
        const model::Device& device = harness.devices[i];
        const auto index = static_cast<model::DeviceIndex>(i);
        if (is_link(device.kind()) && device.terminals.size() >= 2)
            add_both_ways(steps, {.from = model::at(device.terminals[0]),
                                  .to = model::at(device.terminals[1]),
                                  .current_a = std::abs(point.devices.at(i).current_a),
                                  .cable = {},
                                  .device = index});
        // A case-return unit sits on its mass: from its own case to the metal.
        if (device.seat)
            for (const model::TerminalIndex terminal : device.terminals)
                if (harness.terminal(terminal).implicit)
                    add_both_ways(steps, {.from = model::at(terminal),
                                          .to = model::at(model::metal_of(harness, *device.seat)),
                                          .current_a = any,
                                          .cable = {},
                                          .device = device.seat});
        const bool one_metal =
            device.kind() == model::DeviceKind::post || device.kind() == model::DeviceKind::mass;
        for (std::size_t t = 1; one_metal && t < device.terminals.size(); ++t)
            add_both_ways(steps, {.from = model::at(device.terminals[0]),
                                  .to = model::at(device.terminals[t]),
                                  .current_a = any,
                                  .cable = {},
                                  .device = index});
    }
    return steps;
}

struct Reached {
    double width_a = -1;
    std::size_t parts = 0;
    const Step* by = nullptr;
};

/// Widest way to every terminal by repeated relaxation: harnesses have hundreds of terminals, not millions.
// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): one caller, which has both by these names
std::vector<Reached> reach(const std::vector<Step>& steps, std::size_t count, std::size_t from) {
    std::vector<Reached> reached(count);
    reached[from].width_a = std::numeric_limits<double>::infinity();
    for (bool changed = true; changed;) {
        changed = false;
        for (const Step& step : steps) {
            const Reached& here = reached[step.from];
            if (here.width_a < 0)
                continue;
            const double width = std::min(here.width_a, step.current_a);
            Reached& there = reached[step.to];
            const bool better =
                width > there.width_a || (width == there.width_a && here.parts + 1 < there.parts);
            if (!better || step.to == from)
                continue;
            there = {.width_a = width, .parts = here.parts + 1, .by = &step};
            changed = true;
        }
    }
    return reached;
}

/// Steps inside one part told as one; a post loses nothing and is left out.
std::vector<WayPart> merged(const std::vector<WayPart>& way, const model::Harness& harness) {
    std::vector<WayPart> parts;
    for (const WayPart& part : way) {
        if (part.device && harness.device(*part.device).kind() == model::DeviceKind::post)
            continue;
        if (part.device && !parts.empty() && parts.back().device == part.device) {
            parts.back().to = part.to;
            parts.back().drop_v += part.drop_v;
            continue;
        }
        parts.push_back(part);
    }
    return parts;
}

} // namespace

std::vector<WayPart> way_between(const model::Harness& harness, const solve::OperatingPoint& point,
                                 model::TerminalIndex from, model::TerminalIndex to) {
    if (from == to)
        return {};
    const std::vector<Step> steps = steps_of(harness, point);
    const std::vector<Reached> reached = reach(steps, harness.terminals.size(), model::at(from));
    std::vector<WayPart> way;
    for (std::size_t at = model::at(to); at != model::at(from);) {
        const Step* step = reached[at].by;
        if (step == nullptr || way.size() > harness.terminals.size())
            return {};
        const double drop_v = point.terminal_v.at(step->from) - point.terminal_v.at(step->to);
        if (!std::isfinite(drop_v))
            return {};
        way.push_back({.cable = step->cable,
                       .device = step->device,
                       .from = static_cast<model::TerminalIndex>(step->from),
                       .to = static_cast<model::TerminalIndex>(step->to),
                       .drop_v = drop_v});
        at = step->from;
    }
    std::reverse(way.begin(), way.end());
    return merged(way, harness);
}

std::optional<model::CableIndex> heaviest_cable_on(const model::Harness& harness,
                                                   const solve::OperatingPoint& point,
                                                   model::TerminalIndex terminal) {
    std::optional<model::CableIndex> heaviest;
    double most_a = -1;
    for (std::size_t i = 0; i < harness.cables.size(); ++i) {
        const model::Cable& cable = harness.cables[i];
        const double current_a = std::abs(point.cables.at(i).current_a);
        if ((cable.from.at == terminal || cable.to.at == terminal) && current_a > most_a) {
            most_a = current_a;
            heaviest = static_cast<model::CableIndex>(i);
        }
    }
    return heaviest;
}

} // namespace stoutloom::report
