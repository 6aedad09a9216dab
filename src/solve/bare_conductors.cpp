#include "solve/bare_conductors.h"

#include <algorithm>
#include <iterator>

namespace stoutloom::solve {
namespace {

/// Conductors only, at the resistances of one side; every contact that ever closes is closed.
Network conductors(const model::Harness& harness, Side side, const std::vector<CableParts>& parts) {
    model::Duty duty;
    duty.engine = model::Engine::rated;
    Variation nothing_runs;
    nothing_runs.running.emplace();
    model::Harness closed = harness;
    for (model::Device& device : closed.devices) {
        if (auto* about = std::get_if<model::Switch>(&device.data);
            about && about->closes != model::Closes::never)
            about->closes = model::Closes::always;
        if (auto* about = std::get_if<model::Relay>(&device.data);
            about && about->closes != model::Closes::never)
            about->closes = model::Closes::always;
    }
    Network network = build_network(closed, duty, nothing_runs);
    network.ports.clear();
    std::vector<Branch> kept;
    for (Branch branch : network.branches) {
        static constexpr std::string_view joining[] = {"cable", "contact", "link", "metal", "seat"};
        if (std::find(std::begin(joining), std::end(joining), branch.part) == std::end(joining))
            continue;
        if (branch.owner == Owner::cable) {
            const CableParts& cable = parts[branch.index];
            const double degc =
                side == Side::greatest ? 20.0 : harness.cables[branch.index].insulation.class_degc;
            branch.ohm = copper_ohm(cable, std::vector<double>(cable.stretches.size(), degc)) +
                         cable.end_ohm[0] + cable.end_ohm[1];
        } else if (side == Side::greatest &&
                   harness.devices[branch.index].kind() == model::DeviceKind::fuse_link) {
            branch.ohm = nothing_ohm;
        }
        kept.push_back(branch);
    }
    network.branches = std::move(kept);
    return network;
}

} // namespace

base::Outcome<Network, Unsolved> bare_conductors(const model::Harness& harness, Side side) {
    Variation grade;
    grade.worst = side == Side::least;
    std::vector<CableParts> parts;
    for (std::size_t c = 0; c < harness.cables.size(); ++c) {
        auto made = side == Side::least ? cable_parts(harness, static_cast<model::CableIndex>(c), grade)
                                        : clean_cable_parts(harness, static_cast<model::CableIndex>(c));
        if (!made)
            return base::failure(Unsolved{made.error()});
        parts.push_back(std::move(*made));
    }
    return conductors(harness, side, parts);
}

} // namespace stoutloom::solve
