#include "solve/worst_case.h"

#include "solve/frozen.h"
#include "solve/regime_bounds.h"
#include "solve/temperatures.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace stoutloom::solve {
namespace {

using Combination = std::vector<bool>;

// A combination must be better by this to replace another: of those that are as bad as one another the first
// tried is told, and that is everything on.
constexpr double better_by = 1e-5;
// Less is the solver's own leak, whatever is switched on.
constexpr double no_current_a = 1e-3;

/// The best combination found for one cable.
struct Witness {
    Combination on;
    double current_a = -1; // magnitude
};

class WitnessHunt {
  public:
    WitnessHunt(const model::Harness& harness, FrozenNetwork& frozen) : harness_(harness), frozen_(frozen) {}
    /// Every corner the bounds ended in, then single switches while they gain; all cables learn from each
    /// try.
    base::Outcome<std::vector<Witness>, Unsolved> run(const RegimeBounds& bounds);

  private:
    base::Outcome<void, Unsolved> attempt(const Combination& on);
    base::Outcome<void, Unsolved> improve(std::size_t cable);

    const model::Harness& harness_;
    FrozenNetwork& frozen_;
    std::vector<Witness> best_;
};

base::Outcome<void, Unsolved> WitnessHunt::attempt(const Combination& on) {
    const auto currents = frozen_.currents_a(harness_, on);
    if (!currents)
        return base::failure(Unsolved{currents.error()});
    for (std::size_t c = 0; c < best_.size(); ++c)
        if (std::abs((*currents)[c]) > best_[c].current_a * (1 + better_by) + 1e-9)
            best_[c] = {.on = on, .current_a = std::abs((*currents)[c])};
    return {};
}

base::Outcome<void, Unsolved> WitnessHunt::improve(std::size_t cable) {
    for (double before = -1; best_[cable].current_a > before * (1 + better_by) + 1e-9;) {
        before = best_[cable].current_a;
        const Combination from = best_[cable].on;
        for (std::size_t i = 0; i < from.size(); ++i) {
            if (!frozen_.loads()[i].choice)
                continue;
            Combination switched = from;
            switched[i] = !switched[i];
            if (auto done = attempt(switched); !done)
                return done;
        }
    }
    return {};
}

base::Outcome<std::vector<Witness>, Unsolved> WitnessHunt::run(const RegimeBounds& bounds) {
    best_.assign(bounds.cables.size(), {});
    if (auto done = attempt(Combination(frozen_.loads().size(), true)); !done)
        return base::failure(Unsolved{done.error()});
    for (const BoundedCurrent& bounded : bounds.cables)
        for (const Combination& corner : bounded.corners)
            if (auto done = attempt(corner); !done)
                return base::failure(Unsolved{done.error()});
    for (std::size_t c = 0; c < best_.size(); ++c)
        if (best_[c].current_a < (1 - 2 * better_by) * bounds.cables[c].bound_a)
            if (auto done = improve(c); !done)
                return base::failure(Unsolved{done.error()});
    return best_;
}

std::vector<model::DeviceIndex> running_in(const model::Harness& harness, const model::Duty& duty,
                                           const FrozenNetwork& frozen, const Combination& on) {
    std::vector<model::DeviceIndex> running;
    for (std::size_t d = 0; d < harness.devices.size(); ++d) {
        const auto device = static_cast<model::DeviceIndex>(d);
        if (harness.devices[d].kind() != model::DeviceKind::consumer)
            continue;
        bool runs = model::runs_in(harness, duty, device) && !is_choice(harness, duty, device);
        for (std::size_t i = 0; i < on.size(); ++i)
            runs = runs || (on[i] && frozen.loads()[i].device == device);
        if (runs)
            running.push_back(device);
    }
    return running;
}

bool rectifier_conducts(const Solved& solved) {
    for (std::size_t k = 0; k < solved.picture.ports.size(); ++k)
        if (solved.picture.ports[k].kind == PortKind::rectifier && solved.answer.piece[k] == 0)
            return true;
    return false;
}

/// Everything that may be on, on: the hot end of the temperatures that the bounds look at.
Variation with_everything(const model::Harness& harness, const model::Duty& duty, Variation variation) {
    variation.running.emplace();
    for (std::size_t d = 0; d < harness.devices.size(); ++d) {
        const auto device = static_cast<model::DeviceIndex>(d);
        if (harness.devices[d].kind() != model::DeviceKind::consumer)
            continue;
        if (is_choice(harness, duty, device) || model::runs_in(harness, duty, device))
            variation.running->push_back(device);
    }
    return variation;
}

base::Outcome<Solved, Unsolved> solved_with_everything(const model::Harness& harness, const model::Duty& duty,
                                                       const Variation& variation) {
    auto solved = solve_network(harness, duty, with_everything(harness, duty, variation));
    if (solved && rectifier_conducts(*solved))
        return base::failure(Unsolved{
            .message = "a rectifier conducts backwards: a battery is connected in reverse", .subjects = {}});
    return solved;
}

/// Witnesses are re-solved with their own temperatures; cables share most of them.
base::Outcome<void, Unsolved> resolve(const model::Harness& harness, const model::Duty& duty,
                                      const Variation& variation, const Solved& hot,
                                      WorstCombination& worst) {
    std::map<std::vector<model::DeviceIndex>, OperatingPoint> points;
    const Variation everything = with_everything(harness, duty, variation);
    points.emplace(*everything.running, operating_point_of(harness, duty, everything, hot));
    for (std::size_t c = 0; c < worst.cables.size(); ++c) {
        WorstCurrent& cable = worst.cables[c];
        if (!points.contains(cable.running)) {
            Variation these = variation;
            these.running = cable.running;
            auto point = operating_point(harness, duty, these);
            if (!point)
                return base::failure(Unsolved{point.error()});
            points.emplace(cable.running, std::move(*point));
        }
        const CableState& state = points.at(cable.running).cables[c];
        cable.witness_a = state.current_a;
        cable.witness_degc = state.conductor_degc;
        cable.runaway = state.runaway;
        cable.bound_a = std::max(cable.bound_a, std::abs(state.current_a));
    }
    return {};
}

} // namespace

bool WorstCurrent::attained(double share) const {
    return bound_a - std::abs(witness_a) <= share * bound_a + 1e-3;
}

base::Outcome<WorstCombination, Unsolved>
worst_combination(const model::Harness& harness, const model::Duty& duty, const Variation& variation) {
    const auto hot = solved_with_everything(harness, duty, variation);
    if (!hot)
        return base::failure(Unsolved{hot.error()});
    std::vector<std::vector<double>> cold_degc;
    std::vector<std::vector<double>> hot_degc;
    for (std::size_t c = 0; c < harness.cables.size(); ++c) {
        cold_degc.push_back(ambient_of(hot->parts[c]));
        hot_degc.push_back(hot->heat[c].segment_degc);
    }
    WorstCombination worst;
    worst.cables.resize(harness.cables.size());
    std::vector<double> best_a(harness.cables.size(), -1.0);
    for (const auto& degc : {cold_degc, hot_degc}) {
        auto frozen = FrozenNetwork::at(harness, duty, variation, degc);
        if (!frozen)
            return base::failure(Unsolved{frozen.error()});
        const auto bounds = regime_bounds(*frozen);
        if (!bounds)
            return base::failure(Unsolved{bounds.error()});
        const auto witnesses = WitnessHunt(harness, *frozen).run(*bounds);
        if (!witnesses)
            return base::failure(Unsolved{witnesses.error()});
        worst.regimes = std::max(worst.regimes, bounds->possible_regimes);
        for (std::size_t c = 0; c < worst.cables.size(); ++c) {
            worst.cables[c].bound_a = std::max(worst.cables[c].bound_a, bounds->cables[c].bound_a);
            const Witness& witness = (*witnesses)[c];
            if (witness.current_a <= best_a[c] * (1 + better_by))
                continue;
            best_a[c] = witness.current_a;
            const Combination everything(witness.on.size(), true);
            worst.cables[c].running = running_in(harness, duty, *frozen,
                                                 witness.current_a < no_current_a ? everything : witness.on);
        }
    }
    for (std::size_t d = 0; d < harness.devices.size(); ++d)
        if (harness.devices[d].kind() == model::DeviceKind::consumer &&
            is_choice(harness, duty, static_cast<model::DeviceIndex>(d)))
            worst.choices.push_back(static_cast<model::DeviceIndex>(d));
    if (auto done = resolve(harness, duty, variation, *hot, worst); !done)
        return base::failure(Unsolved{done.error()});
    return worst;
}

} // namespace stoutloom::solve
