#include "solve/reach.h"

#include <algorithm>
#include <set>

namespace stoutloom::solve {
namespace {

using model::TerminalIndex;

class Reaches {
  public:
    explicit Reaches(const model::Harness& harness) : harness_(harness), used_(harness.terminals.size()) {
        for (const model::Cable& cable : harness.cables)
            used_[model::at(cable.from.at)] = used_[model::at(cable.to.at)] = true;
    }
    std::vector<InReach> all() &&;

  private:
    void beside(TerminalIndex stud);
    void add(TerminalIndex stud, TerminalIndex part, std::optional<model::IncidentalIndex> path = {});
    bool is_stud(TerminalIndex terminal) const;
    bool in_zone(TerminalIndex terminal, std::optional<model::ZoneIndex> zone) const {
        return zone && harness_.device(harness_.terminal(terminal).device).zone == zone;
    }

    const model::Harness& harness_;
    std::vector<bool> used_;
    std::set<std::pair<TerminalIndex, TerminalIndex>> seen_;
    std::vector<InReach> found_;
};

bool Reaches::is_stud(TerminalIndex terminal) const {
    const model::Terminal& about = harness_.terminal(terminal);
    const model::DeviceKind kind = harness_.device(about.device).kind();
    const bool source = kind == model::DeviceKind::battery || kind == model::DeviceKind::generator;
    return !about.implicit && about.stud.kind != base::FastenerKind::splice &&
           (used_[model::at(terminal)] || source);
}

void Reaches::add(TerminalIndex stud, TerminalIndex part, std::optional<model::IncidentalIndex> path) {
    if (stud != part && seen_.emplace(stud, part).second && seen_.emplace(part, stud).second)
        found_.push_back({.stud = stud, .part = part, .path = path});
}

void Reaches::beside(TerminalIndex stud) {
    const model::Terminal& about = harness_.terminal(stud);
    const model::Device& device = harness_.device(about.device);
    for (const model::Landing& landing : harness_.landings)
        if (std::find(landing.terminals.begin(), landing.terminals.end(), stud) != landing.terminals.end())
            for (const TerminalIndex other : landing.terminals)
                if (is_stud(other))
                    add(stud, other);
    if (device.kind() != model::DeviceKind::post && device.kind() != model::DeviceKind::mass)
        for (const TerminalIndex other : device.terminals)
            if (is_stud(other))
                add(stud, other);
    for (std::size_t d = 0; d < harness_.devices.size(); ++d) {
        const auto mass = static_cast<model::DeviceIndex>(d);
        if (harness_.devices[d].kind() != model::DeviceKind::mass || about.device == mass)
            continue;
        const TerminalIndex metal = model::metal_of(harness_, mass);
        if (device.seat == mass || about.near_ground || in_zone(metal, device.zone))
            add(stud, metal);
    }
    for (std::size_t p = 0; p < harness_.incidentals.size(); ++p) {
        const model::Incidental& path = harness_.incidentals[p];
        if (in_zone(path.from, device.zone) || in_zone(path.to, device.zone))
            for (const TerminalIndex end : {path.from, path.to})
                add(stud, end, static_cast<model::IncidentalIndex>(p));
    }
}

std::vector<InReach> Reaches::all() && {
    for (std::size_t t = 0; t < harness_.terminals.size(); ++t)
        if (is_stud(static_cast<TerminalIndex>(t)))
            beside(static_cast<TerminalIndex>(t));
    return std::move(found_);
}

} // namespace

std::vector<InReach> parts_in_reach(const model::Harness& harness) {
    return Reaches(harness).all();
}

} // namespace stoutloom::solve
