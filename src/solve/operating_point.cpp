#include "solve/solved.h"

#include "solve/assumed.h"
#include "solve/temperatures.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace stoutloom::solve {
namespace {

constexpr int most_thermal_rounds = 200;
constexpr double temperature_share = 1e-7; // of (T + 234.5 degC), so of the resistance

/// Damped steps towards the temperatures that the currents ask for. A cable whose step turns round is slowed
/// down.
class Warming {
  public:
    explicit Warming(std::size_t cables) : pace_(cables, 1.0), last_step_(cables) {}
    /// True when no temperature moves any more.
    bool step(std::size_t cable, std::vector<double>& now_degc, const std::vector<double>& asked_degc) {
        bool at_rest = true;
        double turned = 0;
        last_step_[cable].resize(now_degc.size(), 0.0);
        for (std::size_t i = 0; i < now_degc.size(); ++i) {
            const double wanted_k = asked_degc[i] - now_degc[i];
            at_rest = at_rest && std::abs(wanted_k) <= temperature_share * (now_degc[i] + 234.5);
            turned = std::min(turned, wanted_k * last_step_[cable][i]);
            last_step_[cable][i] = wanted_k;
        }
        if (turned < 0)
            pace_[cable] = std::max(0.05, 0.6 * pace_[cable]);
        if (!at_rest)
            for (std::size_t i = 0; i < now_degc.size(); ++i)
                now_degc[i] += pace_[cable] * last_step_[cable][i];
        return at_rest;
    }

  private:
    std::vector<double> pace_;
    std::vector<std::vector<double>> last_step_;
};

/// Before a short duty with the engine turning, everything but what is asked for on request has run all day.
base::Outcome<std::optional<ShortDuty>, Unsolved> short_duty_of(const model::Harness& harness,
                                                                const model::Duty& duty, const Solved& solved,
                                                                const Variation& variation) {
    if (!duty.duration_s)
        return std::optional<ShortDuty>{};
    ShortDuty made{.duration_s = duty.duration_s->value, .start_degc = {}};
    for (const CableParts& parts : solved.parts)
        made.start_degc.push_back(ambient_of(parts));
    if (duty.engine == model::Engine::off || duty.engine == model::Engine::cranking)
        return std::optional(made);
    model::Duty before = duty;
    before.duration_s.reset();
    before.on.clear();
    before.all_on = false;
    Variation as_wired = variation;
    as_wired.running.reset();
    const auto warm = solve_network(harness, before, as_wired);
    if (!warm)
        return base::failure(Unsolved{warm.error()});
    for (std::size_t c = 0; c < made.start_degc.size(); ++c)
        made.start_degc[c] = warm->heat[c].segment_degc;
    return std::optional(made);
}

std::vector<std::string> still_moving(const model::Harness& harness, const std::vector<bool>& at_rest) {
    std::vector<std::string> ids;
    for (std::size_t c = 0; c < at_rest.size(); ++c)
        if (!at_rest[c])
            ids.push_back(harness.cables[c].id);
    return ids;
}

bool satisfies_laws(const Solved& solved) {
    double greatest_a = 1e-3;
    std::vector<double> injected(static_cast<std::size_t>(solved.network.nodes), 0.0);
    for (std::size_t k = 0; k < solved.picture.ports.size(); ++k) {
        const Port& port = solved.picture.ports[k];
        const double base_a = port.in_linear ? port.pieces[port.base].alpha_a : 0.0;
        const double current_a = base_a + solved.answer.correction_a[k];
        injected[static_cast<std::size_t>(port.plus)] += current_a;
        injected[static_cast<std::size_t>(port.minus)] -= current_a;
        const double base_slope = port.in_linear ? port.pieces[port.base].beta_s : 0.0;
        const double really_a = current_a - base_slope * solved.answer.volts[k];
        const double law_a = solved.answer.current_a(solved.picture, k);
        greatest_a = std::max(greatest_a, std::abs(law_a));
        if (!(std::abs(really_a - law_a) <= 1e-8 * (greatest_a + std::abs(current_a))))
            return false;
    }
    return solved.linear->residual_a(solved.node_v, injected) <= 1e-7 * greatest_a;
}

} // namespace

double Solved::branch_a(int branch) const {
    if (branch < 0)
        return 0;
    const Branch& about = network.branches[static_cast<std::size_t>(branch)];
    return (node_v[static_cast<std::size_t>(about.a)] - node_v[static_cast<std::size_t>(about.b)]) /
           about.ohm;
}

Unsolved unsolved_by(const model::Harness& harness, const PortPicture& picture,
                     const Disagreement& disagreement) {
    Unsolved unsolved;
    for (const std::size_t k : disagreement.ports) {
        const std::string& id = harness.device(picture.ports[k].device).id;
        if (std::find(unsolved.subjects.begin(), unsolved.subjects.end(), id) == unsolved.subjects.end())
            unsolved.subjects.push_back(id);
    }
    std::sort(unsolved.subjects.begin(), unsolved.subjects.end());
    unsolved.message = disagreement.why;
    for (std::size_t i = 0; i < unsolved.subjects.size(); ++i)
        unsolved.message += (i == 0 ? ": " : ", ") + unsolved.subjects[i];
    return unsolved;
}

base::Outcome<void, Unsolved> solve_electrically(const model::Harness& harness, Solved& solved) {
    solved.linear.emplace(solved.network, solved.islands);
    solved.picture = picture_of(*solved.linear, solved.network.ports);
    auto answer = settle_with_power(solved.picture);
    if (!answer)
        return base::failure(unsolved_by(harness, solved.picture, answer.error()));
    solved.answer = std::move(*answer);
    solved.changes += solved.answer.changes;
    solved.node_v = node_volts(*solved.linear, solved.picture, solved.answer);
    if (!satisfies_laws(solved))
        return base::failure(
            Unsolved{.message = "the solution does not satisfy Kirchhoff's current law", .subjects = {}});
    return {};
}

base::Outcome<Solved, Unsolved> solve_network(const model::Harness& harness, const model::Duty& duty,
                                              const Variation& variation) {
    Solved solved;
    solved.network = build_network(harness, duty, variation);
    solved.islands = find_islands(solved.network);
    const std::size_t cables = harness.cables.size();
    for (std::size_t c = 0; c < cables; ++c) {
        auto parts = cable_parts(harness, static_cast<model::CableIndex>(c), variation);
        if (!parts)
            return base::failure(Unsolved{parts.error()});
        solved.heat.push_back({.segment_degc = ambient_of(*parts)});
        solved.parts.push_back(std::move(*parts));
    }
    const auto short_duty = short_duty_of(harness, duty, solved, variation);
    if (!short_duty)
        return base::failure(Unsolved{short_duty.error()});
    const ShortDuty* pulse = short_duty->has_value() ? &**short_duty : nullptr;

    Warming warming(cables);
    std::vector<bool> at_rest(cables, false);
    for (solved.rounds = 1; solved.rounds <= most_thermal_rounds; ++solved.rounds) {
        for (std::size_t c = 0; c < cables; ++c)
            if (const int branch = solved.network.cable_branch[c]; branch >= 0)
                solved.network.branches[static_cast<std::size_t>(branch)].ohm =
                    copper_ohm(solved.parts[c], solved.heat[c].segment_degc) + solved.parts[c].end_ohm[0] +
                    solved.parts[c].end_ohm[1];
        if (auto done = solve_electrically(harness, solved); !done)
            return base::failure(Unsolved{done.error()});
        for (std::size_t c = 0; c < cables; ++c) {
            const double current_a = solved.branch_a(solved.network.cable_branch[c]);
            const CableHeat asked = heat_at(solved.parts[c], current_a, pulse, c);
            solved.heat[c].runaway = asked.runaway;
            at_rest[c] = warming.step(c, solved.heat[c].segment_degc, asked.segment_degc);
        }
        if (std::find(at_rest.begin(), at_rest.end(), false) == at_rest.end())
            return solved;
    }
    return base::failure(
        Unsolved{.message = "cable temperatures do not settle", .subjects = still_moving(harness, at_rest)});
}

base::Outcome<OperatingPoint, Unsolved> operating_point(const model::Harness& harness,
                                                        const model::Duty& duty, const Variation& variation) {
    auto solved = solve_network(harness, duty, variation);
    if (!solved)
        return base::failure(Unsolved{solved.error()});
    OperatingPoint point = operating_point_of(harness, duty, variation, *solved);
    point.solved = std::make_shared<const Solved>(std::move(*solved));
    return point;
}

} // namespace stoutloom::solve
