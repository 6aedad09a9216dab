#include "check/faults.h"

#include "check/facts.h"
#include "check/failure_rules.h"
#include "check/fault_choices.h"
#include "check/fault_words.h"
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <memory>
#include <tuple>

namespace stoutloom::check {
namespace {

using model::CableIndex;
using model::DeviceIndex;

const std::string& id_of(const model::Harness& harness, const solve::Failure& failure) {
    if (failure.cable)
        return harness.cable(*failure.cable).id;
    if (failure.nut || failure.metal)
        return harness.terminal(failure.nut ? *failure.nut : *failure.metal).address;
    return harness.device(failure.seat ? *failure.seat : *failure.device).id;
}

bool is_post(const model::Harness& harness, const solve::Failure& failure) {
    return failure.device && harness.device(*failure.device).kind() == model::DeviceKind::battery;
}

/// "W1", "one run of W1", "a post of G2", "the nut of X1": the id stands last.
std::string name_of(const model::Harness& harness, const solve::Failure& failure) {
    const std::string& id = id_of(harness, failure);
    if (failure.one_run)
        return "one run of " + id;
    if (failure.nut)
        return "the nut of " + id;
    if (failure.metal)
        return "the metal at " + id;
    if (failure.seat)
        return "the seat of " + id;
    return is_post(harness, failure) ? "a post of " + id : id;
}

base::Span span_of(const model::Harness& harness, const solve::Failure& failure) {
    if (failure.cable)
        return harness.cable(*failure.cable).span;
    if (failure.nut || failure.metal)
        return harness.terminal(failure.nut ? *failure.nut : *failure.metal).span;
    return harness.device(failure.seat ? *failure.seat : *failure.device).span;
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

using Sweep = std::shared_ptr<const solve::FailureSweep>;
/// The sweeps of every duty at one end of ageing; empty where there is no answer.
struct End {
    const Facts& facts;
    std::vector<Sweep> sweeps; // by DutyIndex
    Sweep key_on;
};

class Telling {
  public:
    explicit Telling(const Facts& facts)
        : facts_(facts), harness_(*facts.harness), failures_(solve::failures_of(harness_)),
          tales_(failures_.size()), with_other_choices_(failures_.size()) {}
    /// `same`: where the engine stands still, the answers are those of this end. Returns those sweeps.
    End ask(const Facts& facts, const End* same = nullptr);
    /// Everything that may be on, on, all of it off, and what is the worst of some cable while all is whole,
    /// at one end of ageing: for currents.
    void sweep_other_choices(const Facts& end);
    /// Adds what they do; dead consumers alone, or the rest.
    void add_other_choices(bool dead);
    Faults told() &&;

  private:
    Sweep swept(const Facts& end, const model::Duty& duty, const solve::OperatingPoint& point);
    End swept(const Facts& end, const End* same);
    void sweep_choice(const Facts& end, const model::Duty& duty, const Choice& choice);
    std::vector<Consequence> seen(const End& end, std::size_t failure) const;
    std::vector<long> currents_of(const End& end, std::optional<std::size_t> failure) const;
    void add_all(std::size_t failure, std::vector<Consequence> all, const std::vector<Consequence>& by_rules,
                 const solve::Variation& variation);
    FaultTold entry(std::size_t first, const std::vector<std::size_t>& members) const;
    std::string like_one_of(const std::vector<std::size_t>& members) const;

    const Facts& facts_;
    const model::Harness& harness_;
    std::vector<solve::Failure> failures_;
    std::vector<Tale> tales_;
    std::vector<std::vector<Consequence>> with_other_choices_; // by failure
    std::vector<std::string> unsolved_;
    bool answered_ = false; // some duty of the kit as built
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

Sweep Telling::swept(const Facts& end, const model::Duty& duty, const solve::OperatingPoint& point) {
    const std::string_view which = end.variation.worst ? " at worst" : "";
    auto made = solve::single_failures(harness_, duty, end.variation, point);
    if (!made) {
        unsolved_.push_back(fmt::format("duty {}{}: {}", duty.id, which, made.error().message));
        return {};
    }
    for (const solve::FailureResult& result : made->results)
        if (result.unsolved)
            unsolved_.push_back(fmt::format("{} open in duty {}{}: {}", id_of(harness_, result.failure),
                                            duty.id, which, result.unsolved->message));
    return std::make_shared<const solve::FailureSweep>(std::move(*made));
}

End Telling::swept(const Facts& end, const End* same) {
    End all{.facts = end, .sweeps = {}, .key_on = {}};
    for (const SolvedDuty& solved : end.duties) {
        const model::Duty& duty = harness_.duty(solved.duty);
        if (same != nullptr && !engine_running(duty))
            all.sweeps.push_back(same->sweeps[model::at(solved.duty)]);
        else // duty-solved tells a duty without an answer
            all.sweeps.push_back(solved.point ? swept(end, duty, *solved.point) : Sweep());
    }
    if (same != nullptr)
        all.key_on = same->key_on;
    else if (end.key_on)
        if (auto made = solve::single_failures(harness_, key_on_duty(), end.variation, *end.key_on))
            all.key_on = std::make_shared<const solve::FailureSweep>(std::move(*made));
    return all;
}

std::vector<Consequence> Telling::seen(const End& end, std::size_t failure) const {
    std::vector<Consequence> all;
    for (std::size_t d = 0; d < end.sweeps.size(); ++d)
        if (const Sweep& sweep = end.sweeps[d]; sweep && !sweep->results[failure].unsolved)
            see({.facts = end.facts,
                 .duty = harness_.duty(end.facts.duties[d].duty),
                 .healthy = sweep->healthy,
                 .result = sweep->results[failure]},
                all);
    return all;
}

void Telling::sweep_choice(const Facts& end, const model::Duty& duty, const Choice& choice) {
    solve::Variation variation = end.variation;
    variation.running = choice.running;
    const auto cannot_tell = [&](const std::string& why) {
        unsolved_.push_back(fmt::format("duty {}{} at worst: {}", duty.id, choice.words, why));
    };
    const auto healthy = solve::operating_point(harness_, duty, variation);
    if (!healthy)
        return cannot_tell(healthy.error().message);
    const auto sweep = solve::single_failures(harness_, duty, variation, *healthy, solve::Points::left_out);
    if (!sweep)
        return cannot_tell(sweep.error().message);
    for (std::size_t i = 0; i < failures_.size(); ++i) {
        if (sweep->results[i].unsolved) {
            cannot_tell(fmt::format("{} open: {}", id_of(harness_, failures_[i]),
                                    sweep->results[i].unsolved->message));
            continue;
        }
        see({.facts = end,
             .duty = duty,
             .healthy = sweep->healthy,
             .result = sweep->results[i],
             .choice = choice.words},
            with_other_choices_[i]);
    }
}

void Telling::sweep_other_choices(const Facts& end) {
    for (const CombinedDuty& combined : end.combined)
        if (end.duties[model::at(combined.duty)].point)
            for (const Choice& choice : other_choices(harness_, combined))
                sweep_choice(end, harness_.duty(combined.duty), choice);
}

void Telling::add_other_choices(bool dead) {
    for (std::size_t i = 0; i < failures_.size(); ++i)
        for (const Consequence& one : with_other_choices_[i]) {
            const bool of_currents = one.harm == Harm::incidental || one.harm == Harm::overheats ||
                                     one.harm == Harm::part || one.harm == Harm::link_opens ||
                                     one.harm == Harm::overvoltage;
            Consequence told = one;
            told.at_worst = !dead;
            if (!dead)
                told.words += " (at worst)";
            if (dead ? one.harm == Harm::dead : of_currents)
                tales_[i].add(std::move(told));
        }
}

/// Every cable's current in every duty to a tenth of a milliampere; of the healthy kit where no failure is
/// told. What takes away more or less than one part in series is each its own.
std::vector<long> Telling::currents_of(const End& end, std::optional<std::size_t> failure) const {
    std::vector<long> print;
    const auto add = [&](const solve::OperatingPoint& point) {
        for (const solve::CableState& cable : point.cables)
            print.push_back(std::lround(cable.current_a * 1e4));
    };
    const auto add_sweep = [&](const Sweep& sweep) {
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
    const auto parts_more = [&](const solve::Failure& one) {
        return one.one_run || one.nut || one.metal || is_post(harness_, one);
    };
    const bool own = failure && parts_more(failures_[*failure]);
    print.push_back(own ? static_cast<long>(*failure) + 1 : 0);
    return print;
}

End Telling::ask(const Facts& facts, const End* same) {
    End end = swept(facts, same);
    if (std::none_of(end.sweeps.begin(), end.sweeps.end(),
                     [](const Sweep& sweep) { return sweep != nullptr; }))
        return end;
    answered_ = true;
    const solve::Variation& variation = facts.variation;
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
    return end;
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

/// Whether all the harm of one failure is done as badly by another.
bool does_the_same(const Tale& one, const Tale& other) {
    return std::all_of(one.worst.begin(), one.worst.end(), [&](const auto& told) {
        const auto like = other.worst.find(told.first);
        return told.second.weight == Grave::nothing ||
               (like != other.worst.end() && like->second.weight >= told.second.weight &&
                told.second.ratio <= solve::clearly_more * like->second.ratio);
    });
}

/// A nut takes its cables with it, the metal under it all that the nut holds, and a battery's post all that
/// hangs on it. Where one of those alone does all the harm, that is the one to read.
std::string Telling::like_one_of(const std::vector<std::size_t>& members) const {
    const auto studs_of = [&](const solve::Failure& failure) -> std::vector<model::TerminalIndex> {
        if (failure.nut || failure.metal)
            return {failure.nut ? *failure.nut : *failure.metal};
        return is_post(harness_, failure) ? harness_.device(*failure.device).terminals
                                          : std::vector<model::TerminalIndex>();
    };
    for (const std::size_t member : members) {
        const std::vector<model::TerminalIndex> studs = studs_of(failures_[member]);
        if (studs.empty())
            return {};
        for (std::size_t i = 0; i < failures_.size(); ++i) {
            const solve::Failure& other = failures_[i];
            const bool part = std::any_of(studs.begin(), studs.end(), [&](model::TerminalIndex stud) {
                return (other.cable && !other.one_run &&
                        solve::is_bolted_to(harness_.cable(*other.cable), stud)) ||
                       (failures_[member].nut && other.device == harness_.terminal(stud).device) ||
                       (failures_[member].metal && other.nut == stud);
            });
            if (part && does_the_same(tales_[member], tales_[i]))
                return name_of(harness_, other);
        }
    }
    return {};
}

FaultTold Telling::entry(std::size_t first, const std::vector<std::size_t>& members) const {
    FaultTold told;
    std::vector<std::string> names;
    bool opens = true, comes_off = true;
    for (const std::size_t member : members) {
        const solve::Failure& failure = failures_[member];
        if (const std::string& id = id_of(harness_, failure);
            std::find(told.failed.begin(), told.failed.end(), id) == told.failed.end())
            told.failed.push_back(id);
        names.push_back(name_of(harness_, failure));
        opens &= failure.device && !is_post(harness_, failure);
        comes_off &= failure.cable || failure.nut || is_post(harness_, failure);
    }
    told.one_run = failures_[first].one_run;
    if (names.size() > 4)
        names = {names[0], names[1], names[2], fmt::format("{} more in series", names.size() - 3)};
    std::string list = names.front();
    for (std::size_t i = 1; i < names.size(); ++i)
        list += (i + 1 == names.size() ? " or " : ", ") + names[i];
    told.what = fmt::format("{} {}", list, comes_off ? "comes off" : opens ? "opens" : "is lost");
    told.span = span_of(harness_, failures_[first]);
    for (const auto& [key, one] : tales_[first].worst)
        told.consequences.push_back(one);
    std::stable_sort(told.consequences.begin(), told.consequences.end(), comes_before);
    told.grave = gravity_of(facts_, failures_[first], told.consequences);
    told.like = like_one_of(members);
    return told;
}

Faults Telling::told() && {
    Faults faults;
    faults.unsolved = std::move(unsolved_);
    if (!answered_)
        return faults; // silence must not read as harmless
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
    std::stable_sort(faults.told.begin(), faults.told.end(),
                     [&](const FaultTold& one, const FaultTold& other) {
                         if (one.grave != other.grave)
                             return one.grave > other.grave;
                         // What points at another line stands after it.
                         return one.like.empty() != other.like.empty() ? one.like.empty()
                                                                       : greatest(one) > greatest(other);
                     });
    return faults;
}

/// In the order in which people look for them, E2 before E10.
bool stands_before(const std::string& a, const std::string& b) {
    const auto stem = [](const std::string& id) {
        return id.substr(0, id.find_last_not_of("0123456789") + 1);
    };
    return std::tuple(stem(a), a.size(), a) < std::tuple(stem(b), b.size(), b);
}

/// The first of them, the last place told as how many more there are.
std::vector<std::string> shortened(std::vector<std::string> names, std::size_t most) {
    if (names.size() <= most)
        return names;
    const std::size_t all = names.size();
    names.resize(most - 1);
    names.push_back(fmt::format("{} more", all - names.size()));
    return names;
}

} // namespace

Faults faults_of(const Facts& facts) {
    Telling telling(facts);
    const Facts& worst = facts.at_worst ? *facts.at_worst : facts;
    telling.sweep_other_choices(worst);
    telling.add_other_choices(true);
    telling.ask(facts);
    telling.add_other_choices(false);
    if (facts.at_worst) {
        const End end = telling.ask(*facts.at_worst);
        if (facts.at_least_charge)
            telling.ask(*facts.at_least_charge, &end);
    }
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
    constexpr std::size_t most_likewise = 4, most_dead = 8;
    for (const auto& [first, others] : kinds)
        phrases.push_back(others.empty() ? first->words
                                         : fmt::format("{}; likewise {}", first->words,
                                                       listed(shortened(others, most_likewise))));
    if (dead.size() == 1)
        for (const Consequence& one : told.consequences)
            if (one.harm == Harm::dead)
                phrases.push_back(one.words);
    std::stable_sort(dead.begin(), dead.end(), stands_before);
    if (dead.size() > 1)
        phrases.push_back(listed(shortened(dead, most_dead)) + " go dead");
    return phrases;
}

} // namespace stoutloom::check
