#include "solve/failed_point.h"

#include "solve/loops.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::solve {
namespace {

// A smaller share of a cable's resistance moves no volt that is printed.
constexpr double hardly_warmer = 0.01;
// Near a cable's last steady temperature a little more current is many degrees.
constexpr double hardly_more = 1.002;
// Constant power asks more amperes of fewer volts, so temperatures may rise in steps.
constexpr int most_rounds = 6;

/// Runs of a cable over those that are left.
double crowding(const HealthyDuty& healthy, const Failure& failure, std::size_t cable) {
    const double parallel = healthy.solved.parts[cable].parallel;
    return failure.one_run && model::at(*failure.cable) == cable ? parallel / (parallel - 1) : 1.0;
}

/// Cables whose current and warmth have changed, as warm as that makes them.
struct Warmed {
    std::size_t cable = 0;
    double whole_a = 0; // the current as if every run still carried its share
    CableHeat heat;
};

/// More current warms a cable; one that was hot and carries clearly less cools, and what it feeds or charges
/// stands at other volts.
bool warms_or_cools(const HealthyDuty& healthy, std::size_t cable, double now_a) {
    constexpr double carries_a = 1, clearly_less = 0.95, hot_k = 10;
    const double before_a = std::abs(healthy.point.cables[cable].current_a);
    if (now_a > hardly_more * before_a)
        return true;
    if (now_a < carries_a || now_a > clearly_less * before_a)
        return false;
    const std::vector<double> ambient_degc = ambient_of(healthy.solved.parts[cable]);
    const std::vector<double>& was_degc = healthy.solved.heat[cable].segment_degc;
    for (std::size_t i = 0; i < was_degc.size(); ++i)
        if (was_degc[i] > ambient_degc[i] + hot_k)
            return true;
    return false;
}

std::vector<Warmed> warmed_cables(const HealthyDuty& healthy, const Broken& broken, const Faulted& faulted) {
    std::vector<Warmed> found;
    const Solved& solved = healthy.solved;
    for (std::size_t c = 0; c < solved.parts.size(); ++c) {
        const int branch = solved.network.cable_branch[c];
        if (branch < 0 ||
            std::find(broken.opened.begin(), broken.opened.end(), branch) != broken.opened.end())
            continue;
        double whole_a = faulted.branch_a(branch);
        for (const ChangedOhm& one : broken.changed)
            if (one.branch == branch)
                whole_a *= solved.network.branches[static_cast<std::size_t>(branch)].ohm / one.ohm;
        whole_a *= crowding(healthy, broken.failure, c);
        if (!warms_or_cools(healthy, c, std::abs(whole_a)))
            continue;
        const ShortDuty* pulse = healthy.pulse ? &*healthy.pulse : nullptr;
        found.push_back(
            {.cable = c, .whole_a = whole_a, .heat = heat_at(solved.parts[c], whole_a, pulse, c)});
    }
    return found;
}

/// The failure with the cables at their new temperatures; nothing where no resistance differs from what the
/// network was last settled with by more than moves a printed volt.
std::optional<Broken> with_new_resistances(const HealthyDuty& healthy, const std::vector<Warmed>& warmed,
                                           const Broken& cold, const Broken& last) {
    Broken hot = cold;
    bool any = false;
    const auto ohm_in = [&](const Broken& broken, int branch) {
        for (const ChangedOhm& one : broken.changed)
            if (one.branch == branch)
                return one.ohm;
        return healthy.solved.network.branches[static_cast<std::size_t>(branch)].ohm;
    };
    for (const Warmed& one : warmed) {
        const CableParts& parts = healthy.solved.parts[one.cable];
        const int branch = healthy.solved.network.cable_branch[one.cable];
        const Branch& about = healthy.solved.network.branches[static_cast<std::size_t>(branch)];
        const double hot_ohm =
            (copper_ohm(parts, one.heat.segment_degc) + parts.end_ohm[0] + parts.end_ohm[1]) *
            crowding(healthy, cold.failure, one.cable);
        const double cold_ohm = ohm_in(cold, branch);
        any = any || std::abs(hot_ohm / ohm_in(last, branch) - 1) > hardly_warmer;
        hot.faults.push_back(changed_branch(about.a, about.b, cold_ohm, hot_ohm));
        std::erase_if(hot.changed, [&](const ChangedOhm& changed) { return changed.branch == branch; });
        hot.changed.push_back({.branch = branch, .ohm = hot_ohm});
    }
    return any ? std::optional(std::move(hot)) : std::nullopt;
}

CableState cable_state(const HealthyDuty& healthy, const Broken& broken, std::size_t c, double current_a,
                       const Warmed* warmed) {
    CableState state = healthy.point.cables[c];
    const CableParts& parts = healthy.solved.parts[c];
    const double crowded = crowding(healthy, broken.failure, c);
    if (warmed != nullptr) {
        state.segment_degc =
            peaks_of(parts, warmed->heat, warmed->whole_a, healthy.duty.duration_s.has_value());
        state.conductor_degc = *std::max_element(state.segment_degc.begin(), state.segment_degc.end());
        state.runaway = warmed->heat.runaway;
    }
    const double copper = copper_ohm(parts, warmed != nullptr ? warmed->heat.segment_degc
                                                              : healthy.solved.heat[c].segment_degc) *
                          crowded;
    state.current_a = current_a;
    state.copper_drop_v = current_a * copper;
    state.resistance_ohm = copper;
    state.drop_v = state.copper_drop_v;
    for (const int end : {0, 1}) {
        state.end_drop_v[end] = current_a * parts.end_ohm[end] * crowded;
        state.resistance_ohm += parts.end_ohm[end] * crowded;
        state.drop_v += state.end_drop_v[end];
    }
    return state;
}

} // namespace

std::vector<int> branches_of(const model::Harness& harness, const Network& network, const Failure& failure) {
    const auto belongs = [&](const Branch& branch) {
        const auto device = static_cast<model::DeviceIndex>(branch.index);
        switch (branch.owner) {
        case Owner::cable:
            return (failure.cable && branch.index == model::at(*failure.cable)) ||
                   (failure.nut && is_bolted_to(harness.cables[branch.index], *failure.nut));
        case Owner::device:
            return (failure.device == device && (branch.part == "contact" || branch.part == "link")) ||
                   (failure.seat == device && branch.part == "seat") ||
                   (failure.metal && harness.terminal(*failure.metal).device == device &&
                    branch.part == "metal" && branch.a == network.node_of[model::at(*failure.metal)]);
        case Owner::incidental:
            break;
        }
        return false;
    };
    std::vector<int> found;
    for (std::size_t i = 0; i < network.branches.size(); ++i)
        if (belongs(network.branches[i]))
            found.push_back(static_cast<int>(i));
    return found;
}

OperatingPoint failed_point(const HealthyDuty& healthy, Broken broken, Faulted& faulted) {
    const Broken cold = broken;
    std::vector<Warmed> warmed = warmed_cables(healthy, broken, faulted);
    for (int round = 0; round < most_rounds; ++round) {
        auto hot = with_new_resistances(healthy, warmed, cold, broken);
        if (!hot)
            break;
        if (!faulted.settle_with(hot->faults, hot->dead_port)) {
            // The last temperatures did settle: theirs is the answer.
            (void)faulted.settle_with(broken.faults, broken.dead_port);
            break;
        }
        broken = std::move(*hot);
        warmed = warmed_cables(healthy, broken, faulted);
    }
    const Network& network = healthy.solved.network;
    const std::vector<int> island = islands_without(network, broken.opened);
    const std::vector<double> node_v = faulted.node_v();
    const Sight sight{.network = network,
                      .island_of = island,
                      .main_island = island[static_cast<std::size_t>(network.reference)],
                      .picture = faulted.picture(),
                      .answer = faulted.answer(),
                      .node_v = node_v,
                      .changed = broken.changed};
    OperatingPoint point;
    for (std::size_t c = 0; c < network.cable_branch.size(); ++c) {
        const auto grown =
            std::find_if(warmed.begin(), warmed.end(), [&](const Warmed& one) { return one.cable == c; });
        point.cables.push_back(cable_state(healthy, broken, c, sight.branch_a(network.cable_branch[c]),
                                           grown == warmed.end() ? nullptr : &*grown));
    }
    read_parts(healthy.harness, healthy.duty, healthy.variation, sight, point);
    for (const int branch : network.incidental_branch)
        point.incidental_a.push_back(sight.branch_a(branch));
    return point;
}

} // namespace stoutloom::solve
