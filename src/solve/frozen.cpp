#include "solve/frozen.h"

#include "solve/assumed.h"
#include "solve/worst_case.h"

#include <algorithm>
#include <limits>
#include <numeric>

namespace stoutloom::solve {
namespace {

constexpr double endless = std::numeric_limits<double>::infinity();

/// Consumers that run in at least one combination.
std::vector<model::DeviceIndex> all_that_may_run(const model::Harness& harness, const model::Duty& duty) {
    std::vector<model::DeviceIndex> running;
    for (std::size_t d = 0; d < harness.devices.size(); ++d) {
        const auto device = static_cast<model::DeviceIndex>(d);
        if (harness.devices[d].kind() != model::DeviceKind::consumer)
            continue;
        if (is_choice(harness, duty, device) || model::runs_in(harness, duty, device))
            running.push_back(device);
    }
    return running;
}

/// A resistance consumer that may be off leaves its branch and becomes a port.
void switchable_resistors(const model::Harness& harness, const model::Duty& duty, Network& network) {
    for (std::size_t d = 0; d < harness.devices.size(); ++d) {
        const auto device = static_cast<model::DeviceIndex>(d);
        const int branch = network.device_branch[d];
        if (harness.devices[d].kind() != model::DeviceKind::consumer || branch < 0 ||
            !is_choice(harness, duty, device))
            continue;
        Branch& about = network.branches[static_cast<std::size_t>(branch)];
        Port port{.kind = PortKind::consumer,
                  .plus = about.a,
                  .minus = about.b,
                  .sense_plus = about.a,
                  .sense_minus = about.b};
        port.pieces.push_back({.alpha_a = 0, .beta_s = 1 / about.ohm, .upto_v = endless});
        port.device = device;
        about.ohm = leak_ohm;
        about.part = "leak";
        network.device_branch[d] = -1;
        network.device_port[d] = static_cast<int>(network.ports.size());
        network.ports.push_back(port);
    }
}

/// Whether something other than leaks and the port itself joins the port's two sides.
bool is_fed(const Network& network, std::size_t port) {
    std::vector<std::size_t> parent(static_cast<std::size_t>(network.nodes));
    std::iota(parent.begin(), parent.end(), std::size_t{0});
    const auto root = [&](int node) {
        auto i = static_cast<std::size_t>(node);
        while (parent[i] != i)
            i = parent[i] = parent[parent[i]];
        return i;
    };
    for (const Branch& branch : network.branches)
        if (branch.part != "leak")
            parent[root(branch.a)] = root(branch.b);
    for (std::size_t k = 0; k < network.ports.size(); ++k)
        if (k != port && network.ports[k].kind != PortKind::rectifier)
            parent[root(network.ports[k].plus)] = root(network.ports[k].minus);
    return root(network.ports[port].plus) == root(network.ports[port].minus);
}

} // namespace

bool is_choice(const model::Harness& harness, const model::Duty& duty, model::DeviceIndex consumer) {
    const auto& about = std::get<model::Consumer>(harness.device(consumer).data);
    if (!about.switchable || std::find(duty.off.begin(), duty.off.end(), consumer) != duty.off.end())
        return false;
    return about.runs == model::Runs::on_request || model::runs_in(harness, duty, consumer);
}

base::Outcome<FrozenNetwork, Unsolved>
FrozenNetwork::at(const model::Harness& harness, const model::Duty& duty, const Variation& variation,
                  const std::vector<std::vector<double>>& segment_degc) {
    FrozenNetwork frozen;
    Variation everything = variation;
    everything.running = all_that_may_run(harness, duty);
    frozen.network_ = build_network(harness, duty, everything);
    Network& network = frozen.network_;
    const Islands islands = find_islands(network);
    switchable_resistors(harness, duty, network);
    for (std::size_t c = 0; c < harness.cables.size(); ++c) {
        const auto parts = cable_parts(harness, static_cast<model::CableIndex>(c), variation);
        if (!parts)
            return base::failure(Unsolved{parts.error()});
        if (const int branch = network.cable_branch[c]; branch >= 0)
            network.branches[static_cast<std::size_t>(branch)].ohm =
                copper_ohm(*parts, segment_degc[c]) + parts->end_ohm[0] + parts->end_ohm[1];
    }
    for (std::size_t k = 0; k < network.ports.size(); ++k) {
        Port& port = network.ports[k];
        if (port.kind != PortKind::consumer)
            continue;
        port.in_linear = false;
        const bool consumer = harness.device(port.device).kind() == model::DeviceKind::consumer;
        frozen.loads_.push_back({.device = port.device,
                                 .port = k,
                                 .choice = consumer && is_choice(harness, duty, port.device),
                                 .fed = is_fed(network, k),
                                 .ohm = port.pieces.size() == 1 ? 1 / port.pieces[0].beta_s : 0.0});
    }
    const LinearNetwork linear(network, islands);
    frozen.picture_ = picture_of(linear, network.ports);
    for (const int branch : network.cable_branch) {
        frozen.cable_base_a_.push_back(0);
        frozen.cable_per_a_.emplace_back(network.ports.size(), 0.0);
        if (branch < 0)
            continue;
        const Branch& about = network.branches[static_cast<std::size_t>(branch)];
        const auto current_a = [&](const std::vector<double>& volts) {
            return (volts[static_cast<std::size_t>(about.a)] - volts[static_cast<std::size_t>(about.b)]) /
                   about.ohm;
        };
        frozen.cable_base_a_.back() = current_a(frozen.picture_.base_volts);
        for (std::size_t k = 0; k < network.ports.size(); ++k)
            frozen.cable_per_a_.back()[k] = current_a(frozen.picture_.column[k]);
    }
    return frozen;
}

double FrozenNetwork::cable_a(std::size_t cable, const std::vector<double>& correction_a) const {
    double sum_a = cable_base_a_[cable];
    for (std::size_t k = 0; k < correction_a.size(); ++k)
        sum_a += cable_per_a_[cable][k] * correction_a[k];
    return sum_a;
}

base::Outcome<std::vector<double>, Unsolved> FrozenNetwork::currents_a(const model::Harness& harness,
                                                                       const std::vector<bool>& on) {
    if (const auto found = known_.find(on); found != known_.end())
        return found->second;
    PortPicture picture = picture_;
    for (std::size_t i = 0; i < loads_.size(); ++i) {
        if (on[i] || !loads_[i].choice)
            continue;
        Port& port = picture.ports[loads_[i].port];
        port.pieces = {{.alpha_a = 0, .beta_s = 0, .upto_v = endless}};
        port.start = 0;
        port.power_w = 0;
    }
    const auto answer = settle_with_power(picture);
    if (!answer)
        return base::failure(unsolved_by(harness, picture, answer.error()));
    std::vector<double> currents;
    for (std::size_t c = 0; c < cable_base_a_.size(); ++c)
        currents.push_back(cable_a(c, answer->correction_a));
    known_[on] = currents;
    return currents;
}

} // namespace stoutloom::solve
