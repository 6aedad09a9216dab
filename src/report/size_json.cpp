// The sizing as JSON, numbers in SI with the unit in the key.
#include "report/json_words.h"
#include "report/size_text.h"

#include <nlohmann/json.hpp>

#include <cmath>

namespace stoutloom::report {
namespace {

using Json = nlohmann::ordered_json;

Json number(double value) {
    return std::isfinite(value) ? Json(rounded_for_json(value)) : Json(nullptr);
}

Json figures(const std::vector<size::Figure>& list) {
    Json all = Json::array();
    for (const size::Figure& figure : list) {
        Json one = {{"rule", figure.rule},
                    {"subject", figure.subject},
                    {"duty", figure.duty},
                    {"message", figure.message}};
        if (!figure.unit.empty()) {
            one["computed"] = number(figure.computed);
            one["limit"] = number(figure.limit);
            one["unit"] = figure.unit;
        }
        all.push_back(std::move(one));
    }
    return all;
}

Json proof(const size::SearchProof& proof, bool proven) {
    return {{"proven", proven},
            {"judged", proof.questions},
            {"rows_at_start", proof.rows_at_start},
            {"rows_learnt", proof.rows_learnt},
            {"trees", proof.trees},
            {"nodes", proof.effort.nodes},
            {"closed_by_bound", proof.effort.bounded},
            {"closed_by_row", proof.effort.impossible}};
}

Json standing(const std::vector<size::Standing>& list) {
    Json all = Json::array();
    for (const size::Standing& one : list)
        all.push_back({{"rule", one.rule}, {"subject", one.subject}, {"message", one.message}});
    return all;
}

std::string kind_word(size::ChoiceKind kind) {
    switch (kind) {
    case size::ChoiceKind::section:
        return "cable";
    case size::ChoiceKind::rating:
        return "fuse-link";
    case size::ChoiceKind::stud:
        return "stud";
    case size::ChoiceKind::lug:
        return "lug";
    }
    return {};
}

Json chosen(const size::Chosen& one) {
    const bool cable = one.kind == size::ChoiceKind::section;
    Json made = {{"id", one.id},
                 {"kind", kind_word(one.kind)},
                 {"text", one.text},
                 {"before", one.before.empty() ? "auto" : one.before},
                 {"order_code", one.order_code}};
    if (one.kind == size::ChoiceKind::rating)
        made["rating_a"] = number(one.value);
    if (cable) {
        made["section_mm2"] = number(one.value);
        made["copper_kg"] = number(one.copper_kg);
    }
    made["binding"] = figures(one.binding);
    made["next_smaller"] = {{"text", one.smaller_text}, {"breaks", figures(one.smaller_breaks)}};
    made["left_out"] = one.left_out;
    return made;
}

Json answer(const size::Sizing& sizing) {
    Json all = {{"found", true}, {"copper_kg", number(sizing.copper_kg)}, {"by_price", sizing.by_price}};
    if (sizing.by_price) {
        all["price"] = number(sizing.price);
        all["lugs_priced"] = sizing.lugs_priced;
        if (!sizing.lugs_unpriced.empty())
            all["lugs_unpriced"] = sizing.lugs_unpriced;
    }
    all["stock"] = sizing.stock;
    all["chosen"] = Json::array();
    for (const size::Chosen& one : sizing.chosen)
        all["chosen"].push_back(chosen(one));
    all["lugs"] = Json::array();
    for (const size::LugToOrder& lug : sizing.lugs)
        all["lugs"].push_back({{"cable", lug.cable},
                               {"at", lug.at},
                               {"text", lug.text},
                               {"order_code", lug.order_code},
                               {"count", lug.count}});
    all["proof"] = proof(sizing.proof, sizing.proven);
    all["standing"] = standing(sizing.standing);
    all["acceptances_unneeded"] = sizing.unneeded;
    all["sensitivity"] = Json::array();
    for (const size::Sensitivity& line : sizing.sensitivity)
        all["sensitivity"].push_back({{"what", line.what}, {"holds", line.holds}, {"breaks", line.breaks}});
    return all;
}

Json refusal(const size::NoKit& none) {
    Json all = {{"found", false},
                {"message", none.message},
                {"conflicts", none.conflicts},
                {"more_conflicts", none.more_conflicts},
                {"relaxations", Json::array()}};
    for (const size::Relaxation& one : none.relaxations)
        all["relaxations"].push_back(
            {{"what", one.what}, {"copper_kg", number(one.copper_kg)}, {"brings", one.brings}});
    all["relaxing_ended"] = none.relaxing_ended;
    all["proof"] = proof(none.proof, none.proven);
    all["standing"] = standing(none.standing);
    return all;
}

} // namespace

std::string size_json(const Sized& sized) {
    Json all = {{"program", "stoutloom"},
                {"file", sized.source->path()},
                {"variant", sized.harness->variant},
                {"title", sized.harness->title}};
    all.update(sized.sizing != nullptr ? answer(*sized.sizing) : refusal(*sized.none));
    if (!sized.others.empty()) {
        all["also_sets"] = Json::array();
        for (const size::OtherKit& other : sized.others)
            all["also_sets"].push_back({{"variant", other.variant},
                                        {"values", other.shared},
                                        {"good", other.good},
                                        {"state", other.state}});
    }
    return all.dump(2) + "\n";
}

std::string json_list(const std::vector<std::string>& documents) {
    if (documents.size() == 1)
        return documents.front();
    std::string all = "[";
    for (const std::string& one : documents)
        all += (all.size() > 1 ? ",\n" : "\n") + one.substr(0, one.find_last_not_of('\n') + 1);
    return all + "\n]\n";
}

} // namespace stoutloom::report
