#include "check/facts.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::check {
namespace {

// More wrong assemblies of one landing than this are counted, not solved: the first ones move the fewest
// lugs.
constexpr std::size_t most_solved = 4;

/// Whether a cable is worse off; what lies within the solver's own tolerance is no worse.
bool is_worse(const WorstDuty& found, const WorstDuty& so_far) {
    constexpr double settled = 1e-6;
    if (!found.duty || !so_far.duty)
        return found.duty.has_value();
    if (found.runaway != so_far.runaway)
        return found.runaway;
    return found.runaway ? found.current_a > so_far.current_a * (1 + settled)
                         : found.temperature_degc > so_far.temperature_degc + settled * 300;
}

void keep_worse(WorstDuty& so_far, WorstDuty found) {
    if (is_worse(found, so_far))
        so_far = std::move(found);
}

bool leaves_a_choice(const model::Harness& harness, const model::Duty& duty) {
    for (std::size_t d = 0; d < harness.devices.size(); ++d)
        if (harness.devices[d].kind() == model::DeviceKind::consumer &&
            solve::is_choice(harness, duty, static_cast<model::DeviceIndex>(d)))
            return true;
    return false;
}

} // namespace

std::vector<WorstDuty> worst_of(const model::Harness& harness, const std::vector<SolvedDuty>& duties,
                                const std::vector<CombinedDuty>& combined) {
    std::vector<WorstDuty> worst(harness.cables.size());
    for (const SolvedDuty& solved : duties) {
        if (!solved.point || !is_continuous(harness.duty(solved.duty)))
            continue;
        for (std::size_t c = 0; c < worst.size(); ++c) {
            const solve::CableState& state = solved.point->cables[c];
            keep_worse(worst[c], {.duty = solved.duty,
                                  .current_a = std::abs(state.current_a),
                                  .temperature_degc = state.conductor_degc,
                                  .drop_v = std::abs(state.drop_v),
                                  .runaway = state.runaway,
                                  .running = {}});
        }
    }
    for (const CombinedDuty& duty : combined)
        for (std::size_t c = 0; duty.worst && c < worst.size(); ++c) {
            const solve::WorstCurrent& witness = duty.worst->cables[c];
            keep_worse(worst[c], {.duty = duty.duty,
                                  .current_a = std::abs(witness.witness_a),
                                  .temperature_degc = witness.witness_degc,
                                  .drop_v = {},
                                  .runaway = witness.runaway,
                                  .running = witness.running});
        }
    return worst;
}

model::Duty key_on_duty() {
    model::Duty duty;
    duty.id = "key-on";
    duty.charge_fraction.value = 0.75;
    return duty;
}

bool is_continuous(const model::Duty& duty) {
    return !duty.duration_s.has_value();
}

const WorstDuty& worst_duty(const Facts& facts, model::CableIndex cable) {
    const WorstDuty& nominal = facts.worst[model::at(cable)];
    if (!facts.at_worst)
        return nominal;
    const WorstDuty& worst = facts.at_worst->worst[model::at(cable)];
    return is_worse(worst, nominal) ? worst : nominal;
}

std::vector<const Facts*> worst_cases(const Facts& facts) {
    std::vector<const Facts*> all;
    for (const auto& other : {facts.at_worst, facts.at_least_charge})
        if (other)
            all.push_back(other.get());
    return all;
}

bool engine_running(const model::Duty& duty) {
    return duty.engine != model::Engine::off && duty.engine != model::Engine::cranking;
}

namespace {

bool has_charging_unit(const model::Harness& harness) {
    return std::any_of(harness.devices.begin(), harness.devices.end(), [](const model::Device& device) {
        return device.kind() == model::DeviceKind::generator;
    });
}

bool has_exciter_lead(const model::Harness& harness) {
    const auto excites = [&](const model::CableEnd& end) {
        return harness.terminal(end.at).role == model::Role::excite;
    };
    return std::any_of(harness.cables.begin(), harness.cables.end(),
                       [&](const model::Cable& cable) { return excites(cable.from) || excites(cable.to); });
}

/// `same`: where the engine stands still, the answers are those of these facts.
void solve_duties(Facts& facts, const solve::Variation& variation, const Facts* same = nullptr) {
    const model::Harness& harness = *facts.harness;
    facts.variation = variation;
    facts.duties.clear();
    facts.combined.clear();
    for (std::size_t d = 0; d < harness.duties.size(); ++d) {
        const model::Duty& duty = harness.duties[d];
        if (same != nullptr && !engine_running(duty)) {
            facts.duties.push_back(same->duties[d]);
            for (const CombinedDuty& combined : same->combined)
                if (model::at(combined.duty) == d)
                    facts.combined.push_back(combined);
            continue;
        }
        SolvedDuty solved;
        solved.duty = static_cast<model::DutyIndex>(d);
        if (auto point = solve::operating_point(harness, duty, variation))
            solved.point = std::move(*point);
        else
            solved.unsolved = std::move(point.error());
        if (solved.point && is_continuous(duty) && leaves_a_choice(harness, duty)) {
            CombinedDuty combined{.duty = solved.duty, .worst = {}, .unsolved = {}};
            if (auto worst = solve::worst_combination(harness, duty, variation))
                combined.worst = std::move(*worst);
            else
                combined.unsolved = std::move(worst.error());
            facts.combined.push_back(std::move(combined));
        }
        facts.duties.push_back(std::move(solved));
    }
    facts.worst = worst_of(harness, facts.duties, facts.combined);
    if (same != nullptr)
        return;
    facts.key_on.reset();
    if (!has_exciter_lead(harness))
        return;
    if (auto point = solve::operating_point(harness, key_on_duty(), variation))
        facts.key_on = std::move(*point);
}

} // namespace

Facts gather(const model::Harness& harness, Depth depth) {
    Facts facts;
    facts.harness = &harness;
    // The rules ask the same of the kit as built and at both ends of ageing.
    facts.harm_times = std::make_shared<physics::HarmTimes>();
    solve_duties(facts, {});
    for (std::size_t c = 0; c < harness.cables.size(); ++c)
        facts.ratings.push_back(solve::cable_rating(harness, static_cast<model::CableIndex>(c)));
    facts.topology = topology_of(harness);
    facts.landings = judge_landings(harness);
    for (LandingVerdict& landing : facts.landings)
        for (std::size_t w = 0; w < landing.wrong.size() && w < most_solved; ++w)
            if (landing.wrong[w].completes)
                add_consequence(harness, facts, landing.wrong[w]);
    facts.shorts = std::make_shared<const base::Outcome<solve::ShortCurrents, solve::Unsolved>>(
        solve::short_currents(harness));
    auto at_worst = std::make_shared<Facts>(facts);
    solve_duties(*at_worst, solve::at_worst());
    if (has_charging_unit(harness)) {
        auto least = std::make_shared<Facts>(*at_worst);
        solve_duties(*least, solve::at_least_charge(), at_worst.get());
        for (std::size_t c = 0; c < harness.cables.size(); ++c)
            keep_worse(at_worst->worst[c], least->worst[c]);
        facts.at_least_charge = std::move(least);
    }
    facts.at_worst = std::move(at_worst);
    if (depth == Depth::with_faults)
        facts.faults = std::make_shared<const Faults>(faults_of(facts));
    return facts;
}

} // namespace stoutloom::check
