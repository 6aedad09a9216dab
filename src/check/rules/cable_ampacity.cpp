// cable-ampacity. Does any cable carry more than it may, all day, where it runs?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::check {
namespace {

using model::CableIndex;

std::string limit_words(const Facts& facts, const solve::CableRating& rating) {
    if (rating.by_table())
        return rating.table->source + ", which allows less than the model";
    const model::LimitInForce margin = model::limit_in_force(*facts.harness, "installed-margin");
    return fmt::format(
        "IEC 60287 still-air model at the class temperature, times the installed margin {} ({})",
        base::shown_number(margin.value, 2, base::Rounding::nearest), margin.source);
}

// The duty with the greatest share of what the cable may carry is the one with the greatest current: as the
// duty is written, or with another choice of what is switched on.
struct Load {
    std::optional<model::DutyIndex> duty;
    double current_a = 0;
    double temperature_degc = 0;
    bool runaway = false;
    const std::vector<model::DeviceIndex>* running = nullptr; // the other choice
};
// What no choice exceeds, where no choice was found that attains it.
struct Bound {
    std::optional<model::DutyIndex> duty;
    double current_a = 0;
};

Load heaviest(const Facts& facts, CableIndex cable) {
    Load load;
    for (const SolvedDuty& solved : facts.duties) {
        if (!solved.point || !is_continuous(facts.harness->duty(solved.duty)))
            continue;
        const solve::CableState& state = solved.point->cables[model::at(cable)];
        if (load.duty && !exceeds(std::abs(state.current_a), load.current_a))
            continue;
        load = {.duty = solved.duty,
                .current_a = std::abs(state.current_a),
                .temperature_degc = state.conductor_degc,
                .runaway = state.runaway};
    }
    for (const CombinedDuty& combined : facts.combined) {
        if (!combined.worst)
            continue;
        const solve::WorstCurrent& witness = combined.worst->cables[model::at(cable)];
        if (exceeds(std::abs(witness.witness_a), load.current_a))
            load = {.duty = combined.duty,
                    .current_a = std::abs(witness.witness_a),
                    .temperature_degc = witness.witness_degc,
                    .runaway = witness.runaway,
                    .running = &witness.running};
    }
    return load;
}

Bound greatest_bound(const Facts& facts, CableIndex cable) {
    Bound bound;
    for (const CombinedDuty& combined : facts.combined) {
        if (!combined.worst)
            continue;
        const solve::WorstCurrent& current = combined.worst->cables[model::at(cable)];
        if (!current.attained() && current.bound_a > bound.current_a)
            bound = {combined.duty, current.bound_a};
    }
    return bound;
}

// "duty rated", "duty rated with only E1 and E2 on".
std::string duty_words(const Facts& facts, const Load& load) {
    std::string words = fmt::format("duty {}", duty_name(*facts.harness, *load.duty));
    if (load.running == nullptr)
        return words;
    std::vector<std::string> ids;
    for (const model::DeviceIndex consumer : *load.running)
        ids.push_back(facts.harness->device(consumer).id);
    return ids.empty() ? words + " with nothing on" : fmt::format("{} with only {} on", words, listed(ids));
}

std::string overload_words(const Facts& facts, CableIndex index, const Load& load) {
    const model::Cable& cable = facts.harness->cable(index);
    const solve::CableRating& rating = facts.ratings[model::at(index)];
    const std::size_t stretch = rating.by_table() ? rating.table->stretch : rating.hottest;
    const model::ZoneIndex zone = cable.segments[stretch].zone;
    const std::string heat = load.runaway
                                 ? fmt::format("it would never stop warming; insulation {} stands {}",
                                               cable.insulation.text, degc_down(cable.insulation.class_degc))
                                 : fmt::format("its copper would reach {}, insulation {} stands {}",
                                               degc_up(load.temperature_degc), cable.insulation.text,
                                               degc_down(cable.insulation.class_degc));
    return fmt::format(
        "{} carries {} in {}, {} what it may carry: {} in zone {} at {}; {}", with_section(cable),
        amps_up(load.current_a), duty_words(facts, load), times_up(load.current_a / rating.usable_a),
        amps_down(rating.usable_a), zone_name(*facts.harness, zone),
        degc_up(facts.harness->zone(zone).ambient_degc.value + facts.harness->zone(zone).radiant_k.value),
        heat);
}

std::string cure_for(const Facts& facts, CableIndex index, const Load& load) {
    const std::string section = least_section_on_sale(
        *facts.harness, facts.harness->cable(index).section_mm2.value, [&](double section_mm2) {
            return usable_with_section_a(*facts.harness, index, section_mm2) >= load.current_a;
        });
    if (section.empty())
        return "run cables in parallel, each with its own fuse-links, or move it out of the heat";
    return fmt::format("fit {} or more here, or a higher insulation class, or a cooler route", section);
}

// What no combination found exceeds, some other combination might: then nothing is proven either way.
bool cannot_bound(const Facts& facts, CableIndex index, const Load& load, Judgement judgement,
                  Judgements& judgements) {
    const model::Cable& cable = facts.harness->cable(index);
    for (const CombinedDuty& combined : facts.combined) {
        if (combined.worst)
            continue;
        judgement.duty = duty_name(*facts.harness, combined.duty);
        judgement.message =
            fmt::format("{}: over the choices of what is switched on in duty {} nothing can be told: {}",
                        cable.id, judgement.duty, combined.unsolved->message);
        judgement.cure = "mark consumers that never change with switchable=\"no\"";
        judgements.cannot_tell(std::move(judgement));
        return true;
    }
    const Bound bound = greatest_bound(facts, index);
    const double usable_a = facts.ratings[model::at(index)].usable_a;
    if (!bound.duty || !exceeds(bound.current_a, usable_a))
        return false;
    judgement.duty = duty_name(*facts.harness, *bound.duty);
    judgement.values["witness_a"] = load.current_a;
    judgement.computed = bound.current_a;
    judgement.message = fmt::format(
        "{} may carry {}; the greatest current found over all choices of what is switched on is {} ({}), but "
        "only {} in duty {} can be proven not to be exceeded",
        with_section(cable), amps_down(usable_a), amps_up(load.current_a), duty_words(facts, load),
        amps_up(bound.current_a), judgement.duty);
    judgement.cure = "a section for the bound, or mark consumers that never change with switchable=\"no\"";
    judgements.cannot_tell(std::move(judgement), Severity::warning);
    return true;
}

// The regulation's table has nothing for this insulation, or the place is as warm as its class.
bool tell_no_table(const solve::CableRating& rating, const Judgement& judgement, Judgements& judgements) {
    if (!rating.by_table() || rating.table->usable_a > 0)
        return false;
    Judgement told = judgement;
    told.message = fmt::format("{} may carry nothing by the regulation: {}", told.subjects.front(),
                               rating.table->source);
    told.cure = "insulation of a class the table lists for this place";
    judgements.fails(std::move(told));
    return true;
}

void judge_one_cable(const Facts& facts, CableIndex index, Judgements& judgements) {
    const model::Harness& harness = *facts.harness;
    const model::Cable& cable = harness.cable(index);
    const solve::CableRating& rating = facts.ratings[model::at(index)];
    Judgement judgement = about(cable.id, cable.span, {});
    if (cable.automatic || !(rating.model_usable_a > 0)) {
        judgement.message =
            cable.automatic
                ? fmt::format("{} has no section yet, so nothing can be told of its load", cable.id)
                : fmt::format("{} cannot be rated: its section is beyond the tables", cable.id);
        judgement.cure = cable.automatic ? "let the size command choose it, or write a section"
                                         : "write a section within the tables";
        judgements.cannot_tell(std::move(judgement));
        return;
    }
    if (tell_no_table(rating, judgement, judgements))
        return;
    const Load load = heaviest(facts, index);
    if (!load.duty) {
        judgement.message = fmt::format("{}: no continuous duty could be solved", cable.id);
        judgements.cannot_tell(for_want_of_duties(facts, std::move(judgement)));
        return;
    }
    judgement.duty = duty_name(harness, *load.duty);
    judgement.values = {{"temperature_degc", load.temperature_degc},
                        {"class_degc", cable.insulation.class_degc},
                        {"ampacity_a", rating.ampacity_a}};
    if (rating.table)
        judgement.values["table_a"] = rating.table->usable_a;
    judgement = with_figures(std::move(judgement), {.computed = load.current_a, .limit = rating.usable_a},
                             "A", limit_words(facts, rating));
    if (exceeds(load.current_a, rating.usable_a) || load.runaway) {
        judgement.message = overload_words(facts, index, load);
        judgement.cure = cure_for(facts, index, load);
        judgements.fails(std::move(judgement));
        return;
    }
    if (cannot_bound(facts, index, load, judgement, judgements))
        return;
    judgement.message =
        fmt::format("{} carries {} at most ({}) and may carry {}", with_section(cable),
                    amps_up(load.current_a), duty_words(facts, load), amps_down(rating.usable_a));
    judgements.passes(std::move(judgement));
}

void judge(const Facts& facts, Judgements& judgements) {
    for (std::size_t c = 0; c < facts.harness->cables.size(); ++c)
        if (!too_warm_without_current(facts, static_cast<CableIndex>(c)))
            judge_one_cable(facts, static_cast<CableIndex>(c), judgements);
}

} // namespace

extern const Rule rule_cable_ampacity;
const Rule rule_cable_ampacity{
    .slug = "cable-ampacity",
    .usual = Severity::error,
    .asks = "Does any cable carry more than it may, all day, where it runs?",
    .source = "IEC 60287-1-1 and 60287-2-1 (still air), insulation classes ISO 6722-1, installed margin from "
              "published marine tables; boat profile: 33 CFR 183.425 table 5 as well",
    .cure = "more copper, a higher insulation class, or a cooler route",
    .explanation =
        R"(A cable warms until the heat it sheds equals the heat it makes: I x I x R(T) x (T1 + T4) = T - Ta.
R(T) is the copper's resistance at its own temperature, T1 the wall's thermal resistance, T4 the surface's,
Ta the warmth of the zone. The current at which the copper reaches its insulation class is the ampacity;
the hottest stretch of the route rules. Installed cables sit 10 to 20 % under still air, so the usable
current is the ampacity times 0.87. A short hot stretch gives some of its heat to its cooler neighbours
along the copper.
Example: 16 mm2, class B (100 degC), clipped, in 80 degC. R at 100 degC is 1.16 mohm/m x 1.31 = 1.52 mohm/m;
T1 + T4 is 3.36 K m/W. 20 K to spare: I = sqrt(20 / (0.001525 x 3.36)) = 62.5 A, usable 62.5 x 0.87 = 54 A.
A unit that gives 160 A hot asks 160 / 54 = 3.0 times that: the wall melts long before a fuse-link minds.
Asked over every choice of the consumers that may be switched: the combination with the greatest current is
re-solved and named. Where it stays under the limit but the proven bound does not, the answer is "cannot tell".
On a boat the regulation's own table (33 CFR 183.425) is asked as well, and the lesser figure counts.
Duties of limited length (cranking) are judged by cable-short-duty, not here.
)",
    .subjects = rated_cables,
    .judge = judge,
};

} // namespace stoutloom::check
