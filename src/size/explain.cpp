#include "size/explain.h"

#include "size/landing_rows.h"

#include <algorithm>
#include <numeric>

namespace stoutloom::size {
namespace {

std::string name_of(const check::Judgement& judgement) {
    return std::string(judgement.rule->slug) +
           (judgement.subjects.empty() ? "" : " " + judgement.subjects.front());
}

/// Rules about what is lost on a way, or carried.
bool is_sum(std::string_view rule) {
    constexpr std::string_view sums[] = {"charging-drop",      "cranking-drop",  "consumer-drop",
                                         "limit-drop",         "mass-shift",     "signal-return",
                                         "incidental-current", "cable-ampacity", "return-loop"};
    return std::find(std::begin(sums), std::end(sums), rule) != std::end(sums);
}

} // namespace

bool Explainer::bad(const std::vector<Range>& box, const Proof& proof, std::string& why) {
    Open open;
    for (const Range& range : box)
        open.push_back(((std::uint64_t{2} << range.high) - 1) & ~((std::uint64_t{1} << range.low) - 1));
    ++effort_.proofs;
    std::string found;
    if (!proof(open, found))
        return false;
    why = std::move(found);
    return true;
}

/// Frees as many of these choices altogether as the proof allows, half by half.
void Explainer::free_some(std::vector<Range>& box, std::size_t begin, std::size_t end,
                          const std::vector<std::size_t>& order, const Proof& proof, std::string& why) {
    if (begin == end)
        return;
    std::vector<Range> wider = box;
    for (std::size_t i = begin; i < end; ++i)
        wider[order[i]] = {order[i], 0, choices_.list[order[i]].options.size() - 1};
    if (bad(wider, proof, why)) {
        box = std::move(wider);
        return;
    }
    if (end - begin == 1) {
        widen(box, order[begin], proof, why);
        return;
    }
    const std::size_t middle = begin + (end - begin) / 2;
    free_some(box, begin, middle, order, proof, why);
    free_some(box, middle, end, order, proof, why);
}

/// All smaller options as well, or all larger ones; then as far the other way as goes.
void Explainer::widen(std::vector<Range>& box, std::size_t variable, const Proof& proof, std::string& why) {
    const std::size_t last = choices_.list[variable].options.size() - 1;
    const auto bad_with = [&](Range range) {
        std::vector<Range> wider = box;
        wider[variable] = range;
        if (!bad(wider, proof, why))
            return false;
        box = std::move(wider);
        return true;
    };
    const Range own = box[variable];
    if (own.low > 0)
        bad_with({variable, 0, own.high});
    while (box[variable].high < last && bad_with({variable, box[variable].low, box[variable].high + 1})) {
    }
    while (box[variable].low > 0 && bad_with({variable, box[variable].low - 1, box[variable].high})) {
    }
}

std::optional<Row> Explainer::by_proof(const Assignment& assignment, const Proof& proof, bool backwards) {
    std::vector<Range> box;
    for (std::size_t i = 0; i < assignment.size(); ++i)
        box.push_back({i, assignment[i], assignment[i]});
    std::string why;
    if (!bad(box, proof, why))
        return std::nullopt;
    std::vector<std::size_t> order(assignment.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    if (backwards)
        std::reverse(order.begin(), order.end());
    free_some(box, 0, order.size(), order, proof, why);
    return row_against(variables_, box, why);
}

/// A landing's finding hangs on the sizes of its studs and lugs and the sections of its cables alone.
std::optional<Row> Explainer::by_landing(const Judged& judged, const check::Judgement& obstacle,
                                         const Assignment& assignment) const {
    if (obstacle.rule->slug != "keyed-landing")
        return std::nullopt;
    for (const check::LandingVerdict& landing : judged.facts.landings) {
        if (landing.id != obstacle.subjects.front())
            continue;
        const LandingChoices choices = landing_choices(landing, choices_);
        if (choices.fittings.empty())
            return std::nullopt;
        std::vector<Range> box;
        for (const auto* list : {&choices.fittings, &choices.sections})
            for (const std::size_t i : *list)
                box.push_back({i, assignment[i], assignment[i]});
        return row_against(variables_, box, name_of(obstacle));
    }
    return std::nullopt;
}

/// What a single failure burns: the box in which it does so for certain.
std::vector<Row> Explainer::by_failures(const Judged& judged, const Assignment& assignment) {
    std::vector<Row> rows;
    for (const FailureFound& found : judged.failures) {
        const Proof follows = [&](const Open& open, std::string& why) {
            why = "single-failure " + found.part;
            return failures_.follows(found.part, found.consequence, open);
        };
        if (auto row = by_proof(assignment, follows, false)) {
            ++effort_.by_bounds;
            rows.push_back(std::move(*row));
        }
    }
    return rows;
}

std::vector<Row> Explainer::rows_against(const Judged& judged, const Assignment& assignment) {
    std::vector<Row> rows;
    for (const check::Judgement* judgement : judged.obstacles)
        if (auto row = by_landing(judged, *judgement, assignment)) {
            ++effort_.by_rule;
            rows.push_back(std::move(*row));
        }
    for (const check::Judgement* judgement : judged.obstacles) {
        if (!StaticRules::knows(judgement->rule->slug))
            continue;
        const auto box = rules_.bad_box(*judgement, assignment);
        if (!box)
            continue;
        ++effort_.by_rule;
        auto sum = rules_.return_row(*judgement, *box);
        if (sum && !holds(*sum, assignment))
            rows.push_back(std::move(*sum));
        else
            rows.push_back(row_against(variables_, *box, name_of(*judgement)));
    }
    for (Row& row : by_failures(judged, assignment))
        rows.push_back(std::move(row));
    std::set<std::string> broken;
    for (const check::Judgement* judgement : judged.obstacles)
        if (is_sum(judgement->rule->slug))
            broken.insert(name_of(*judgement));
    for (Row& row : prover_.rows_at(assignment, std::move(broken))) {
        ++effort_.by_sums;
        rows.push_back(std::move(row));
    }
    if (!rows.empty())
        return rows;
    const Proof by_bounds = [&](const Open& open, std::string& why) {
        Bounds bounds = prover_.prove(open, false);
        why = std::move(bounds.why);
        return !bounds.possible;
    };
    for (const bool backwards : {false, true})
        if (auto row = by_proof(assignment, by_bounds, backwards)) {
            ++effort_.by_bounds;
            rows.push_back(std::move(*row));
        }
    if (!rows.empty())
        return rows;
    ++effort_.single;
    std::vector<Range> alone;
    for (std::size_t i = 0; i < assignment.size(); ++i)
        alone.push_back({i, assignment[i], assignment[i]});
    rows.push_back(row_against(variables_, alone, name_of(*judged.obstacles.front())));
    return rows;
}

} // namespace stoutloom::size
