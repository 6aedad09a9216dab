#include "solve/failed_point.h"
#include "solve/failures.h"
#include "solve/faulted.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::solve {
namespace {

/// A dirty joint at one end of a cable: what is added to the branch.
struct DirtyEnd {
    model::CableIndex cable{};
    int end = 0;
    double added_ohm = 0; // all runs together
    double end_ohm = 0;   // the whole end, dirty
};

class Soiling {
  public:
    Soiling(const model::Harness& harness, const Solved& solved, const Variation& variation, double factor)
        : harness_(harness), solved_(solved), variation_(variation), factor_(factor),
          faulted_(harness, solved) {}
    base::Outcome<DirtyEnd, Unsolved> dirty_end(model::CableIndex cable, int end) const;
    /// All these ends dirty at once; the hottest is the one told.
    DirtyJointResult together(const std::vector<DirtyEnd>& ends);
    /// A seat, or the metal at a stud; nothing where the network has no such branch.
    std::optional<DirtyJointResult> part(const Failure& failure);

  private:
    const Branch& branch_of(model::CableIndex cable) const {
        return solved_.network
            .branches[static_cast<std::size_t>(solved_.network.cable_branch[model::at(cable)])];
    }
    double joint_ohm(double added_ohm) const {
        // The joint alone: factor times what it was, so what was added is (factor - 1) of it.
        return factor_ > 1 ? added_ohm * factor_ / (factor_ - 1) : 0;
    }

    const model::Harness& harness_;
    const Solved& solved_;
    const Variation& variation_;
    double factor_;
    Faulted faulted_;
};

base::Outcome<DirtyEnd, Unsolved> Soiling::dirty_end(model::CableIndex cable, int end) const {
    Variation dirty = variation_;
    dirty.dirty_joints.push_back({.cable = cable, .end = end, .factor = factor_});
    const auto parts = cable_parts(harness_, cable, dirty);
    if (!parts)
        return base::failure(Unsolved{parts.error()});
    return DirtyEnd{.cable = cable,
                    .end = end,
                    .added_ohm = parts->end_ohm[end] - solved_.parts[model::at(cable)].end_ohm[end],
                    .end_ohm = parts->end_ohm[end]};
}

DirtyJointResult Soiling::together(const std::vector<DirtyEnd>& ends) {
    std::vector<Port> faults;
    for (const DirtyEnd& one : ends) {
        const Branch& about = branch_of(one.cable);
        faults.push_back(changed_branch(about.a, about.b, about.ohm, about.ohm + one.added_ohm));
    }
    DirtyJointResult hottest;
    const auto answer = faulted_.settle_with(faults);
    double most_w = -1, all_w = 0, all_healthy_w = 0;
    for (const DirtyEnd& one : ends) {
        const CableParts& parts = solved_.parts[model::at(one.cable)];
        const Branch& about = branch_of(one.cable);
        const double clean_a = solved_.branch_a(solved_.network.cable_branch[model::at(one.cable)]);
        DirtyJointResult result;
        result.cable = one.cable;
        result.end = one.end;
        if (!answer)
            result.unsolved = answer.error();
        const double ohm = joint_ohm(one.added_ohm);
        result.joint_ohm = ohm * parts.parallel;
        result.current_a = answer ? faulted_.volts(about.a, about.b) / (about.ohm + one.added_ohm) : 0;
        result.heat_w = result.current_a * result.current_a * ohm;
        result.healthy_heat_w = clean_a * clean_a * ohm / factor_;
        result.meter_v = std::abs(result.current_a) * one.end_ohm;
        result.healthy_meter_v = std::abs(clean_a) * parts.end_ohm[one.end];
        all_w += result.heat_w;
        all_healthy_w += result.healthy_heat_w;
        if (result.heat_w <= most_w)
            continue;
        most_w = result.heat_w;
        hottest = std::move(result);
    }
    hottest.heat_w = all_w;
    hottest.healthy_heat_w = all_healthy_w;
    return hottest;
}

std::optional<DirtyJointResult> Soiling::part(const Failure& failure) {
    const std::vector<int> branches = branches_of(harness_, solved_.network, failure);
    if (branches.empty())
        return std::nullopt;
    const Branch& about = solved_.network.branches[static_cast<std::size_t>(branches.front())];
    DirtyJointResult result{.metal = failure.metal, .seat = failure.seat};
    const double ohm = about.ohm * factor_;
    const auto answer = faulted_.settle_with({changed_branch(about.a, about.b, about.ohm, ohm)});
    if (!answer)
        result.unsolved = answer.error();
    const double clean_a = solved_.branch_a(branches.front());
    result.joint_ohm = ohm;
    result.current_a = answer ? faulted_.volts(about.a, about.b) / ohm : 0;
    result.heat_w = result.current_a * result.current_a * ohm;
    result.healthy_heat_w = clean_a * clean_a * about.ohm;
    result.meter_v = std::abs(result.current_a) * ohm;
    result.healthy_meter_v = std::abs(clean_a) * about.ohm;
    return result;
}

} // namespace

base::Outcome<std::vector<DirtyJointResult>, Unsolved> dirty_joints(const model::Harness& harness,
                                                                    const model::Duty& duty, double factor,
                                                                    const Variation& variation) {
    const auto healthy = operating_point(harness, duty, variation);
    if (!healthy)
        return base::failure(Unsolved{healthy.error()});
    return dirty_joints(harness, duty, factor, variation, *healthy);
}

base::Outcome<std::vector<DirtyJointResult>, Unsolved> dirty_joints(const model::Harness& harness,
                                                                    const model::Duty&, double factor,
                                                                    const Variation& variation,
                                                                    const OperatingPoint& healthy) {
    const Solved& solved = *healthy.solved;
    Soiling soiling(harness, solved, variation, factor);
    std::vector<DirtyJointResult> results;
    std::vector<DirtyEnd> ends;
    for (std::size_t c = 0; c < harness.cables.size(); ++c)
        for (const int end : {0, 1}) {
            if (solved.network.cable_branch[c] < 0)
                continue;
            const auto dirty = soiling.dirty_end(static_cast<model::CableIndex>(c), end);
            if (!dirty)
                return base::failure(Unsolved{dirty.error()});
            ends.push_back(*dirty);
            results.push_back(soiling.together({*dirty}));
        }
    for (const Failure& failure : failures_of(harness)) {
        if (failure.seat || failure.metal) {
            if (auto result = soiling.part(failure))
                results.push_back(std::move(*result));
            continue;
        }
        if (!failure.nut)
            continue;
        std::vector<DirtyEnd> under;
        for (const DirtyEnd& one : ends) {
            const model::Cable& cable = harness.cable(one.cable);
            if ((one.end == 0 ? cable.from.at : cable.to.at) == *failure.nut)
                under.push_back(one);
        }
        if (under.empty())
            continue;
        results.push_back(soiling.together(under));
        results.back().nut = failure.nut;
    }
    return results;
}

} // namespace stoutloom::solve
