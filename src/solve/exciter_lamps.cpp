// Follows the negative side of a consumer over cables and posts until an exciter is met or nothing is new.
#include "solve/exciter_lamps.h"

#include <algorithm>

namespace stoutloom::solve {
namespace {

/// Terminals one step away: over a cable, or on the same post.
std::vector<model::TerminalIndex> beside(const model::Harness& harness, model::TerminalIndex terminal) {
    std::vector<model::TerminalIndex> found;
    const model::Device& device = harness.device(harness.terminal(terminal).device);
    if (device.kind() == model::DeviceKind::post)
        found = device.terminals;
    for (const model::Cable& cable : harness.cables) {
        if (cable.from.at == terminal)
            found.push_back(cable.to.at);
        if (cable.to.at == terminal)
            found.push_back(cable.from.at);
    }
    return found;
}

bool hangs_on_exciter(const model::Harness& harness, model::TerminalIndex start) {
    std::vector<bool> seen(harness.terminals.size(), false);
    std::vector<model::TerminalIndex> open = {start};
    seen[model::at(start)] = true;
    while (!open.empty()) {
        const model::TerminalIndex terminal = open.back();
        open.pop_back();
        if (harness.terminal(terminal).role == model::Role::excite)
            return true;
        for (const model::TerminalIndex next : beside(harness, terminal)) {
            if (!seen[model::at(next)])
                open.push_back(next);
            seen[model::at(next)] = true;
        }
    }
    return false;
}

} // namespace

std::optional<double> exciter_lamp_ohm(const model::Harness& harness, model::DeviceIndex consumer) {
    const auto& about = std::get<model::Consumer>(harness.device(consumer).data);
    const auto minus = model::terminal_of(harness, consumer, model::Role::negative);
    if (about.demand == model::Demand::resistance || !(about.amount.value > 0) || !minus ||
        !hangs_on_exciter(harness, *minus))
        return std::nullopt;
    const double nominal_v = harness.nominal_v.value;
    return about.demand == model::Demand::power ? nominal_v * nominal_v / about.amount.value
                                                : nominal_v / about.amount.value;
}

} // namespace stoutloom::solve
