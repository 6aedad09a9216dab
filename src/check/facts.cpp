#include "check/facts.h"

#include <cmath>

namespace stoutloom::check {
namespace {

// More wrong assemblies of one landing than this are counted, not solved: the first ones move the fewest
// lugs.
constexpr std::size_t most_solved = 4;

std::vector<WorstDuty> worst_of(const model::Harness& harness, const std::vector<SolvedDuty>& duties) {
    std::vector<WorstDuty> worst(harness.cables.size());
    for (const SolvedDuty& solved : duties) {
        if (!solved.point || !is_continuous(harness.duty(solved.duty)))
            continue;
        for (std::size_t c = 0; c < worst.size(); ++c) {
            const solve::CableState& state = solved.point->cables[c];
            WorstDuty& so_far = worst[c];
            const bool hotter = state.runaway != so_far.runaway ? state.runaway
                                : state.runaway                 ? std::abs(state.current_a) > so_far.current_a
                                                : state.conductor_degc > so_far.temperature_degc;
            if (so_far.duty && !hotter)
                continue;
            so_far = {.duty = solved.duty,
                      .current_a = std::abs(state.current_a),
                      .temperature_degc = state.conductor_degc,
                      .runaway = state.runaway};
        }
    }
    return worst;
}

} // namespace

bool is_continuous(const model::Duty& duty) {
    return !duty.duration_s.has_value();
}

bool engine_running(const model::Duty& duty) {
    return duty.engine != model::Engine::off && duty.engine != model::Engine::cranking;
}

Facts gather(const model::Harness& harness) {
    Facts facts;
    facts.harness = &harness;
    for (std::size_t d = 0; d < harness.duties.size(); ++d) {
        SolvedDuty solved;
        solved.duty = static_cast<model::DutyIndex>(d);
        if (auto point = solve::operating_point(harness, harness.duties[d]))
            solved.point = std::move(*point);
        else
            solved.unsolved = std::move(point.error());
        facts.duties.push_back(std::move(solved));
    }
    for (std::size_t c = 0; c < harness.cables.size(); ++c)
        facts.ratings.push_back(solve::cable_rating(harness, static_cast<model::CableIndex>(c)));
    facts.worst = worst_of(harness, facts.duties);
    facts.topology = topology_of(harness);
    facts.landings = judge_landings(harness);
    for (LandingVerdict& landing : facts.landings)
        for (std::size_t w = 0; w < landing.wrong.size() && w < most_solved; ++w)
            if (landing.wrong[w].completes)
                add_consequence(harness, facts, landing.wrong[w]);
    return facts;
}

} // namespace stoutloom::check
