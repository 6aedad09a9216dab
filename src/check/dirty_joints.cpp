// Joints gone bad, in the words of the file: each in the duty that warms it most.
#include "check/facts.h"
#include "check/faults.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

namespace stoutloom::check {
namespace {

DirtyTold told_of(const model::Harness& harness, const solve::DirtyJointResult& joint) {
    const auto kind = joint.seat    ? DirtyKind::seat
                      : joint.metal ? DirtyKind::metal
                      : joint.nut   ? DirtyKind::nut
                                    : DirtyKind::lug;
    DirtyTold told{.kind = kind,
                   .cable = {},
                   .at = {},
                   .duty = {},
                   .current_a = std::abs(joint.current_a),
                   .heat_w = joint.heat_w,
                   .healthy_heat_w = joint.healthy_heat_w,
                   .meter_v = joint.meter_v,
                   .healthy_meter_v = joint.healthy_meter_v};
    if (joint.seat)
        told.at = harness.device(*joint.seat).id;
    else if (joint.metal)
        told.at = harness.terminal(*joint.metal).address;
    if (!joint.is_lug())
        return told;
    const model::Cable& cable = harness.cable(joint.cable);
    told.cable = cable.id;
    told.at = harness.terminal(joint.end == 0 ? cable.from.at : cable.to.at).address;
    return told;
}

} // namespace

std::vector<DirtyTold> dirty_joints_of(const Facts& facts) {
    const model::Harness& harness = *facts.harness;
    std::map<std::tuple<DirtyKind, std::size_t, int>, DirtyTold> worst;
    for (const SolvedDuty& solved : facts.duties) {
        const model::Duty& duty = harness.duty(solved.duty);
        if (!solved.point)
            continue;
        const auto joints = solve::dirty_joints(harness, duty, dirty_factor, {}, *solved.point);
        if (!joints)
            continue;
        for (const solve::DirtyJointResult& joint : *joints) {
            DirtyTold told = told_of(harness, joint);
            // Under a nut another lug may be the hottest in another duty.
            const std::size_t which = joint.nut     ? model::at(*joint.nut)
                                      : joint.metal ? model::at(*joint.metal)
                                      : joint.seat  ? model::at(*joint.seat)
                                                    : model::at(joint.cable);
            DirtyTold& so_far = worst[{told.kind, which, told.kind == DirtyKind::lug ? joint.end : 0}];
            if (joint.unsolved || told.heat_w <= so_far.heat_w)
                continue;
            told.duty = duty.id;
            so_far = std::move(told);
        }
    }
    constexpr double worth_telling_w = 0.1;
    std::vector<DirtyTold> told;
    for (auto& [key, joint] : worst)
        if (joint.heat_w >= worth_telling_w)
            told.push_back(std::move(joint));
    std::stable_sort(told.begin(), told.end(),
                     [](const DirtyTold& one, const DirtyTold& other) { return one.heat_w > other.heat_w; });
    return told;
}

} // namespace stoutloom::check
