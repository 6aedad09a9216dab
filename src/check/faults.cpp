#include "check/faults.h"

#include "check/facts.h"
#include "check/failure_rules.h"
#include "check/fault_words.h"
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <tuple>

namespace stoutloom::check {
namespace {

using model::CableIndex;
using model::DeviceIndex;

const std::string& id_of(const model::Harness& harness, const solve::Failure& failure) {
    return failure.cable ? harness.cable(*failure.cable).id : harness.device(*failure.device).id;
}

/// "W1", "one run of W1", "a post of G2".
std::string name_of(const model::Harness& harness, const solve::Failure& failure) {
    const std::string& id = id_of(harness, failure);
    if (failure.one_run)
        return "one run of " + id;
    const bool post = failure.device && harness.device(*failure.device).kind() == model::DeviceKind::battery;
    return post ? "a post of " + id : id;
}

base::Span span_of(const model::Harness& harness, const solve::Failure& failure) {
    return failure.cable ? harness.cable(*failure.cable).span : harness.device(*failure.device).span;
}

/// All that one failure does, over all duties: of each harm to each subject the worst as built, or what only
/// the worst end does.
struct Tale {
    std::map<std::tuple<Harm, std::string, std::string>, Consequence> worst;
    void add(Consequence one) {
        auto [place, fresh] = worst.try_emplace({one.harm, one.rule, one.subject}, one);
        if (!fresh && one.at_worst == place->second.at_worst && one.ratio > place->second.ratio)
            place->second = std::move(one);
    }
};

/// The sweeps of every duty at one end of ageing.
struct End {
    const Facts& facts;
    std::vector<std::optional<solve::FailureSweep>> sweeps; // by DutyIndex
    std::optional<solve::FailureSweep> key_on;
};

class Telling {
  public:
    explicit Telling(const Facts& facts) : facts_(facts), harness_(*facts.harness) {}
    void ask(const Facts& facts, const solve::Variation& variation);
    Faults told() &&;

  private:
    End swept(const Facts& end, const solve::Variation& variation);
    std::vector<Consequence> seen(const End& end, std::size_t failure) const;
    std::vector<long> currents_of(const End& end, std::optional<std::size_t> failure) const;
    void add_all(std::size_t failure, std::vector<Consequence> all, const std::vector<Consequence>& by_rules,
                 const solve::Variation& variation);
    FaultTold entry(std::size_t first, const std::vector<std::size_t>& members) const;

    const Facts& facts_;
    const model::Harness& harness_;
    std::vector<solve::Failure> failures_;
    std::vector<Tale> tales_;
    std::vector<std::string> unsolved_;
};

/// What the failure does in one duty, in the words of fault_words.h.
void see(const FaultScene& scene, std::vector<Consequence>& seen) {
    const auto add = [&](std::optional<Consequence> one) {
        if (one)
            seen.push_back(std::move(*one));
    };
    const auto add_all = [&](std::vector<Consequence> all) {
        seen.insert(seen.end(), std::make_move_iterator(all.begin()), std::make_move_iterator(all.end()));
    };
    for (std::size_t p = 0; p < scene.result.incidental_a.size(); ++p)
        add(through_incidental(scene, p));
    for (std::size_t c = 0; c < scene.result.cable_a.size(); ++c)
        add_all(in_cable(scene, static_cast<CableIndex>(c)));
    for (std::size_t d = 0; d < scene.result.contact_a.size(); ++d) {
        add(through_part(scene, static_cast<DeviceIndex>(d)));
        add(through_link(scene, static_cast<DeviceIndex>(d)));
    }
    add_all(in_units(scene));
}

End Telling::swept(const Facts& end, const solve::Variation& variation) {
    const std::string_view which = variation.worst ? " at worst" : "";
    End all{.facts = end, .sweeps = {}, .key_on = {}};
    for (const SolvedDuty& solved : end.duties) {
        std::optional<solve::FailureSweep>& sweep = all.sweeps.emplace_back();
        if (!solved.point)
            continue; // duty-solved tells it
        const model::Duty& duty = harness_.duty(solved.duty);
        auto made = solve::single_failures(harness_, duty, variation, *solved.point);
        if (!made) {
            unsolved_.push_back(fmt::format("duty {}{}: {}", duty.id, which, made.error().message));
            continue;
        }
        for (const solve::FailureResult& result : made->results)
            if (result.unsolved)
                unsolved_.push_back(fmt::format("{} open in duty {}{}: {}", id_of(harness_, result.failure),
                                                duty.id, which, result.unsolved->message));
        sweep = std::move(*made);
    }
    if (end.key_on)
        if (auto made = solve::single_failures(harness_, key_on_duty(), variation, *end.key_on))
            all.key_on = std::move(*made);
    return all;
}

std::vector<Consequence> Telling::seen(const End& end, std::size_t failure) const {
    std::vector<Consequence> all;
    for (std::size_t d = 0; d < end.sweeps.size(); ++d)
        if (const auto& sweep = end.sweeps[d]; sweep && !sweep->results[failure].unsolved)
            see({.facts = end.facts,
                 .duty = harness_.duty(end.facts.duties[d].duty),
                 .healthy = sweep->healthy,
                 .result = sweep->results[failure]},
                all);
    return all;
}

/// Every cable's current in every duty to a tenth of a milliampere; of the healthy kit where no failure is
/// told. A battery and a single run are each their own.
std::vector<long> Telling::currents_of(const End& end, std::optional<std::size_t> failure) const {
    std::vector<long> print;
    const auto add = [&](const solve::OperatingPoint& point) {
        for (const solve::CableState& cable : point.cables)
            print.push_back(std::lround(cable.current_a * 1e4));
    };
    const auto add_sweep = [&](const std::optional<solve::FailureSweep>& sweep) {
        if (sweep && !failure)
            add(sweep->healthy);
        else if (sweep && !sweep->results[*failure].unsolved)
            add(sweep->results[*failure].point);
        else
            print.push_back(-1);
    };
    for (const auto& sweep : end.sweeps)
        add_sweep(sweep);
    add_sweep(end.key_on);
    const bool own = failure && (failures_[*failure].one_run || name_of(harness_, failures_[*failure]) !=
                                                                    id_of(harness_, failures_[*failure]));
    print.push_back(own ? static_cast<long>(*failure) + 1 : 0);
    return print;
}

void Telling::ask(const Facts& facts, const solve::Variation& variation) {
    const End end = swept(facts, variation);
    for (const auto& sweep : end.sweeps)
        if (sweep && failures_.empty()) {
            for (const solve::FailureResult& result : sweep->results)
                failures_.push_back(result.failure);
            tales_.resize(failures_.size());
        }
    const std::vector<long> healthy_print = currents_of(end, {});
    std::map<std::vector<long>, std::vector<Consequence>> asked;
    const HealthyAnswers healthy(facts_);
    AskedAgain again(facts);
    for (std::size_t i = 0; i < failures_.size(); ++i) {
        std::vector<Consequence> all = seen(end, i);
        std::vector<const solve::OperatingPoint*> points;
        for (const auto& sweep : end.sweeps)
            points.push_back(sweep && !sweep->results[i].unsolved ? &sweep->results[i].point : nullptr);
        const bool started = end.key_on && !end.key_on->results[i].unsolved;
        // Parts in series leave the same currents: the rules are asked once for all of them.
        const std::vector<long> print = currents_of(end, i);
        const auto like = print == healthy_print ? asked.end() : asked.find(print);
        if (like != asked.end()) {
            add_all(i, std::move(all), like->second, variation);
            continue;
        }
        again.fail(failures_[i], points, started ? &end.key_on->results[i].point : nullptr);
        std::vector<Consequence> so_far = all;
        for (const auto& [key, one] : tales_[i].worst)
            so_far.push_back(one);
        const std::vector<Consequence> by_rules = again.consequences(healthy, so_far);
        add_all(i, std::move(all), by_rules, variation);
        asked.emplace(print, by_rules);
    }
}

void Telling::add_all(std::size_t failure, std::vector<Consequence> all,
                      const std::vector<Consequence>& by_rules, const solve::Variation& variation) {
    all.insert(all.end(), by_rules.begin(), by_rules.end());
    for (Consequence& one : all) {
        one.at_worst = variation.worst;
        if (variation.worst)
            one.words += " (at worst)";
        tales_[failure].add(std::move(one));
    }
}

/// Equal consequences to the last digit that is printed.
std::string fingerprint(const Tale& tale) {
    std::string print;
    for (const auto& [key, one] : tale.worst)
        print += fmt::format("{}/{}/{}/{}/{:.3g}/{};", static_cast<int>(one.harm), one.rule, one.subject,
                             one.duty, std::abs(one.value) < 1e-3 ? 0.0 : one.value, one.at_worst);
    return print;
}

bool comes_before(const Consequence& one, const Consequence& other) {
    if (one.weight != other.weight && (one.weight == Grave::burns || other.weight == Grave::burns))
        return one.weight > other.weight;
    return one.harm != other.harm ? one.harm < other.harm : one.ratio > other.ratio;
}

FaultTold Telling::entry(std::size_t first, const std::vector<std::size_t>& members) const {
    FaultTold told;
    std::vector<std::string> names;
    bool contact = false, lead = false;
    for (const std::size_t member : members) {
        const solve::Failure& failure = failures_[member];
        told.failed.push_back(id_of(harness_, failure));
        names.push_back(name_of(harness_, failure));
        const bool comes_off = failure.cable || names.back() != told.failed.back();
        lead |= comes_off;
        contact |= !comes_off;
    }
    told.one_run = failures_[first].one_run;
    if (names.size() > 4)
        names = {names[0], names[1], names[2], fmt::format("{} more in series", names.size() - 3)};
    std::string list = names.front();
    for (std::size_t i = 1; i < names.size(); ++i)
        list += (i + 1 == names.size() ? " or " : ", ") + names[i];
    told.what = fmt::format("{} {}", list, lead && !contact ? "comes off" : lead ? "is lost" : "opens");
    told.span = span_of(harness_, failures_[first]);
    for (const auto& [key, one] : tales_[first].worst)
        told.consequences.push_back(one);
    std::stable_sort(told.consequences.begin(), told.consequences.end(), comes_before);
    told.grave = gravity_of(facts_, failures_[first], told.consequences);
    return told;
}

Faults Telling::told() && {
    Faults faults;
    faults.unsolved = std::move(unsolved_);
    std::map<std::string, std::vector<std::size_t>> groups;
    for (std::size_t i = 0; i < failures_.size(); ++i) {
        const std::string& id = id_of(harness_, failures_[i]);
        if (std::find(faults.asked.begin(), faults.asked.end(), id) == faults.asked.end())
            faults.asked.push_back(id);
        if (tales_[i].worst.empty())
            faults.harmless.push_back(name_of(harness_, failures_[i]));
        else
            groups[fmt::format("{}|{}|{}", hand_operated(harness_, failures_[i]) ? "hand" : "",
                               failures_[i].one_run ? id : "", fingerprint(tales_[i]))]
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
            if (one.weight == told.grave)
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
    telling.ask(facts, facts.variation);
    if (facts.at_worst)
        telling.ask(*facts.at_worst, facts.at_worst->variation);
    return std::move(telling).told();
}

std::vector<std::string> condensed(const FaultTold& told) {
    std::vector<std::string> phrases, dead;
    std::vector<std::pair<const Consequence*, std::vector<std::string>>>
        kinds; // the worst of each, the others
    for (const Consequence& one : told.consequences) {
        if (one.harm == Harm::dead) {
            dead.push_back(one.subject);
            continue;
        }
        const auto like = std::find_if(kinds.begin(), kinds.end(), [&](const auto& kind) {
            return kind.first->harm == one.harm && kind.first->rule == one.rule;
        });
        if (like == kinds.end())
            kinds.emplace_back(&one, std::vector<std::string>{});
        else
            like->second.push_back(one.subject);
    }
    constexpr std::size_t most = 4;
    for (const auto& [first, others] : kinds) {
        std::vector<std::string> names = others;
        if (names.size() > most) {
            names.resize(most - 1);
            names.push_back(fmt::format("{} more", others.size() - names.size()));
        }
        phrases.push_back(names.empty() ? first->words
                                        : fmt::format("{}; likewise {}", first->words, listed(names)));
    }
    if (dead.size() == 1)
        for (const Consequence& one : told.consequences)
            if (one.harm == Harm::dead)
                phrases.push_back(one.words);
    if (dead.size() > 1)
        phrases.push_back(listed(dead) + " go dead");
    return phrases;
}

std::vector<DirtyTold> dirty_joints_of(const Facts& facts) {
    const model::Harness& harness = *facts.harness;
    std::map<std::pair<CableIndex, int>, DirtyTold> worst;
    for (const SolvedDuty& solved : facts.duties) {
        const model::Duty& duty = harness.duty(solved.duty);
        if (!solved.point)
            continue;
        const auto joints = solve::dirty_joints(harness, duty, dirty_factor, {}, *solved.point);
        if (!joints)
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
