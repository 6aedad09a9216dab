#include "report/faults_json.h"

#include "check/faults.h"
#include "check/returns.h"
#include "report/json_words.h"
#include "solve/shorts.h"

#include <nlohmann/json.hpp>

#include <cmath>

namespace stoutloom::report {
namespace {

using Json = nlohmann::ordered_json;

Json number(double value) {
    return std::isfinite(value) ? Json(rounded_for_json(value)) : Json(nullptr);
}

std::string_view harm_word(check::Harm harm) {
    switch (harm) {
    case check::Harm::incidental:
        return "incidental";
    case check::Harm::overheats:
        return "overheats";
    case check::Harm::overvoltage:
        return "overvoltage";
    case check::Harm::load_dump:
        return "load-dump";
    case check::Harm::lost_sense:
        return "lost-sense";
    case check::Harm::part:
        return "part";
    case check::Harm::link_opens:
        return "link-opens";
    case check::Harm::limit:
        return "limit";
    case check::Harm::dead:
        return "dead";
    }
    return "dead";
}

std::string_view grave_word(check::Grave grave) {
    return grave == check::Grave::burns ? "harm" : grave == check::Grave::told ? "care" : "none";
}

std::string_view dirty_word(check::DirtyKind kind) {
    switch (kind) {
    case check::DirtyKind::lug:
        return "lug";
    case check::DirtyKind::nut:
        return "nut";
    case check::DirtyKind::seat:
        return "seat";
    case check::DirtyKind::metal:
        return "metal";
    }
    return "lug";
}

std::string_view place_word(solve::ShortPlace place) {
    return place == solve::ShortPlace::from ? "from" : place == solve::ShortPlace::middle ? "middle" : "to";
}

auto shorts_of(const Checked& checked) {
    return checked.facts != nullptr && checked.facts->shorts ? *checked.facts->shorts
                                                             : solve::short_currents(*checked.harness);
}

std::string text_of(const Json& json) {
    return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

/// A figure and its limit exist together or not at all.
Json consequence_json(const check::Consequence& one) {
    const bool figures = one.limit > 0;
    return {{"harm", harm_word(one.harm)},
            {"subject", one.subject},
            {"duty", one.duty},
            {"value", figures ? number(one.value) : Json(nullptr)},
            {"limit", figures ? number(one.limit) : Json(nullptr)},
            {"unit", figures ? Json(one.unit) : Json(nullptr)},
            {"rule", one.rule.empty() ? Json(nullptr) : Json(one.rule)},
            {"at_worst", one.at_worst},
            {"message", one.words}};
}

} // namespace

std::string returns_json(const Checked& checked) {
    const model::Harness& harness = *checked.harness;
    Json all = Json::array();
    for (const check::ReturnShare& told : check::return_shares(*checked.facts)) {
        Json cables = Json::array(), incidentals = Json::array();
        for (const model::CableIndex cable : told.cables)
            cables.push_back(harness.cable(cable).id);
        for (const model::IncidentalIndex path : told.incidentals)
            incidentals.push_back(harness.incidentals[model::at(path)].id);
        all.push_back({{"id", harness.device(told.unit).id},
                       {"duty", harness.duty(told.duty).id},
                       {"current_a", number(told.current_a)},
                       {"copper_fraction", number(told.copper_fraction)},
                       {"mass_fraction", number(told.mass_fraction)},
                       {"incidental_fraction", number(told.incidental_fraction)},
                       {"shift_v", number(told.shift_v)},
                       {"cables", std::move(cables)},
                       {"incidentals", std::move(incidentals)}});
    }
    return text_of(all);
}

std::string failures_json(const Checked& checked) {
    if (!checked.facts->faults)
        return text_of(nullptr);
    const check::Faults& faults = *checked.facts->faults;
    Json told = Json::array();
    for (const check::FaultTold& fault : faults.told) {
        Json consequences = Json::array();
        for (const check::Consequence& one : fault.consequences)
            consequences.push_back(consequence_json(one));
        told.push_back({{"failed", fault.failed},
                        {"what", fault.what},
                        {"gravity", grave_word(fault.grave)},
                        {"like", fault.like.empty() ? Json(nullptr) : Json(fault.like)},
                        {"consequences", std::move(consequences)}});
    }
    return text_of({{"asked", faults.asked},
                    {"told", std::move(told)},
                    {"harmless", faults.harmless},
                    {"unsolved", faults.unsolved}});
}

std::string dirty_joints_json(const Checked& checked) {
    Json all = Json::array();
    if (!checked.facts->faults)
        return text_of(all);
    for (const check::DirtyTold& joint : check::dirty_joints_of(*checked.facts))
        all.push_back({{"kind", dirty_word(joint.kind)},
                       {"cable", joint.cable.empty() ? Json(nullptr) : Json(joint.cable)},
                       {"at", joint.at},
                       {"duty", joint.duty},
                       {"current_a", number(joint.current_a)},
                       {"heat_w", number(joint.heat_w)},
                       {"clean_heat_w", number(joint.healthy_heat_w)},
                       {"meter_v", number(joint.meter_v)},
                       {"clean_meter_v", number(joint.healthy_meter_v)}});
    return text_of(all);
}

std::string prospective_json(const Checked& checked) {
    const model::Harness& harness = *checked.harness;
    const auto shorts = shorts_of(checked);
    Json cables = Json::array(), terminals = Json::array(), in_reach = Json::array();
    if (shorts) {
        for (const solve::ShortCurrent& one : shorts->cables)
            cables.push_back({{"id", harness.cable(one.cable).id},
                              {"place", place_word(one.place)},
                              {"source", harness.device(one.source).id},
                              {"greatest_a", number(one.greatest_a)},
                              {"least_a", number(one.least_a)}});
        for (const solve::TerminalShort& one : shorts->terminals)
            terminals.push_back({{"id", harness.terminal(one.terminal).address},
                                 {"source", harness.device(one.source).id},
                                 {"greatest_a", number(one.greatest_a)},
                                 {"least_a", number(one.least_a)}});
        for (const solve::ReachShort& one : shorts->in_reach)
            in_reach.push_back(
                {{"stud", harness.terminal(one.between.stud).address},
                 {"part", harness.terminal(one.between.part).address},
                 {"path", one.between.path ? Json(harness.incidentals[model::at(*one.between.path)].id)
                                           : Json(nullptr)},
                 {"source", harness.device(one.source).id},
                 {"greatest_a", number(one.greatest_a)}});
    }
    return text_of({{"reason", shorts ? Json(nullptr) : Json(shorts.error().message)},
                    {"cables", std::move(cables)},
                    {"terminals", std::move(terminals)},
                    {"in_reach", std::move(in_reach)}});
}

} // namespace stoutloom::report
