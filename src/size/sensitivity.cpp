// What a metre, ten degrees or one consumer more would do to a chosen kit.
#include "size/account.h"

#include <fmt/format.h>

namespace stoutloom::size {
namespace {

void lengthen(model::Cable& cable, double more_m) {
    const double factor = (cable.length_m.value + more_m) / cable.length_m.value;
    cable.length_m.value += more_m;
    for (model::Segment& segment : cable.segments)
        segment.length_m.value *= factor;
}

/// One more of the same on the same studs: double the draw, at the resistance of two in parallel.
void double_load(model::Consumer& consumer) {
    if (consumer.demand == model::Demand::resistance)
        consumer.amount.value /= 2;
    else
        consumer.amount.value *= 2;
}

Sensitivity told(std::string what, model::Harness changed, Judge& judge) {
    const auto judged = judge.judge_kit(std::move(changed));
    Sensitivity line{.what = std::move(what), .holds = judged->good, .breaks = {}};
    if (!judged->good)
        line.breaks =
            fmt::format("{}: {}", judged->obstacles.front()->rule->slug, judged->obstacles.front()->message);
    return line;
}

} // namespace

std::vector<Sensitivity> sensitivity_of(const model::Harness& chosen, const Choices& choices, Judge& judge) {
    std::vector<Sensitivity> lines;
    for (const Choice& choice : choices.list) {
        if (choice.kind != ChoiceKind::section)
            continue;
        model::Harness changed = chosen;
        lengthen(changed.cables[choice.index], 1.0);
        lines.push_back(told(fmt::format("{} one metre longer", choice.id), std::move(changed), judge));
    }
    for (std::size_t z = 0; z < chosen.zones.size(); ++z) {
        model::Harness changed = chosen;
        changed.zones[z].ambient_degc.value += 10;
        lines.push_back(
            told(fmt::format("zone {} ten degrees warmer", chosen.zones[z].id), std::move(changed), judge));
    }
    for (std::size_t d = 0; d < chosen.devices.size(); ++d) {
        if (chosen.devices[d].kind() != model::DeviceKind::consumer)
            continue;
        model::Harness changed = chosen;
        double_load(std::get<model::Consumer>(changed.devices[d].data));
        lines.push_back(
            told(fmt::format("a second {} beside it", chosen.devices[d].id), std::move(changed), judge));
    }
    return lines;
}

} // namespace stoutloom::size
