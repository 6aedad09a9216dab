// The whole result for programs: keys and meaning after schemas/check.schema.json.
#include "report/report.h"

#include "report/digest.h"
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

Json duty_json(const Checked& checked, const check::SolvedDuty& solved) {
    const model::Harness& harness = *checked.harness;
    const model::Duty& duty = harness.duty(solved.duty);
    Json one;
    one["id"] = duty.id;
    one["label"] = duty.label;
    one["solved"] = solved.point.has_value();
    one["reason"] = solved.unsolved ? Json(solved.unsolved->message) : Json(nullptr);
    one["nodes"] = Json::array();
    one["cables"] = Json::array();
    one["devices"] = Json::array();
    one["incidentals"] = Json::array();
    if (!solved.point)
        return one;
    for (std::size_t i = 0; i < harness.terminals.size(); ++i)
        one["nodes"].push_back(
            {{"id", harness.terminals[i].address}, {"voltage_v", number(solved.point->terminal_v[i])}});
    for (std::size_t i = 0; i < harness.cables.size(); ++i) {
        const solve::CableState& state = solved.point->cables[i];
        one["cables"].push_back(
            {{"id", harness.cables[i].id},
             {"current_a", number(state.current_a)},
             {"drop_v", number(state.drop_v)},
             {"temperature_c", state.runaway ? Json(nullptr) : number(state.conductor_degc)},
             {"resistance_ohm", number(state.resistance_ohm)}});
    }
    for (std::size_t i = 0; i < harness.devices.size(); ++i) {
        const solve::DeviceState& state = solved.point->devices[i];
        one["devices"].push_back({{"id", harness.devices[i].id},
                                  {"kind", model::kind_name(harness.devices[i].kind())},
                                  {"current_a", number(state.current_a)},
                                  {"voltage_v", number(state.volts_v)},
                                  {"running", state.running}});
    }
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

Json cable_json(const Checked& checked, std::size_t i) {
    const model::Cable& cable = checked.harness->cables[i];
    const check::WorstDuty& worst = checked.facts->worst.at(i);
    const solve::CableRating& rating = checked.facts->ratings.at(i);
    Json one;
    one["id"] = cable.id;
    one["section_mm2"] = cable.automatic ? Json(nullptr) : number(cable.section_mm2.value);
    one["parallel"] = cable.parallel;
    one["length_m"] = number(cable.length_m.value);
    one["insulation_class_c"] = number(cable.insulation.class_degc);
    one["resistance_ohm"] = number(resistance_of(checked, i));
    one["ampacity_a"] = number(rating.ampacity_a);
    one["usable_a"] = number(rating.usable_a);
    one["worst"] = nullptr;
    if (worst.duty)
        one["worst"] = {{"duty", checked.harness->duty(*worst.duty).id},
                        {"current_a", number(worst.current_a)},
                        {"temperature_c", worst.runaway ? Json(nullptr) : number(worst.temperature_degc)}};
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
    one["assumptions"] = Json::array();
    for (const model::Assumption& taken : checked.harness->assumptions)
        one["assumptions"].push_back(
            {{"subject", taken.subject}, {"what", taken.what}, {"reason", taken.reason}});
    one["not_checked"] = not_checked();
    one["cautions"] = cautions();
    return one;
}

Json with_program(Json body) {
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
