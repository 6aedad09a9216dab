// ground-return-missing. Has every unit a metal way back to battery negative that was meant to be one?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const DeviceIndex unit : units_with_return(*facts.harness))
        ids.push_back(facts.harness->device(unit).id);
    return ids;
}

bool is_case_return(const model::Device& device) {
    if (const auto* unit = std::get_if<model::Generator>(&device.data))
        return unit->case_return;
    if (const auto* unit = std::get_if<model::Starter>(&device.data))
        return unit->case_return;
    if (const auto* unit = std::get_if<model::Consumer>(&device.data))
        return unit->case_return;
    return false;
}

// Incidental paths that lead from a node's metal to metal at battery negative, found step by step.
std::vector<const model::Incidental*> incidental_way(const Facts& facts, int component,
                                                     const std::vector<bool>& at_negative) {
    std::vector<const model::Incidental*> used;
    std::vector<bool> reached(static_cast<std::size_t>(facts.topology.node_count), false);
    const auto mark = [&](int joined) {
        for (std::size_t node = 0; node < reached.size(); ++node)
            if (facts.topology.component_of_node[node] == joined)
                reached[node] = true;
    };
    mark(component);
    for (bool changed = true; changed;) {
        changed = false;
        for (const model::Incidental& path : facts.harness->incidentals) {
            const int from = facts.topology.node(path.from), to = facts.topology.node(path.to);
            if (reached[static_cast<std::size_t>(from)] == reached[static_cast<std::size_t>(to)])
                continue;
            const int next = reached[static_cast<std::size_t>(from)] ? to : from;
            used.push_back(&path);
            if (at_negative[static_cast<std::size_t>(next)])
                return used;
            mark(facts.topology.component_of_node[static_cast<std::size_t>(next)]);
            changed = true;
        }
    }
    return {};
}

std::string missing_words(const Facts& facts, const model::Device& device) {
    if (is_case_return(device)) {
        const std::string mass = device.seat ? named(facts.harness->device(*device.seat)) : "its mass";
        return fmt::format("{} returns through {}, and no cable or strap joins that to battery negative",
                           named(device), mass);
    }
    return fmt::format("{} has its own negative terminal, and no cable leads from it to battery negative",
                       named(device));
}

void judge(const Facts& facts, Judgements& judgements) {
    const std::vector<bool> at_negative = nodes_at_battery_negative(facts);
    for (const DeviceIndex unit : units_with_return(*facts.harness)) {
        const model::Device& device = facts.harness->device(unit);
        Judgement judgement = about(device.id, device.span, {});
        if (has_metal_return(facts, unit, at_negative)) {
            judgement.message = fmt::format("{} has a metal way back to battery negative", named(device));
            judgements.passes(std::move(judgement));
            continue;
        }
        judgement.message = missing_words(facts, device);
        const auto minus = model::terminal_of(*facts.harness, unit, model::Role::negative);
        std::vector<std::string> by_chance;
        if (minus)
            for (const model::Incidental* path :
                 incidental_way(facts, facts.topology.component(*minus), at_negative)) {
                by_chance.push_back(path->label.empty() ? path->id
                                                        : fmt::format("{} \"{}\"", path->id, path->label));
                judgement.subjects.push_back(path->id);
            }
        if (!by_chance.empty())
            judgement.message += fmt::format(": its current goes through {}", listed(by_chance));
        judgement.cure =
            is_case_return(device)
                ? "a strap from that metal to the body or to battery negative, as thick as the feed"
                : "a return cable as thick as the feed";
        judgements.fails(std::move(judgement));
    }
}

} // namespace

extern const Rule rule_ground_return_missing;
const Rule rule_ground_return_missing{
    .slug = "ground-return-missing",
    .usual = Severity::error,
    .asks = "Has every unit a metal way back to battery negative that was meant to be one?",
    .source = "circuit theory: what goes out must come back; common practice: an engine on rubber mounts "
              "needs its strap",
    .cure = "a strap or cable as thick as the feed",
    .explanation =
        R"(Every ampere that leaves the battery's positive post comes back to its negative one. If no cable, strap or mass
offers it a way, it takes what it finds: a throttle cable, a hinge, a bearing. Those glow, weld or let go.
The rule follows cables, masses, contacts, fuse-links and shunts from each unit's negative side and asks whether
a battery's negative terminal is reached. Incidental paths do not count, but are named when they are all there is.
Example: starter on the engine block, block on rubber mounts, strap left off after the clutch job: 300 A turn
to a throttle cable of 40 mohm; 6 V across it are 6 / 0.040 = 150 A and 6 x 150 = 900 W in a thin steel wire.
A lamp in the exciter's lead returns through the exciter of the charging unit and passes.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
