// The whole result for programs: keys and meaning after schemas/check.schema.json.
#include "report/report.h"

#include "check/balance.h"
#include "check/charging.h"
#include "check/short_duty.h"
#include "report/digest.h"
#include "report/faults_json.h"
#include "report/json_words.h"

#include <nlohmann/json.hpp>

#include <charconv>
#include <cmath>

namespace stoutloom::report {
namespace {

using Json = nlohmann::ordered_json;

// Ten significant digits: far below the solver's own tolerance, and free of the last bits in which machines
// differ.
Json number(double value) {
    if (!std::isfinite(value))
        return nullptr;
    const double rounded = rounded_for_json(value);
    return rounded;
}

Json judgement_json(const Checked& checked, const check::Judgement& judgement) {
    const base::Position at = checked.source->position(judgement.span.begin);
    Json one;
    one["rule"] = judgement.rule->slug;
    one["severity"] = check::severity_name(judgement.severity);
    one["verdict"] = verdict_word(judgement.verdict);
    one["subjects"] = judgement.subjects;
    one["duty"] = judgement.duty.empty() ? Json(nullptr) : Json(judgement.duty);
    one["message"] = judgement.message;
    one["line"] = at.line;
    one["column"] = at.column;
    one["computed"] = judgement.has_figures ? number(judgement.computed) : Json(nullptr);
    one["limit"] = judgement.has_figures ? number(judgement.limit) : Json(nullptr);
    one["at_worst"] = judgement.at_worst;
    one["nominal"] = judgement.nominal ? number(*judgement.nominal) : Json(nullptr);
    one["unit"] = judgement.unit;
    one["limit_source"] = judgement.limit_source;
    Json values = Json::object();
    for (const auto& [key, value] : judgement.values)
        values[key] = number(value);
    one["values"] = std::move(values);
    one["cure"] = judgement.cure.empty() ? std::string(judgement.rule->cure) : judgement.cure;
    one["accepted"] = judgement.accepted ? Json(judgement.accepted_reason) : Json(nullptr);
    return one;
}

Json cables_in(const model::Harness& harness, const solve::OperatingPoint& point) {
    Json all = Json::array();
    for (std::size_t i = 0; i < harness.cables.size(); ++i) {
        const solve::CableState& state = point.cables[i];
        all.push_back({{"id", harness.cables[i].id},
                       {"current_a", number(state.current_a)},
                       {"drop_v", number(state.drop_v)},
                       {"temperature_c", state.runaway ? Json(nullptr) : number(state.conductor_degc)},
                       {"resistance_ohm", number(state.resistance_ohm)}});
    }
    return all;
}

Json devices_in(const model::Harness& harness, const solve::OperatingPoint& point) {
    Json all = Json::array();
    for (std::size_t i = 0; i < harness.devices.size(); ++i) {
        const solve::DeviceState& state = point.devices[i];
        all.push_back({{"id", harness.devices[i].id},
                       {"kind", model::kind_name(harness.devices[i].kind())},
                       {"current_a", number(state.current_a)},
                       {"voltage_v", number(state.volts_v)},
                       {"running", state.running}});
    }
    return all;
}

Json optional_number(const std::optional<double>& value) {
    return value ? number(*value) : Json(nullptr);
}

Json charging_json(const model::Harness& harness, const check::Facts& facts, model::DutyIndex duty) {
    Json all = Json::array();
    for (const check::Charging& told : check::charging(facts))
        if (told.duty == duty)
            all.push_back({{"id", harness.device(told.unit).id},
                           {"output_a", number(told.output_a)},
                           {"ceiling_a", number(told.ceiling_a)},
                           {"set_point_v", number(told.set_point_v)},
                           {"shaft_rpm", optional_number(told.shaft_rpm)},
                           {"senses_at", told.senses_at},
                           {"remote_sense", told.remote_sense},
                           {"own_v", number(told.own_v)},
                           {"battery", told.battery ? Json(harness.device(*told.battery).id) : Json(nullptr)},
                           {"battery_v", told.battery ? number(told.battery_v) : Json(nullptr)}});
    return all;
}

Json balance_json(const model::Harness& harness, const check::Facts& facts, model::DutyIndex duty) {
    Json all = Json::array();
    for (const check::BatteryBalance& told : check::battery_balances(facts))
        if (told.duty == duty)
            all.push_back({{"id", harness.device(told.battery).id},
                           {"net_a", number(told.net_a)},
                           {"hours_to_half", optional_number(told.hours_to_half)},
                           {"taken_ah", number(told.taken_ah)},
                           {"recovery_idle_s", optional_number(told.recovery_idle_s)},
                           {"recovery_best_s", optional_number(told.recovery_best_s)}});
    return all;
}

/// A duty at one of the worst cases of ageing and tolerance.
Json at_worst_json(const model::Harness& harness, const std::shared_ptr<const check::Facts>& worst,
                   model::DutyIndex duty) {
    if (!worst)
        return nullptr;
    const check::Facts& facts = *worst;
    const check::SolvedDuty& solved = facts.duties.at(model::at(duty));
    Json one;
    one["solved"] = solved.point.has_value();
    one["reason"] = solved.unsolved ? Json(solved.unsolved->message) : Json(nullptr);
    one["cables"] = solved.point ? cables_in(harness, *solved.point) : Json::array();
    one["devices"] = solved.point ? devices_in(harness, *solved.point) : Json::array();
    one["charging"] = charging_json(harness, facts, duty);
    one["batteries"] = balance_json(harness, facts, duty);
    return one;
}

Json duty_json(const Checked& checked, const check::SolvedDuty& solved) {
    const model::Harness& harness = *checked.harness;
    const model::Duty& duty = harness.duty(solved.duty);
    Json one;
    one["id"] = duty.id;
    one["label"] = duty.label;
    one["solved"] = solved.point.has_value();
    one["reason"] = solved.unsolved ? Json(solved.unsolved->message) : Json(nullptr);
    one["nodes"] = Json::array();
    one["cables"] = solved.point ? cables_in(harness, *solved.point) : Json::array();
    one["devices"] = solved.point ? devices_in(harness, *solved.point) : Json::array();
    one["incidentals"] = Json::array();
    one["charging"] = charging_json(harness, *checked.facts, solved.duty);
    one["batteries"] = balance_json(harness, *checked.facts, solved.duty);
    one["at_worst"] = at_worst_json(harness, checked.facts->at_worst, solved.duty);
    one["at_least_charge"] = at_worst_json(harness, checked.facts->at_least_charge, solved.duty);
    if (!solved.point)
        return one;
    for (std::size_t i = 0; i < harness.terminals.size(); ++i)
        one["nodes"].push_back(
            {{"id", harness.terminals[i].address}, {"voltage_v", number(solved.point->terminal_v[i])}});
    for (std::size_t i = 0; i < harness.incidentals.size(); ++i)
        one["incidentals"].push_back(
            {{"id", harness.incidentals[i].id}, {"current_a", number(solved.point->incidental_a.at(i))}});
    return one;
}

// The resistance stud to stud is told in the worst duty; without one, in the first duty that has an answer.
double resistance_of(const Checked& checked, std::size_t cable) {
    const check::Facts& facts = *checked.facts;
    const check::WorstDuty& worst = facts.worst.at(cable);
    if (worst.duty && facts.duties.at(model::at(*worst.duty)).point)
        return facts.duties[model::at(*worst.duty)].point->cables.at(cable).resistance_ohm;
    for (const check::SolvedDuty& solved : facts.duties)
        if (solved.point)
            return solved.point->cables.at(cable).resistance_ohm;
    return std::nan("");
}

Json ids_json(const model::Harness& harness, const std::vector<model::DeviceIndex>& devices) {
    Json ids = Json::array();
    for (const model::DeviceIndex device : devices)
        ids.push_back(harness.device(device).id);
    return ids;
}

Json worst_json(const model::Harness& harness, const check::WorstDuty& worst) {
    if (!worst.duty)
        return nullptr;
    return {{"duty", harness.duty(*worst.duty).id},
            {"current_a", number(worst.current_a)},
            {"temperature_c", worst.runaway ? Json(nullptr) : number(worst.temperature_degc)},
            {"only_on", worst.running ? ids_json(harness, *worst.running) : Json(nullptr)}};
}

/// Over every choice of what is switched on, one entry per duty that leaves a choice.
Json combinations_json(const model::Harness& harness, const check::Facts& facts, std::size_t cable) {
    Json all = Json::array();
    for (const check::CombinedDuty& combined : facts.combined) {
        Json one{{"duty", harness.duty(combined.duty).id},
                 {"reason", combined.unsolved ? Json(combined.unsolved->message) : Json(nullptr)}};
        if (combined.worst) {
            const solve::WorstCurrent& current = combined.worst->cables.at(cable);
            one["bound_a"] = number(current.bound_a);
            one["witness_a"] = number(std::abs(current.witness_a));
            one["witness_temperature_c"] = current.runaway ? Json(nullptr) : number(current.witness_degc);
            one["attained"] = current.attained();
            one["witness_on"] = ids_json(harness, current.running);
        }
        all.push_back(std::move(one));
    }
    return all;
}

Json short_duties_json(const model::Harness& harness, const check::Facts& facts, std::size_t cable) {
    const auto index = static_cast<model::CableIndex>(cable);
    Json all = Json::array();
    for (const check::ShortDutyHeat& heat : check::short_duty_heat(facts, index))
        all.push_back({{"duty", harness.duty(heat.duty).id},
                       {"current_a", number(heat.current_a)},
                       {"duration_s", number(heat.duration_s)},
                       {"start_c", number(heat.start_degc)},
                       {"peak_c", number(heat.peak_degc)},
                       {"time_to_class_s", optional_number(heat.time_to_class_s)},
                       {"allowed_duty_fraction", number(check::allowed_fraction(facts, index, heat))}});
    return all;
}

Json cable_json(const Checked& checked, std::size_t i) {
    const model::Harness& harness = *checked.harness;
    const model::Cable& cable = harness.cables[i];
    const check::Facts& worst = checked.facts->at_worst ? *checked.facts->at_worst : *checked.facts;
    const solve::CableRating& rating = checked.facts->ratings.at(i);
    Json one;
    one["id"] = cable.id;
    one["section_mm2"] = cable.automatic ? Json(nullptr) : number(cable.section_mm2.value);
    one["parallel"] = cable.parallel;
    one["length_m"] = number(cable.length_m.value);
    one["insulation_class_c"] = number(cable.insulation.class_degc);
    one["resistance_ohm"] = number(resistance_of(checked, i));
    one["ampacity_a"] = number(rating.ampacity_a);
    one["model_usable_a"] = number(rating.model_usable_a);
    one["table_a"] = rating.table ? number(rating.table->usable_a) : Json(nullptr);
    one["usable_a"] = number(rating.usable_a);
    one["nominal"] = worst_json(harness, checked.facts->worst.at(i));
    one["worst"] = worst_json(harness, check::worst_duty(*checked.facts, static_cast<model::CableIndex>(i)));
    one["every_combination"] = combinations_json(harness, worst, i);
    one["short_duties"] = short_duties_json(harness, worst, i);
    return one;
}

Json refusal_json(const Checked& checked) {
    Json one;
    one["file"] = checked.source->path();
    one["verdict"] = "unreadable";
    one["refusals"] = Json::array();
    for (const base::Diagnostic& mistake : *checked.mistakes) {
        const base::Position at = checked.source->position(mistake.span.begin);
        one["refusals"].push_back({{"refusal", mistake.slug},
                                   {"message", mistake.message},
                                   {"mend", mistake.mend},
                                   {"line", at.line},
                                   {"column", at.column}});
    }
    return one;
}

Json head(const Checked& checked) {
    const model::Harness& harness = *checked.harness;
    const Tally count = tally(checked);
    Json one;
    one["file"] = checked.source->path();
    one["sha256"] = sha256_hex(checked.source->text());
    if (!harness.variant.empty())
        one["variant"] = harness.variant;
    one["title"] = harness.title;
    one["drawing"] = harness.drawing;
    one["revision"] = harness.revision;
    one["nominal_v"] = number(harness.nominal_v.value);
    one["profile"] = harness.profile == model::Profile::boat ? "boat" : "vehicle";
    one["installed_margin_fraction"] = number(model::limit_in_force(harness, "installed-margin").value);
    one["verdict"] = count.clean() ? "no-errors" : "errors";
    one["counts"] = {{"errors", count.errors},
                     {"warnings", count.warnings},
                     {"notes", count.notes},
                     {"judgements", count.judgements},
                     {"passes", count.passes}};
    return one;
}

Json result_json(const Checked& checked) {
    if (checked.mistakes != nullptr)
        return refusal_json(checked);
    Json one = head(checked);
    one["findings"] = Json::array();
    for (const check::Judgement& judgement : findings(checked))
        one["findings"].push_back(judgement_json(checked, judgement));
    one["judgements"] = Json::array();
    for (const check::Judgement& judgement : checked.record->judgements)
        one["judgements"].push_back(judgement_json(checked, judgement));
    one["duties"] = Json::array();
    for (const check::SolvedDuty& solved : checked.facts->duties)
        one["duties"].push_back(duty_json(checked, solved));
    one["cables"] = Json::array();
    for (std::size_t i = 0; i < checked.harness->cables.size(); ++i)
        one["cables"].push_back(cable_json(checked, i));
    one["returns"] = Json::parse(returns_json(checked));
    one["single_failures"] = Json::parse(failures_json(checked));
    one["dirty_joints"] = Json::parse(dirty_joints_json(checked));
    one["prospective"] = Json::parse(prospective_json(checked));
    one["assumptions"] = Json::array();
    for (const model::Assumption& taken : checked.harness->assumptions)
        one["assumptions"].push_back(
            {{"subject", taken.subject}, {"what", taken.what}, {"reason", taken.reason}});
    one["not_checked"] = not_checked();
    one["cautions"] = cautions();
    return one;
}

Json with_program(const Json& body) {
    Json one;
    one["program"] = "stoutloom";
    one["version"] = STOUTLOOM_VERSION;
    one.update(body);
    return one;
}

} // namespace

double rounded_for_json(double value) {
    char digits[32];
    const auto written =
        std::to_chars(digits, digits + sizeof digits, value, std::chars_format::scientific, 9);
    double rounded = value;
    std::from_chars(digits, written.ptr, rounded);
    return rounded == 0 ? 0 : rounded;
}

std::string_view verdict_word(check::Verdict verdict) {
    switch (verdict) {
    case check::Verdict::passes:
        return "passes";
    case check::Verdict::fails:
        return "fails";
    case check::Verdict::cannot_tell:
        return "cannot-tell";
    }
    return "cannot-tell";
}

std::string check_json(const std::vector<Checked>& checked) {
    Json all = Json::array();
    for (const Checked& one : checked)
        all.push_back(with_program(result_json(one)));
    const Json& out = checked.size() == 1 ? all.front() : all;
    return out.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace stoutloom::report
