#include "size/account.h"

#include "size/fittings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::size {
namespace {

Figure figure_of(const check::Judgement& judgement) {
    return {.rule = std::string(judgement.rule->slug),
            .subject = judgement.subjects.empty() ? std::string() : judgement.subjects.front(),
            .duty = judgement.duty,
            .unit = judgement.has_figures ? judgement.unit : std::string(),
            .computed = judgement.computed,
            .limit = judgement.limit,
            .message = judgement.message};
}

/// How far a figure is over its limit, as a share; a finding without figures comes first.
double excess(const Figure& figure) {
    if (figure.unit.empty() || figure.limit == 0)
        return 1e9;
    return std::abs(figure.computed - figure.limit) / std::abs(figure.limit);
}

/// A lug that is chosen by itself goes with its stud.
void lugs_along(const model::Harness& harness, const Choices& choices, std::size_t stud,
                Assignment& assignment) {
    for (const EndChoices& one : ends_with_choices(harness, choices)) {
        if (one.stud != stud || !one.lug)
            continue;
        const std::vector<Option>& lugs = choices.list[*one.lug].options;
        for (std::size_t o = lugs.size(); o-- > 0;)
            if (lugs[o].text == choices.list[stud].options[assignment[stud]].text)
                assignment[*one.lug] = o;
    }
}

void tell_smaller(Chosen& chosen, const model::Harness& harness, const Choices& choices, std::size_t i,
                  const Assignment& best, Judge& judge, const Judged& as_chosen) {
    if (best[i] == 0)
        return;
    Assignment smaller = best;
    --smaller[i];
    lugs_along(harness, choices, i, smaller);
    if (choices.list[i].kind == ChoiceKind::lug)
        return; // a lug's size is its stud's
    chosen.smaller_text = choices.list[i].options[smaller[i]].text;
    if (const std::string trouble = stock_trouble(harness, choices, smaller, i); !trouble.empty()) {
        chosen.smaller_breaks.push_back(
            {.rule = "stock", .subject = chosen.id, .duty = {}, .unit = {}, .message = trouble});
        return;
    }
    const auto judged = judge.judge(smaller);
    // What the check leaves to another rule to tell is not told here either.
    const bool told = std::any_of(judged->obstacles.begin(), judged->obstacles.end(),
                                  [](const auto* obstacle) { return obstacle->told_by.empty(); });
    for (const check::Judgement* obstacle : judged->obstacles)
        if (!told || obstacle->told_by.empty())
            chosen.smaller_breaks.push_back(figure_of(*obstacle));
    // The finding that is worst by share binds; own findings before those of others.
    std::stable_sort(chosen.smaller_breaks.begin(), chosen.smaller_breaks.end(),
                     [&](const Figure& a, const Figure& b) {
                         if ((a.subject == chosen.id) != (b.subject == chosen.id))
                             return a.subject == chosen.id;
                         return excess(a) > excess(b);
                     });
    for (const Figure& broken : chosen.smaller_breaks)
        for (const check::Judgement& judgement : as_chosen.record.judgements)
            if (judgement.rule->slug == broken.rule && !judgement.subjects.empty() &&
                judgement.subjects.front() == broken.subject && judgement.unit == broken.unit &&
                !judgement.limit_source.empty())
                chosen.binding.push_back(figure_of(judgement));
}

Chosen chosen_of(const model::Harness& harness, const Choice& choice, std::size_t option) {
    Chosen chosen{.kind = choice.kind,
                  .id = choice.id,
                  .text = choice.options[option].text,
                  .order_code = choice.options[option].order_code,
                  .value = choice.options[option].value,
                  .before = {},
                  .left_out = choice.left_out,
                  .smaller_text = {},
                  .smaller_breaks = {},
                  .binding = {},
                  .copper_kg = 0,
                  .span = {}};
    if (choice.kind == ChoiceKind::section) {
        const model::Cable& cable = harness.cables[choice.index];
        chosen.span = cable.section_span;
        if (!cable.automatic)
            chosen.before = cable.section_mm2.text;
        model::Cable sized = cable;
        sized.section_mm2.value = choice.options[option].value;
        chosen.copper_kg = copper_kg(sized);
    } else if (choice.kind == ChoiceKind::rating) {
        const auto& link = std::get<model::FuseLink>(harness.devices[choice.index].data);
        chosen.span = link.rating_a.span;
        if (!link.automatic)
            chosen.before = link.rating_a.text;
    } else {
        chosen.span = choice.kind == ChoiceKind::stud ? harness.terminals[choice.index].stud_span
                                                      : end_at(harness, choice.index).lug_span;
    }
    return chosen;
}

std::vector<LugToOrder> lugs_to_order(const model::Harness& harness, const Choices& choices,
                                      const model::Harness& made) {
    std::vector<LugToOrder> lugs;
    for (const EndChoices& one : ends_with_choices(harness, choices)) {
        const model::Cable& cable = made.cables[one.end / 2];
        const model::CableEnd& end = end_at(made, one.end);
        const model::StockLug* listed = listed_lug(made, cable.section_mm2.value, end.lug);
        if (listed != nullptr)
            lugs.push_back({.cable = cable.id,
                            .at = made.terminal(end.at).address,
                            .text = base::shown_section(listed->section_mm2) + " " + listed->stud,
                            .order_code = listed->ordering.code,
                            .count = cable.parallel});
    }
    return lugs;
}

} // namespace

Sizing account_of(const model::Harness& harness, const Choices& choices, const Solution& solution,
                  const SizeOptions& options, Judge& judge) {
    Sizing sizing;
    sizing.assignment = *solution.best;
    sizing.by_price = choices.by_price;
    sizing.lugs_priced = choices.lugs_priced;
    sizing.lugs_unpriced = choices.lugs_unpriced;
    if (choices.by_price)
        sizing.price = std::round(static_cast<double>(solution.cost) / cost_scale) / 100;
    sizing.proven = solution.proof.complete;
    sizing.proof = solution.proof;
    sizing.effort = solution.effort;
    sizing.stock = stock_source(harness);
    const auto as_chosen = judge.judge(*solution.best);
    for (const check::Judgement& judgement : as_chosen->record.judgements)
        if (counts(judgement)) // what is left of a good choice's findings is what stands
            sizing.standing.push_back(
                {std::string(judgement.rule->slug),
                 judgement.subjects.empty() ? std::string() : judgement.subjects.front(), judgement.message});
        else if (judgement.rule->slug == acceptance_unneeded && judgement.verdict == check::Verdict::fails)
            sizing.unneeded.push_back(judgement.subjects.front());
    for (std::size_t i = 0; i < choices.list.size(); ++i) {
        sizing.chosen.push_back(chosen_of(harness, choices.list[i], (*solution.best)[i]));
        sizing.copper_kg += sizing.chosen.back().copper_kg;
        tell_smaller(sizing.chosen.back(), harness, choices, i, *solution.best, judge, *as_chosen);
    }
    sizing.harness = as_chosen->harness;
    sizing.lugs = lugs_to_order(harness, choices, sizing.harness);
    if (options.sensitivity)
        sizing.sensitivity = sensitivity_of(as_chosen->harness, choices, judge);
    return sizing;
}

} // namespace stoutloom::size
