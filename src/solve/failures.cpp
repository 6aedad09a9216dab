#include "solve/failures.h"

#include "solve/assumed.h"
#include "solve/failed_point.h"
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
    explicit Sweep(const HealthyDuty& duty);
    FailureResult result_of(const Failure& failure, Points points);
    bool changes_anything(const Failure& failure) const;

  private:
    Broken broken_by(const Failure& failure) const;
    void tell_currents(FailureResult& result, const Broken& broken) const;
    void tell_loads(FailureResult& result) const;
    void tell_sources(FailureResult& result, const Broken& broken) const;
    bool has_battery(const std::vector<int>& component, const Port& unit,
                     std::optional<model::DeviceIndex> lost) const;

    const HealthyDuty& duty_;
    const Solved& healthy_;
    Faulted faulted_;
    std::vector<bool> bridge_;
    std::vector<int> healthy_component_;
    std::vector<RunningLoad> loads_;
};

Sweep::Sweep(const HealthyDuty& duty)
    : duty_(duty), healthy_(duty.solved), faulted_(duty.harness, duty.solved),
      bridge_(bridges(duty.solved.network)),
      healthy_component_(conductor_components(duty.solved.network, {})) {
    const model::Harness& harness = duty.harness;
    const Solved& healthy = duty.solved;
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

bool Sweep::changes_anything(const Failure& failure) const {
    const Broken broken = broken_by(failure);
    return !broken.faults.empty() || broken.dead_port >= 0;
}

void Sweep::tell_currents(FailureResult& result, const Broken& broken) const {
    const auto part_of = [&](int branch) {
        return healthy_.network.branches[static_cast<std::size_t>(branch)].part;
    };
    const auto current_a = [&](int branch) {
        double through_a = faulted_.branch_a(branch);
        for (const ChangedOhm& one : broken.changed)
            if (one.branch == branch)
                through_a *= healthy_.network.branches[static_cast<std::size_t>(branch)].ohm / one.ohm;
        return through_a;
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

bool Sweep::has_battery(const std::vector<int>& component, const Port& unit,
                        std::optional<model::DeviceIndex> lost) const {
    const auto joined = [&](int a, int b) {
        return component[static_cast<std::size_t>(a)] == component[static_cast<std::size_t>(b)];
    };
    return std::any_of(healthy_.network.ports.begin(), healthy_.network.ports.end(), [&](const Port& port) {
        return port.kind == PortKind::battery && port.device != lost && joined(port.plus, unit.plus) &&
               joined(port.minus, unit.minus);
    });
}

void Sweep::tell_sources(FailureResult& result, const Broken& broken) const {
    const std::vector<int> component = conductor_components(healthy_.network, broken.opened);
    const auto joined = [](const std::vector<int>& of, int a, int b) {
        return of[static_cast<std::size_t>(a)] == of[static_cast<std::size_t>(b)];
    };
    for (const Port& port : healthy_.network.ports) {
        if (port.kind != PortKind::generator)
            continue;
        if (has_battery(healthy_component_, port, {}) && !has_battery(component, port, broken.failure.device))
            result.lost_battery.push_back(port.device);
        if (port.sense_plus != port.plus && joined(healthy_component_, port.sense_plus, port.plus) &&
            !joined(component, port.sense_plus, port.plus))
            result.lost_sense.push_back(port.device);
    }
}

Broken Sweep::broken_by(const Failure& failure) const {
    Broken broken{.failure = failure, .opened = {}, .faults = {}, .changed = {}};
    const Network& network = healthy_.network;
    const std::vector<int> branches = branches_of(duty_.harness, network, failure);
    std::vector<int> updated;
    for (const int branch : branches) {
        const Branch& about = network.branches[static_cast<std::size_t>(branch)];
        const double runs = failure.one_run ? healthy_.parts[model::at(*failure.cable)].parallel : 1;
        const double then_ohm = runs > 1 ? about.ohm * runs / (runs - 1) : endless;
        if (std::isinf(then_ohm))
            broken.opened.push_back(branch);
        broken.changed.push_back({.branch = branch, .ohm = then_ohm});
        // The last of several that together cut a part off holds it at its volts and carries nothing.
        const bool nothing_flows =
            bridge_[static_cast<std::size_t>(branch)] ||
            (branches.size() > 1 && bridges(network, updated)[static_cast<std::size_t>(branch)]);
        if (nothing_flows)
            continue;
        updated.push_back(branch);
        broken.faults.push_back(changed_branch(about.a, about.b, about.ohm, then_ohm));
    }
    for (std::size_t k = 0; failure.device && k < network.ports.size(); ++k)
        if (network.ports[k].kind == PortKind::battery && network.ports[k].device == *failure.device)
            broken.dead_port = static_cast<int>(k);
    return broken;
}

FailureResult Sweep::result_of(const Failure& failure, Points points) {
    FailureResult result;
    result.failure = failure;
    Broken broken = broken_by(failure);
    const auto answer = faulted_.settle_with(broken.faults, broken.dead_port);
    if (!answer) {
        result.unsolved = answer.error();
        return result;
    }
    tell_currents(result, broken);
    tell_loads(result);
    tell_sources(result, broken);
    if (points == Points::told)
        result.point = failed_point(duty_, std::move(broken), faulted_);
    return result;
}

/// With several lugs on one post a lost post is more than a lost cable: what they feed stays joined.
bool has_shared_post(const model::Harness& harness, const model::Device& battery) {
    return std::any_of(battery.terminals.begin(), battery.terminals.end(), [&](model::TerminalIndex post) {
        return std::count_if(harness.cables.begin(), harness.cables.end(),
                             [&](const model::Cable& cable) { return is_bolted_to(cable, post); }) > 1;
    });
}

int lugs_on(const model::Harness& harness, model::TerminalIndex stud) {
    return static_cast<int>(
        std::count_if(harness.cables.begin(), harness.cables.end(),
                      [&](const model::Cable& cable) { return is_bolted_to(cable, stud); }));
}

/// What hangs together on a stud of a mass when the metal lets go of it; one lug alone is its cable's loss.
int hang_on(const model::Harness& harness, model::TerminalIndex stud) {
    return lugs_on(harness, stud) +
           static_cast<int>(std::count_if(
               harness.incidentals.begin(), harness.incidentals.end(),
               [&](const model::Incidental& path) { return path.from == stud || path.to == stud; }));
}

void add_joints(const model::Harness& harness, std::vector<Failure>& all) {
    const auto joint = [&]() -> Failure& {
        return all.emplace_back(Failure{.cable = std::nullopt, .device = std::nullopt});
    };
    for (std::size_t d = 0; d < harness.devices.size(); ++d)
        if (harness.devices[d].seat && harness.devices[d].kind() != model::DeviceKind::mass)
            joint().seat = static_cast<model::DeviceIndex>(d);
    for (std::size_t t = 0; t < harness.terminals.size(); ++t)
        if (const auto stud = static_cast<model::TerminalIndex>(t);
            harness.terminals[t].stud.kind == base::FastenerKind::stud && lugs_on(harness, stud) > 1)
            joint().nut = stud;
    for (std::size_t t = 0; t < harness.terminals.size(); ++t)
        if (const auto stud = static_cast<model::TerminalIndex>(t);
            !harness.terminals[t].implicit &&
            harness.device(harness.terminals[t].device).kind() == model::DeviceKind::mass &&
            hang_on(harness, stud) > 1)
            joint().metal = stud;
}

/// For a fault the pulse begins with cables as warm as their places: what they carried before is not asked.
std::optional<ShortDuty> pulse_of(const model::Duty& duty, const Solved& solved) {
    if (!duty.duration_s)
        return std::nullopt;
    ShortDuty pulse{.duration_s = duty.duration_s->value, .start_degc = {}};
    for (const CableParts& parts : solved.parts)
        pulse.start_degc.push_back(ambient_of(parts));
    return pulse;
}

} // namespace

bool is_bolted_to(const model::Cable& cable, model::TerminalIndex stud) {
    return cable.from.at == stud || cable.to.at == stud;
}

std::vector<Failure> failures_of(const model::Harness& harness) {
    std::vector<Failure> all;
    for (std::size_t c = 0; c < harness.cables.size(); ++c)
        all.push_back({.cable = static_cast<model::CableIndex>(c), .device = std::nullopt});
    for (std::size_t c = 0; c < harness.cables.size(); ++c)
        if (harness.cables[c].parallel > 1)
            all.push_back(
                {.cable = static_cast<model::CableIndex>(c), .device = std::nullopt, .one_run = true});
    for (std::size_t d = 0; d < harness.devices.size(); ++d) {
        const model::DeviceKind kind = harness.devices[d].kind();
        if (kind == model::DeviceKind::fuse_link || kind == model::DeviceKind::switch_ ||
            kind == model::DeviceKind::relay || kind == model::DeviceKind::shunt ||
            (kind == model::DeviceKind::battery && has_shared_post(harness, harness.devices[d])))
            all.push_back({.cable = std::nullopt, .device = static_cast<model::DeviceIndex>(d)});
    }
    add_joints(harness, all);
    return all;
}

base::Outcome<FailureSweep, Unsolved> single_failures(const model::Harness& harness, const model::Duty& duty,
                                                      const Variation& variation) {
    const auto healthy = operating_point(harness, duty, variation);
    if (!healthy)
        return base::failure(Unsolved{healthy.error()});
    return single_failures(harness, duty, variation, *healthy);
}

base::Outcome<FailureSweep, Unsolved> single_failures(const model::Harness& harness, const model::Duty& duty,
                                                      const Variation& variation,
                                                      const OperatingPoint& healthy, Points points) {
    FailureSweep sweep{.healthy = healthy, .results = {}};
    const HealthyDuty about{.harness = harness,
                            .duty = duty,
                            .variation = variation,
                            .solved = *healthy.solved,
                            .point = healthy,
                            .pulse = pulse_of(duty, *healthy.solved)};
    Sweep searching(about);
    for (const Failure& failure : failures_of(harness)) {
        if (!searching.changes_anything(failure))
            ++sweep.without_effect;
        sweep.results.push_back(searching.result_of(failure, points));
    }
    return sweep;
}

} // namespace stoutloom::solve
