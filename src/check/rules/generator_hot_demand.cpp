// generator-hot-demand. Does the charging unit carry the consumers when it is hot, not only by its badge?
#include "check/subjects.h"
#include "check/words.h"
#include "solve/sources.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;
using model::DeviceKind;

// Running faster than idle: idle deficits are told by battery-balance.
bool is_asked(const model::Duty& duty) {
    return is_continuous(duty) &&
           (duty.engine == model::Engine::cruise || duty.engine == model::Engine::rated);
}

bool has_question(const Facts& facts) {
    return std::any_of(facts.harness->duties.begin(), facts.harness->duties.end(), is_asked);
}

std::vector<std::string> subjects(const Facts& facts) {
    return has_question(facts) ? generators(facts) : std::vector<std::string>{};
}

struct Demand {
    std::optional<model::DutyIndex> duty;
    double consumers_a = 0, hot_a = 0, cold_a = 0;
};

// All consumers of the duty against all charging units, without what the batteries take.
Demand worst_demand(const Facts& facts) {
    const model::Harness& harness = *facts.harness;
    Demand worst;
    for (const SolvedDuty& solved : facts.duties) {
        const model::Duty& duty = harness.duty(solved.duty);
        if (!solved.point || !is_asked(duty))
            continue;
        Demand demand{.duty = solved.duty};
        for (const DeviceIndex consumer : devices_of(harness, DeviceKind::consumer))
            demand.consumers_a += solved.point->devices[model::at(consumer)].current_a;
        model::Duty hot = duty, cold = duty;
        hot.hot = true;
        cold.hot = false;
        for (const DeviceIndex unit : devices_of(harness, DeviceKind::generator)) {
            demand.hot_a += solve::generator_law(harness, hot, unit, solve::Supply::nominal).ceiling_a;
            demand.cold_a += solve::generator_law(harness, cold, unit, solve::Supply::nominal).ceiling_a;
        }
        if (!worst.duty || demand.consumers_a - demand.hot_a > worst.consumers_a - worst.hot_a)
            worst = demand;
    }
    return worst;
}

void judge(const Facts& facts, Judgements& judgements) {
    const std::vector<DeviceIndex> units = devices_of(*facts.harness, DeviceKind::generator);
    if (!has_question(facts) || units.empty())
        return;
    const model::Device& first = facts.harness->device(units.front());
    Judgement judgement = about(first.id, first.span, {});
    for (std::size_t i = 1; i < units.size(); ++i)
        judgement.subjects.push_back(facts.harness->device(units[i]).id);
    const std::string names = listed(judgement.subjects);
    const Demand demand = worst_demand(facts);
    if (!demand.duty) {
        judgement.message = fmt::format("{}: no driving duty could be solved", names);
        judgements.cannot_tell(for_want_of_duties(facts, std::move(judgement)));
        return;
    }
    judgement.duty = duty_name(*facts.harness, *demand.duty);
    judgement.values = {{"cold_a", demand.cold_a}};
    judgement = with_figures(std::move(judgement), {.computed = demand.consumers_a, .limit = demand.hot_a},
                             "A", "hot output at that speed");
    judgement.message =
        fmt::format("consumers take {} in duty {}; {} {} {} hot ({} by the badge, cold)",
                    amps_up(demand.consumers_a), judgement.duty, names, units.size() == 1 ? "gives" : "give",
                    amps_down(demand.hot_a), amps_down(demand.cold_a));
    if (!exceeds(demand.consumers_a, demand.hot_a)) {
        judgements.passes(std::move(judgement));
        return;
    }
    judgement.message +=
        fmt::format(": the battery pays {} and is never charged", amps_up(demand.consumers_a - demand.hot_a));
    judgements.fails(std::move(judgement));
}

} // namespace

extern const Rule rule_generator_hot_demand;
const Rule rule_generator_hot_demand{
    .slug = "generator-hot-demand",
    .usual = Severity::warning,
    .asks = "Does the charging unit carry the consumers when it is hot, not only by its badge?",
    .source =
        "ISO 8854: the badge is a figure at 23 degC and 6000 rpm; hot output from the file or 0.80 of cold",
    .cure = "less load, or a unit whose hot output covers it with something left for the battery",
    .explanation =
        R"(The badge of a charging unit is measured at 23 degC. Hot, in its engine bay, the same unit gives about a fifth
less. Consumers in a driving duty must find their current in the hot figure, or the battery pays the rest.
Example: badge 180 A, hot 160 A, consumers 170 A: by the badge 10 A are left for the battery; in truth it loses
10 A all the way home. Idling is judged by battery-balance.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
