#include "check/faults.h"

#include "check/facts.h"
#include "check/fault_words.h"
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace stoutloom::check {
namespace {

using model::CableIndex;
using model::DeviceIndex;

const std::string& id_of(const model::Harness& harness, const solve::Failure& failure) {
    return failure.cable ? harness.cable(*failure.cable).id : harness.device(*failure.device).id;
}

base::Span span_of(const model::Harness& harness, const solve::Failure& failure) {
    return failure.cable ? harness.cable(*failure.cable).span : harness.device(*failure.device).span;
}

/// All that one failure does, over all duties: of each harm to each subject the worst.
struct Tale {
    std::map<std::pair<Harm, std::string>, Consequence> worst;
    void add(Consequence one) {
        auto [place, fresh] = worst.try_emplace({one.harm, one.subject}, one);
        if (!fresh && one.ratio > place->second.ratio)
            place->second = std::move(one);
    }
};

class Telling {
  public:
    explicit Telling(const Facts& facts) : facts_(facts), harness_(*facts.harness) {}
    void add_duty(const SolvedDuty& solved);
    Faults told() &&;

  private:
    void tell(Tale& tale, const solve::FailureSweep& sweep, const solve::FailureResult& result,
              const model::Duty& duty) const;
    FaultTold entry(std::size_t first, const std::vector<std::size_t>& members) const;

    const Facts& facts_;
    const model::Harness& harness_;
    std::vector<solve::Failure> failures_;
    std::vector<Tale> tales_;
    std::vector<std::string> unsolved_;
};

void Telling::tell(Tale& tale, const solve::FailureSweep& sweep, const solve::FailureResult& result,
                   const model::Duty& duty) const {
    const FaultScene scene{.facts = facts_, .duty = duty, .healthy = sweep.healthy, .result = result};
    for (std::size_t p = 0; p < result.incidental_a.size(); ++p)
        if (auto one = through_incidental(scene, p))
            tale.add(std::move(*one));
    for (std::size_t c = 0; c < result.cable_a.size(); ++c)
        for (Consequence& one : in_cable(scene, static_cast<CableIndex>(c)))
            tale.add(std::move(one));
    for (std::size_t d = 0; d < result.contact_a.size(); ++d)
        for (auto& one : {through_part(scene, static_cast<DeviceIndex>(d)),
                          through_link(scene, static_cast<DeviceIndex>(d))})
            if (one)
                tale.add(*one);
    for (Consequence& one : in_units(scene))
        tale.add(std::move(one));
}

void Telling::add_duty(const SolvedDuty& solved) {
    const model::Duty& duty = harness_.duty(solved.duty);
    if (!solved.point)
        return; // duty-solved tells it
    const auto sweep = solve::single_failures(harness_, duty);
    if (!sweep) {
        unsolved_.push_back(fmt::format("duty {}: {}", duty.id, sweep.error().message));
        return;
    }
    if (failures_.empty()) {
        for (const solve::FailureResult& result : sweep->results)
            failures_.push_back(result.failure);
        tales_.resize(failures_.size());
    }
    for (std::size_t i = 0; i < sweep->results.size(); ++i) {
        const solve::FailureResult& result = sweep->results[i];
        if (result.unsolved)
            unsolved_.push_back(fmt::format("{} open in duty {}: {}", id_of(harness_, result.failure),
                                            duty.id, result.unsolved->message));
        else
            tell(tales_[i], *sweep, result, duty);
    }
}

/// Equal consequences to the last digit that is printed.
std::string fingerprint(const Tale& tale) {
    std::string print;
    for (const auto& [key, one] : tale.worst)
        print +=
            fmt::format("{}/{}/{}/{:.3g};", static_cast<int>(one.harm), one.subject, one.duty, one.value);
    return print;
}

FaultTold Telling::entry(std::size_t first, const std::vector<std::size_t>& members) const {
    FaultTold told;
    bool contact = false, lead = false;
    for (const std::size_t member : members) {
        told.failed.push_back(id_of(harness_, failures_[member]));
        lead |= failures_[member].cable.has_value();
        contact |= failures_[member].device.has_value();
    }
    std::vector<std::string> names = told.failed;
    if (names.size() > 4)
        names = {names[0], names[1], names[2], fmt::format("{} more in series", names.size() - 3)};
    std::string list = names.front();
    for (std::size_t i = 1; i < names.size(); ++i)
        list += (i + 1 == names.size() ? " or " : ", ") + names[i];
    told.what = fmt::format("{} {}", list, lead && !contact ? "comes off" : lead ? "is lost" : "opens");
    told.span = span_of(harness_, failures_[first]);
    for (const auto& [key, one] : tales_[first].worst)
        told.consequences.push_back(one);
    std::stable_sort(told.consequences.begin(), told.consequences.end(),
                     [](const Consequence& one, const Consequence& other) {
                         return one.harm != other.harm ? one.harm < other.harm : one.ratio > other.ratio;
                     });
    told.grave = gravity_of(facts_, failures_[first], told.consequences);
    return told;
}

Faults Telling::told() && {
    Faults faults;
    faults.unsolved = std::move(unsolved_);
    std::map<std::string, std::vector<std::size_t>> groups;
    for (std::size_t i = 0; i < failures_.size(); ++i) {
        faults.asked.push_back(id_of(harness_, failures_[i]));
        if (tales_[i].worst.empty())
            faults.harmless.push_back(id_of(harness_, failures_[i]));
        else
            groups[fmt::format("{}|{}", hand_operated(harness_, failures_[i]) ? "hand" : "",
                               fingerprint(tales_[i]))]
                .push_back(i);
    }
    std::vector<std::vector<std::size_t>> ordered;
    ordered.reserve(groups.size());
    for (auto& [print, members] : groups)
        ordered.push_back(std::move(members));
    std::sort(ordered.begin(), ordered.end());
    faults.told.reserve(ordered.size());
    for (const std::vector<std::size_t>& members : ordered)
        faults.told.push_back(entry(members.front(), members));
    const auto greatest = [](const FaultTold& told) {
        double ratio = 0;
        for (const Consequence& one : told.consequences)
            ratio = std::max(ratio, one.ratio);
        return ratio;
    };
    std::stable_sort(
        faults.told.begin(), faults.told.end(), [&](const FaultTold& one, const FaultTold& other) {
            return one.grave != other.grave ? one.grave > other.grave : greatest(one) > greatest(other);
        });
    return faults;
}

} // namespace

Faults faults_of(const Facts& facts) {
    Telling telling(facts);
    for (const SolvedDuty& solved : facts.duties)
        telling.add_duty(solved);
    return std::move(telling).told();
}

std::vector<DirtyTold> dirty_joints_of(const Facts& facts) {
    const model::Harness& harness = *facts.harness;
    std::map<std::pair<CableIndex, int>, DirtyTold> worst;
    for (const SolvedDuty& solved : facts.duties) {
        const model::Duty& duty = harness.duty(solved.duty);
        const auto joints = solve::dirty_joints(harness, duty, dirty_factor);
        if (!solved.point || !joints)
            continue;
        for (const solve::DirtyJointResult& joint : *joints) {
            const model::Cable& cable = harness.cable(joint.cable);
            DirtyTold& so_far = worst[{joint.cable, joint.end}];
            const double healthy_a = std::abs(solved.point->cables[model::at(joint.cable)].current_a);
            if (joint.unsolved || joint.heat_w <= so_far.heat_w)
                continue;
            so_far = {.cable = cable.id,
                      .at = harness.terminal(joint.end == 0 ? cable.from.at : cable.to.at).address,
                      .duty = duty.id,
                      .current_a = std::abs(joint.current_a),
                      .heat_w = joint.heat_w,
                      .healthy_heat_w =
                          healthy_a * healthy_a * joint.joint_ohm / dirty_factor / cable.parallel,
                      .meter_v = joint.meter_v,
                      .healthy_meter_v = joint.healthy_meter_v};
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
