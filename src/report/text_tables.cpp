#include "report/text_tables.h"

#include "check/short_duty.h"
#include "report/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

namespace stoutloom::report {
namespace {

using base::Rounding;
using base::shown_down;
using base::shown_up;

// Under half a milliampere a battery is at rest: the solver's own leaks are of that size.
constexpr double leak_a = 0.0005;

struct Figures {
    std::string section, length, temperature;
};

std::string temperature_words(double degc, bool us) {
    if (!std::isfinite(degc))
        return "burns";
    return us ? shown_up(base::fahrenheit(degc), 0, "degF") : shown_up(degc, 0, "degC");
}

// A US file is answered in US units; `both` puts the second system on a line of its own.
Figures metric_figures(const model::Cable& cable, double degc) {
    return {.section = section_words(cable),
            .length = cable.length_m.given ? shown_up(cable.length_m.value, 2, "m") : "?",
            .temperature = temperature_words(degc, false)};
}

Figures us_figures(const model::Cable& cable, double degc) {
    const bool gauge = !base::us_size_name(cable.section_mm2.value).empty();
    std::string section = gauge ? section_words(cable) : other_section_words(cable);
    if (cable.parallel > 1 && !gauge && !section.empty())
        section = fmt::format("{} x {}", cable.parallel, section);
    if (section.empty())
        section = section_words(cable);
    return {.section = section,
            .length = feet(cable.length_m.value),
            .temperature = temperature_words(degc, true)};
}

const solve::CableState* state_in(const check::Facts& facts, model::DutyIndex duty, model::CableIndex cable) {
    const check::SolvedDuty& solved = facts.duties.at(model::at(duty));
    return solved.point ? &solved.point->cables.at(model::at(cable)) : nullptr;
}

std::string time_words(double time_s) {
    if (time_s < 120)
        return shown_down(time_s, time_s < 10 ? 1 : 0, "s");
    return time_s < 7200 ? shown_down(time_s / 60, 0, "min") : shown_down(time_s / 3600, 1, "h");
}

// Duties of limited length that load the cable more than any all-day duty.
void short_duty_remarks(const Checked& checked, model::CableIndex index, Table& table) {
    const bool us = checked.harness->units == model::UnitSystem::us;
    const check::Facts& facts = checked.facts->at_worst ? *checked.facts->at_worst : *checked.facts;
    const double all_day_a = facts.worst.at(model::at(index)).current_a;
    for (const check::ShortDutyHeat& heat : check::short_duty_heat(facts, index)) {
        if (heat.current_a <= all_day_a * 1.001 || heat.current_a < 0.5)
            continue;
        const model::Duty& duty = checked.harness->duty(heat.duty);
        const solve::CableState& state = *state_in(facts, heat.duty, index);
        std::string remark =
            fmt::format("{} for {}: {}, drop {}, {} to {}", duty.id, shown_up(heat.duration_s, 0, "s"),
                        shown_up(heat.current_a, 1, "A"), shown_up(std::abs(state.drop_v), 3, "V"),
                        temperature_words(heat.start_degc, us), temperature_words(heat.peak_degc, us));
        remark += heat.time_to_class_s ? ", class after " + time_words(*heat.time_to_class_s)
                                       : ", class never reached";
        const double fraction = check::allowed_fraction(facts, index, heat);
        if (fraction < 1)
            remark += ", at most " + shown_down(100 * fraction, 0, "%") + " of the time";
        table.remark(remark);
    }
}

// The same cable at the end of its life and at every tolerance, over every choice of what is switched on.
void worst_remark(const Checked& checked, model::CableIndex index, Table& table) {
    if (!checked.facts->at_worst)
        return;
    const check::Facts& facts = *checked.facts->at_worst;
    const check::WorstDuty& worst = facts.worst.at(model::at(index));
    if (!worst.duty || worst.current_a < 0.05)
        return;
    const bool us = checked.harness->units == model::UnitSystem::us;
    const double usable_a = facts.ratings.at(model::at(index)).usable_a;
    std::string remark = fmt::format("at worst: {}", shown_up(worst.current_a, 1, "A"));
    if (usable_a > 0)
        remark += fmt::format(" ({})", shown_up(100 * worst.current_a / usable_a, 0, "%"));
    remark += ", " + (worst.runaway ? "burns" : temperature_words(worst.temperature_degc, us));
    // Where the duty's own choice is as bad, that is the plainer thing to say.
    const solve::CableState* state = state_in(facts, *worst.duty, index);
    const bool own_choice =
        !worst.running || (state != nullptr && std::abs(state->current_a) >= worst.current_a * 0.999);
    if (own_choice && worst.drop_v)
        remark += ", drop " + shown_up(*worst.drop_v, 3, "V");
    else if (own_choice && state != nullptr)
        remark += ", drop " + shown_up(std::abs(state->drop_v), 3, "V");
    remark += ", " + checked.harness->duty(*worst.duty).id;
    if (!own_choice) {
        std::vector<std::string> ids;
        for (const model::DeviceIndex consumer : *worst.running)
            ids.push_back(checked.harness->device(consumer).id);
        remark += ids.empty() ? " with nothing on" : " with only " + joined(ids, ", ") + " on";
    }
    double bound_a = 0;
    for (const check::CombinedDuty& combined : facts.combined)
        if (combined.worst)
            bound_a = std::max(bound_a, combined.worst->cables.at(model::at(index)).bound_a);
    if (bound_a > worst.current_a * 1.002)
        remark += fmt::format("; no choice exceeds {}", shown_up(bound_a, 1, "A"));
    table.remark(remark);
}

void cable_row(const Checked& checked, std::size_t i, Table& table) {
    const check::Facts& facts = *checked.facts;
    const model::Cable& cable = checked.harness->cables[i];
    const auto index = static_cast<model::CableIndex>(i);
    const check::WorstDuty& worst = facts.worst.at(i);
    const solve::CableRating& rating = facts.ratings.at(i);
    const bool us = checked.harness->units == model::UnitSystem::us;
    const Figures first =
        us ? us_figures(cable, worst.temperature_degc) : metric_figures(cable, worst.temperature_degc);
    std::string share = "-", drop = "-", load = "-", duty = "-", hottest = "-";
    if (worst.duty) {
        load = shown_up(worst.current_a, 1, "A");
        duty = worst.current_a < 0.05 ? "none all day" : checked.harness->duty(*worst.duty).id;
        hottest = first.temperature;
        share = rating.usable_a > 0 ? shown_up(100 * worst.current_a / rating.usable_a, 0, "%") : "over";
        if (const solve::CableState* state = state_in(facts, *worst.duty, index)) {
            drop = shown_up(std::abs(state->drop_v), 3, "V");
        }
        if (worst.runaway)
            hottest = "burns";
    }
    table.row({cable.id, first.section, first.length, insulation_words(cable.insulation), load,
               shown_down(rating.usable_a, 1, "A"), share, hottest, drop, duty});
    if (checked.harness->units == model::UnitSystem::both) {
        const Figures second = us_figures(cable, worst.temperature_degc);
        const bool gauge = !base::us_size_name(cable.section_mm2.value).empty();
        table.row({"", gauge ? other_section_words(cable) : second.section, second.length, "", "", "", "",
                   worst.duty && hottest != "burns" ? second.temperature : "", "", ""});
    }
    if (rating.table)
        table.remark(fmt::format("{} by the model, {} by the table: {}",
                                 shown_down(rating.model_usable_a, 1, "A"),
                                 shown_down(rating.table->usable_a, 1, "A"), rating.table->source));
    worst_remark(checked, index, table);
    short_duty_remarks(checked, index, table);
}

std::string state_words(const model::Device& device, const solve::DeviceState& state) {
    const bool battery = device.kind() == model::DeviceKind::battery;
    if (battery) {
        if (state.regime == solve::Regime::ceiling)
            return "charging, takes no more";
        if (state.current_a > leak_a)
            return "discharging";
        if (state.current_a < -leak_a)
            return "charging";
        return "at rest";
    }
    if (!state.running)
        return "not turning";
    switch (state.regime) {
    case solve::Regime::regulating:
        return "holds its set point";
    case solve::Regime::ceiling:
        return "at its ceiling";
    case solve::Regime::idle:
        return "gives nothing";
    case solve::Regime::free:
        return "";
    }
    return "";
}

std::string volts(double volts_v, Rounding rounding) {
    return std::isfinite(volts_v) ? base::shown(volts_v, 2, rounding, "V") : "floating";
}

// A charge lamp between the battery and the unit's exciter sees volts the wrong way round while the unit
// charges.
std::string consumer_state(const solve::DeviceState& state) {
    if (state.volts_v < 0)
        return "dark: between two live points";
    return state.regime == solve::Regime::idle ? "gets nothing" : "";
}

// A battery's current is told from its own side, rounded to the poorer charge; a drain in figures that show
// it.
std::string charge_words(double charge_a) {
    if (std::abs(charge_a) <= leak_a)
        return "0 A";
    return (charge_a > 0 ? "+" : "") + shown_down(charge_a, std::abs(charge_a) < 1 ? 3 : 1, "A");
}

struct Lowest {
    const solve::DeviceState* state = nullptr; // none: it runs in no solved duty
    model::DutyIndex duty{};
};
Lowest lowest_of(const check::Facts& facts, std::size_t device) {
    Lowest lowest;
    for (const check::SolvedDuty& solved : facts.duties) {
        if (!solved.point || !solved.point->devices.at(device).running)
            continue;
        const solve::DeviceState& state = solved.point->devices.at(device);
        if (lowest.state == nullptr || !(state.volts_v >= lowest.state->volts_v))
            lowest = {.state = &state, .duty = solved.duty};
    }
    return lowest;
}

// "all cables" instead of a line of ids.
std::string subjects_words(const model::Harness& harness, const std::vector<std::string>& subjects) {
    const bool all = subjects.size() > 3 && subjects.size() == harness.cables.size() &&
                     std::all_of(subjects.begin(), subjects.end(), [&](const std::string& id) {
                         return model::find_cable(harness, id).has_value();
                     });
    return all ? "all cables" : joined(subjects, ", ");
}

} // namespace

std::string cable_table(const Checked& checked) {
    Table table({{"cable"},
                 {"section"},
                 {"length", true},
                 {"class"},
                 {"load", true},
                 {"usable", true},
                 {"used", true},
                 {"hottest", true},
                 {"drop", true},
                 {"in duty"}});
    for (std::size_t i = 0; i < checked.harness->cables.size(); ++i)
        cable_row(checked, i, table);
    return table.text("  ");
}

namespace {

// Volts from the lowest to the highest, a battery's least charge, a charging unit's greatest output.
std::pair<std::string, std::string> source_at_worst(const Checked& checked, model::DutyIndex duty,
                                                    std::size_t device) {
    const bool battery = checked.harness->devices[device].kind() == model::DeviceKind::battery;
    std::optional<double> least_v, most_v, most_a; // current out of the source
    for (const check::Facts* facts : check::worst_cases(*checked.facts)) {
        const auto& point = facts->duties.at(model::at(duty)).point;
        if (!point)
            return {"-", "no answer"};
        const solve::DeviceState& state = point->devices.at(device);
        least_v = std::min(state.volts_v, least_v.value_or(state.volts_v));
        most_v = std::max(state.volts_v, most_v.value_or(state.volts_v));
        most_a = std::max(state.current_a, most_a.value_or(state.current_a));
    }
    if (!least_v)
        return {"-", "-"};
    std::string range = volts(*least_v, Rounding::down);
    if (*most_v - *least_v > 0.015)
        range = fmt::format("{} to {}", range.substr(0, range.find(' ')), volts(*most_v, Rounding::up));
    return {range, battery ? charge_words(-*most_a) : shown_up(*most_a, 1, "A")};
}

} // namespace

std::string source_table(const Checked& checked) {
    Table table({{"duty"},
                 {"source"},
                 {"volts", true},
                 {"at worst", true},
                 {"current", true},
                 {"at worst", true},
                 {"state"}});
    for (const check::SolvedDuty& solved : checked.facts->duties) {
        std::string duty = checked.harness->duty(solved.duty).id;
        if (!solved.point) {
            table.row({duty, "no operating point: see the findings"});
            continue;
        }
        for (std::size_t i = 0; i < checked.harness->devices.size(); ++i) {
            const model::Device& device = checked.harness->devices[i];
            const bool battery = device.kind() == model::DeviceKind::battery;
            if (!battery && device.kind() != model::DeviceKind::generator)
                continue;
            const solve::DeviceState& state = solved.point->devices.at(i);
            const std::string current =
                battery ? charge_words(-state.current_a) : shown_up(state.current_a, 1, "A");
            const auto [worst_volts, worst_current] = source_at_worst(checked, solved.duty, i);
            table.row({duty, device.id + " " + device.label,
                       volts(state.volts_v, battery ? Rounding::down : Rounding::nearest), worst_volts,
                       current, worst_current, state_words(device, state)});
            duty.clear();
        }
    }
    return table.text("  ");
}

std::string consumer_table(const Checked& checked) {
    Table table(
        {{"consumer"}, {"lowest", true}, {"in duty"}, {"at worst", true}, {"current", true}, {"state"}});
    for (std::size_t i = 0; i < checked.harness->devices.size(); ++i) {
        const model::Device& device = checked.harness->devices[i];
        if (device.kind() != model::DeviceKind::consumer && device.kind() != model::DeviceKind::starter)
            continue;
        const Lowest lowest = lowest_of(*checked.facts, i);
        const std::string name = device.id + " " + device.label;
        if (lowest.state == nullptr) {
            table.row({name, "-", "-", "-", "-", "runs in no duty"});
            continue;
        }
        std::optional<double> least_v;
        for (const check::Facts* facts : check::worst_cases(*checked.facts))
            if (const Lowest other = lowest_of(*facts, i); other.state != nullptr)
                least_v = least_v && *least_v <= other.state->volts_v ? least_v : other.state->volts_v;
        table.row({name, volts(lowest.state->volts_v, Rounding::down), checked.harness->duty(lowest.duty).id,
                   least_v ? volts(*least_v, Rounding::down) : "-",
                   shown_up(std::abs(lowest.state->current_a), 1, "A"), consumer_state(*lowest.state)});
    }
    return table.empty() ? std::string() : table.text("  ");
}

std::string defaults_table(const Checked& checked) {
    // The same default taken for many parts is one line.
    std::vector<std::pair<std::string, std::vector<std::string>>> lines;
    for (const model::Assumption& assumption : checked.harness->assumptions) {
        const std::string what = assumption.reason.empty()
                                     ? assumption.what
                                     : fmt::format("{} ({})", assumption.what, assumption.reason);
        auto line = std::find_if(lines.begin(), lines.end(), [&](const auto& l) { return l.first == what; });
        if (line == lines.end())
            line = lines.insert(lines.end(), {what, {}});
        if (!assumption.subject.empty())
            line->second.push_back(assumption.subject);
    }
    std::string all;
    for (const auto& [what, subjects] : lines)
        all += wrapped(
            subjects.empty() ? what : fmt::format("{}: {}", subjects_words(*checked.harness, subjects), what),
            100, "  ", "      ");
    return all.empty() ? "  none: the file says everything itself\n" : all;
}

std::string judgement_record(const Checked& checked) {
    std::string all;
    std::string_view slug;
    for (const check::Judgement& judgement : checked.record->judgements) {
        if (judgement.rule->slug != slug) {
            slug = judgement.rule->slug;
            all += wrapped(fmt::format("{}: {}", slug, judgement.rule->asks), 100, "  ", "      ");
        }
        const char* word = judgement.verdict == check::Verdict::passes  ? "passes"
                           : judgement.verdict == check::Verdict::fails ? "fails"
                                                                        : "cannot tell";
        std::string line = fmt::format("{} {}: {}", joined(judgement.subjects, " "), word, judgement.message);
        if (judgement.has_figures && std::isfinite(judgement.computed)) {
            const ShownPair pair = shown_pair(judgement.computed, judgement.limit, judgement.unit,
                                              judgement.verdict == check::Verdict::passes);
            line += fmt::format(" [{}, limit {}, {}]", pair.computed, pair.limit, judgement.limit_source);
        }
        all += wrapped(line, 100, "    ", "        ");
    }
    return all.empty() ? "  no rule was asked\n" : all;
}

} // namespace stoutloom::report
