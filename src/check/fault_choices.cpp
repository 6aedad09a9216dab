#include "check/fault_choices.h"

#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;
using Running = std::vector<DeviceIndex>;

/// Consumers that run with everything on that may be on, or all of it off.
Running all_of(const model::Harness& harness, const model::Duty& duty, bool on) {
    Running running;
    for (const DeviceIndex device : devices_of(harness, model::DeviceKind::consumer))
        if (solve::is_choice(harness, duty, device) ? on : model::runs_in(harness, duty, device))
            running.push_back(device);
    return running;
}

Running as_written(const model::Harness& harness, const model::Duty& duty) {
    Running running;
    for (const DeviceIndex device : devices_of(harness, model::DeviceKind::consumer))
        if (model::runs_in(harness, duty, device))
            running.push_back(device);
    return running;
}

/// Choices that are the worst of some cable of the healthy kit, those of the most cables first.
std::vector<Running> worst_choices(const CombinedDuty& combined) {
    constexpr std::size_t most = 6;
    std::map<Running, std::size_t> cables;
    for (const solve::WorstCurrent& one : combined.worst->cables)
        ++cables[one.running];
    std::vector<std::pair<std::size_t, Running>> ordered;
    ordered.reserve(cables.size());
    for (const auto& [running, count] : cables)
        ordered.emplace_back(count, running);
    std::stable_sort(ordered.begin(), ordered.end(),
                     [](const auto& one, const auto& other) { return one.first > other.first; });
    std::vector<Running> choices;
    for (std::size_t i = 0; i < std::min(most, ordered.size()); ++i)
        choices.push_back(ordered[i].second);
    return choices;
}

std::string only_these(const model::Harness& harness, const Running& running) {
    std::vector<std::string> ids;
    for (const DeviceIndex device : running)
        ids.push_back(harness.device(device).id);
    return running.empty() ? " with nothing on" : fmt::format(" with only {} on", listed(ids));
}

} // namespace

std::vector<Choice> other_choices(const model::Harness& harness, const CombinedDuty& combined) {
    const model::Duty& duty = harness.duty(combined.duty);
    std::vector<Choice> all;
    const Running written = as_written(harness, duty);
    const auto add = [&](const Running& running, const std::string& words) {
        const bool known = running == written || std::any_of(all.begin(), all.end(), [&](const Choice& one) {
                               return one.running == running;
                           });
        if (!known)
            all.push_back({.running = running, .words = words});
    };
    add(all_of(harness, duty, true), " with everything on");
    add(all_of(harness, duty, false), " with all off that may be off");
    if (combined.worst)
        for (const Running& running : worst_choices(combined))
            add(running, only_these(harness, running));
    return all;
}

} // namespace stoutloom::check
