#include "solve/failures.h"

#include "solve/assumed.h"
#include "solve/faulted.h"
#include "solve/loops.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace stoutloom::solve {
namespace {

constexpr double endless = std::numeric_limits<double>::infinity();

/// A consumer or starter that runs, and where its volts are read.
struct RunningLoad {
    model::DeviceIndex device{};
    int plus, minus;
    double alive_v; // below this it is dead
    bool alive;     // when healthy
};

class Sweep {
  public:
    Sweep(const model::Harness& harness, const Solved& healthy);
    FailureResult result_of(const Failure& failure, const std::vector<int>& opened);
    bool changes_anything(const std::vector<int>& opened) const;

  private:
    void tell_currents(FailureResult& result, const std::vector<int>& opened) const;
    void tell_loads(FailureResult& result) const;
    void tell_sources(FailureResult& result, const std::vector<int>& opened) const;
    bool has_battery(const std::vector<int>& component, const Port& unit) const;

    const Solved& healthy_;
    Faulted faulted_;
    std::vector<bool> bridge_;
    std::vector<int> healthy_component_;
    std::vector<RunningLoad> loads_;
};

Sweep::Sweep(const model::Harness& harness, const Solved& healthy)
    : healthy_(healthy), faulted_(harness, healthy), bridge_(bridges(healthy.network)),
      healthy_component_(conductor_components(healthy.network, {})) {
    const double nominal_v = harness.nominal_v.value;
    const auto add = [&](model::DeviceIndex device, int plus, int minus, double alive_v) {
        const double now_v = faulted_.volts(plus, minus);
        loads_.push_back(
            {.device = device, .plus = plus, .minus = minus, .alive_v = alive_v, .alive = now_v >= alive_v});
    };
    for (const Port& port : healthy.network.ports)
        if (port.kind == PortKind::consumer)
            add(port.device, port.plus, port.minus, port.fold_v);
    for (std::size_t d = 0; d < harness.devices.size(); ++d)
        if (const int branch = healthy.network.device_branch[d];
            branch >= 0 && harness.devices[d].kind() == model::DeviceKind::consumer) {
            const Branch& about = healthy.network.branches[static_cast<std::size_t>(branch)];
            add(static_cast<model::DeviceIndex>(d), about.a, about.b, consumer_fold_fraction * nominal_v);
        }
    std::sort(loads_.begin(), loads_.end(),
              [](const RunningLoad& a, const RunningLoad& b) { return a.device < b.device; });
}

bool Sweep::changes_anything(const std::vector<int>& opened) const {
    return std::any_of(opened.begin(), opened.end(),
                       [&](int branch) { return !bridge_[static_cast<std::size_t>(branch)]; });
}

void Sweep::tell_currents(FailureResult& result, const std::vector<int>& opened) const {
    const auto part_of = [&](int branch) {
        return healthy_.network.branches[static_cast<std::size_t>(branch)].part;
    };
    const auto current_a = [&](int branch) {
        const bool open = std::find(opened.begin(), opened.end(), branch) != opened.end();
        return open ? 0.0 : faulted_.branch_a(branch);
    };
    for (const int branch : healthy_.network.cable_branch)
        result.cable_a.push_back(current_a(branch));
    for (const int branch : healthy_.network.incidental_branch)
        result.incidental_a.push_back(current_a(branch));
    for (const int branch : healthy_.network.device_branch) {
        const bool conducts = branch >= 0 && (part_of(branch) == "contact" || part_of(branch) == "link");
        result.contact_a.push_back(conducts ? current_a(branch) : 0.0);
    }
}

void Sweep::tell_loads(FailureResult& result) const {
    for (const RunningLoad& load : loads_) {
        const double now_v = faulted_.volts(load.plus, load.minus);
        if (load.alive && now_v < load.alive_v)
            result.dead.push_back(load.device);
        if (now_v <= result.highest_v)
            continue;
        result.highest_v = now_v;
        result.highest_at = load.device;
    }
}

bool Sweep::has_battery(const std::vector<int>& component, const Port& unit) const {
    const auto joined = [&](int a, int b) {
        return component[static_cast<std::size_t>(a)] == component[static_cast<std::size_t>(b)];
    };
    return std::any_of(healthy_.network.ports.begin(), healthy_.network.ports.end(), [&](const Port& port) {
        return port.kind == PortKind::battery && joined(port.plus, unit.plus) &&
               joined(port.minus, unit.minus);
    });
}

void Sweep::tell_sources(FailureResult& result, const std::vector<int>& opened) const {
    const std::vector<int> component = conductor_components(healthy_.network, opened);
    const auto joined = [](const std::vector<int>& of, int a, int b) {
        return of[static_cast<std::size_t>(a)] == of[static_cast<std::size_t>(b)];
    };
    for (const Port& port : healthy_.network.ports) {
        if (port.kind != PortKind::generator)
            continue;
        if (has_battery(healthy_component_, port) && !has_battery(component, port))
            result.lost_battery.push_back(port.device);
        if (port.sense_plus != port.plus && joined(healthy_component_, port.sense_plus, port.plus) &&
            !joined(component, port.sense_plus, port.plus))
            result.lost_sense.push_back(port.device);
    }
}

FailureResult Sweep::result_of(const Failure& failure, const std::vector<int>& opened) {
    FailureResult result;
    result.failure = failure;
    std::vector<Port> faults;
    for (const int branch : opened) {
        if (bridge_[static_cast<std::size_t>(branch)])
            continue;
        const Branch& about = healthy_.network.branches[static_cast<std::size_t>(branch)];
        faults.push_back(changed_branch(about.a, about.b, about.ohm, endless));
    }
    const auto answer = faulted_.settle_with(faults);
    if (!answer) {
        result.unsolved = answer.error();
        return result;
    }
    tell_currents(result, opened);
    tell_loads(result);
    tell_sources(result, opened);
    return result;
}

/// Branches that a failed part takes away.
std::vector<int> branches_of(const Network& network, const Failure& failure) {
    std::vector<int> found;
    for (std::size_t i = 0; i < network.branches.size(); ++i) {
        const Branch& branch = network.branches[i];
        const bool of_cable =
            failure.cable && branch.owner == Owner::cable && branch.index == model::at(*failure.cable);
        const bool of_device = failure.device && branch.owner == Owner::device &&
                               branch.index == model::at(*failure.device) &&
                               (branch.part == "contact" || branch.part == "link");
        if (of_cable || of_device)
            found.push_back(static_cast<int>(i));
    }
    return found;
}

std::vector<Failure> failures_of(const model::Harness& harness) {
    std::vector<Failure> all;
    for (std::size_t c = 0; c < harness.cables.size(); ++c)
        all.push_back({.cable = static_cast<model::CableIndex>(c), .device = std::nullopt});
    for (std::size_t d = 0; d < harness.devices.size(); ++d) {
        const model::DeviceKind kind = harness.devices[d].kind();
        if (kind == model::DeviceKind::fuse_link || kind == model::DeviceKind::switch_ ||
            kind == model::DeviceKind::relay || kind == model::DeviceKind::shunt)
            all.push_back({.cable = std::nullopt, .device = static_cast<model::DeviceIndex>(d)});
    }
    return all;
}

} // namespace

base::Outcome<FailureSweep, Unsolved> single_failures(const model::Harness& harness, const model::Duty& duty,
                                                      const Variation& variation) {
    const auto healthy = solve_network(harness, duty, variation);
    if (!healthy)
        return base::failure(Unsolved{healthy.error()});
    FailureSweep sweep{.healthy = operating_point_of(harness, duty, variation, *healthy), .results = {}};
    Sweep searching(harness, *healthy);
    for (const Failure& failure : failures_of(harness)) {
        const std::vector<int> opened = branches_of(healthy->network, failure);
        if (!searching.changes_anything(opened))
            ++sweep.without_effect;
        sweep.results.push_back(searching.result_of(failure, opened));
    }
    return sweep;
}

base::Outcome<std::vector<DirtyJointResult>, Unsolved> dirty_joints(const model::Harness& harness,
                                                                    const model::Duty& duty, double factor,
                                                                    const Variation& variation) {
    const auto healthy = solve_network(harness, duty, variation);
    if (!healthy)
        return base::failure(Unsolved{healthy.error()});
    Faulted faulted(harness, *healthy);
    std::vector<DirtyJointResult> results;
    for (std::size_t c = 0; c < harness.cables.size(); ++c) {
        const int branch = healthy->network.cable_branch[c];
        if (branch < 0)
            continue;
        const Branch about = healthy->network.branches[static_cast<std::size_t>(branch)];
        const CableParts& parts = healthy->parts[c];
        for (const int end : {0, 1}) {
            Variation dirty = variation;
            dirty.dirty_joints.push_back(
                {.cable = static_cast<model::CableIndex>(c), .end = end, .factor = factor});
            const auto dirty_parts = cable_parts(harness, static_cast<model::CableIndex>(c), dirty);
            if (!dirty_parts)
                return base::failure(Unsolved{dirty_parts.error()});
            const double added_ohm = dirty_parts->end_ohm[end] - parts.end_ohm[end];
            DirtyJointResult result;
            result.cable = static_cast<model::CableIndex>(c);
            result.end = end;
            const auto answer =
                faulted.settle_with({changed_branch(about.a, about.b, about.ohm, about.ohm + added_ohm)});
            if (!answer)
                result.unsolved = answer.error();
            // The joint alone: factor times what it was, so what was added is (factor - 1) of it.
            const double joint_ohm = factor > 1 ? added_ohm * factor / (factor - 1) : 0;
            result.joint_ohm = joint_ohm * parts.parallel;
            result.current_a = answer ? faulted.volts(about.a, about.b) / (about.ohm + added_ohm) : 0;
            result.heat_w = result.current_a * result.current_a * joint_ohm;
            result.meter_v = std::abs(result.current_a) * dirty_parts->end_ohm[end];
            result.healthy_meter_v = std::abs(healthy->branch_a(branch)) * parts.end_ohm[end];
            results.push_back(result);
        }
    }
    return results;
}

} // namespace stoutloom::solve
