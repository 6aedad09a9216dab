#include "size/solution.h"

#include "size/fittings.h"
#include "size/landing_rows.h"
#include "size/near_kit.h"
#include "size/requirements.h"
#include "solve/ratings.h"

#include <algorithm>
#include <iterator>
#include <limits>
#include <map>

namespace stoutloom::size {
namespace {

using model::DeviceKind;

/// What an all-day load of each fuse-link may be, read off the rule's own judgements with each rating in
/// turn.
void teach_link_limits(const model::Harness& harness, const Choices& choices, Judge& judge,
                       BoundsProver& prover) {
    std::size_t most = 1;
    std::map<std::string, std::size_t> choice_of;
    for (std::size_t i = 0; i < choices.list.size(); ++i) {
        if (choices.list[i].kind != ChoiceKind::rating)
            continue;
        choice_of[choices.list[i].id] = i;
        most = std::max(most, choices.list[i].options.size());
    }
    std::vector<std::vector<double>> limits(harness.devices.size());
    for (std::size_t step = 0; step < most; ++step) {
        // Cables at their largest: every duty can then be solved if any choice lets it.
        Assignment probe;
        for (const Choice& choice : choices.list)
            probe.push_back(choice.kind == ChoiceKind::rating ? std::min(step, choice.options.size() - 1)
                                                              : choice.options.size() - 1);
        const auto judged = judge.judge(probe);
        for (const check::Judgement& judgement : judged->record.judgements) {
            if (judgement.rule->slug != "fuse-continuous-load" || !judgement.has_figures ||
                judgement.accepted)
                continue;
            if (accepted(harness, judgement.rule->slug, judgement.subjects.front()))
                continue;
            const auto device = model::find_device(harness, judgement.subjects.front());
            const auto choice = choice_of.find(judgement.subjects.front());
            const std::size_t option = choice == choice_of.end() ? 0 : probe[choice->second];
            auto& list = limits[model::at(*device)];
            if (list.size() <= option)
                list.resize(option + 1, std::numeric_limits<double>::infinity());
            list[option] = judgement.limit;
        }
    }
    for (std::size_t d = 0; d < limits.size(); ++d)
        if (!limits[d].empty())
            prover.set_link_limits(d, std::move(limits[d]));
}

/// Rules whose removal alone would not free the kit are left out; what remains is a smallest conflict.
std::vector<std::string> conflict_of_bounds(BoundsProver& prover, const Open& open) {
    std::set<std::string> left_out;
    std::vector<std::string> needed;
    for (const std::string& rule : prover.rules()) {
        left_out.insert(rule);
        if (!prover.prove(open, false, left_out).possible)
            continue;
        left_out.erase(rule);
        needed.push_back(rule);
    }
    return needed;
}

/// The price of a lug hangs on section and size together: one more variable that is each such pair, and rows
/// that tie it to both.
void add_lugs(const model::Harness& harness, const Choices& choices, std::vector<Variable>& variables,
              std::vector<Row>& rows) {
    for (const LugCost& lug : lug_costs(harness, choices)) {
        const std::vector<Option>&sections = choices.list[lug.section].options,
              &sizes = choices.list[lug.size].options;
        Variable pair{.name = "a lug of " + choices.list[lug.section].id, .cost = {}};
        std::vector<std::pair<std::size_t, std::size_t>> parts;
        for (std::size_t x = 0; x < sections.size(); ++x)
            for (std::size_t s = 0; s < sizes.size(); ++s) {
                if (!lug_in_stock(harness, sections[x].value, *base::fastener_by_name(sizes[s].text)))
                    continue;
                pair.cost.push_back(lug.cost[x][s]);
                parts.emplace_back(x, s);
            }
        const auto tie = [&](std::size_t choice, auto part_of) {
            const std::size_t options = choices.list[choice].options.size();
            for (std::size_t o = 0; o < options; ++o) {
                std::vector<double> mine(options, 0.0), others;
                mine[o] = 1;
                for (const auto& part : parts)
                    others.push_back(part_of(part) == o ? 0 : 1);
                rows.push_back({.terms = {{choice, std::move(mine)}, {variables.size(), std::move(others)}},
                                .limit = 1,
                                .why = "lugs in stock " + choices.list[lug.section].id});
            }
        };
        tie(lug.section, [](const auto& part) { return part.first; });
        tie(lug.size, [](const auto& part) { return part.second; });
        variables.push_back(std::move(pair));
    }
}

std::vector<Standing> standing_of(const Judge& judge) {
    std::vector<Standing> list;
    for (const auto& [rule, subject] : judge.standing())
        list.push_back({rule, subject, judge.standing_message(rule, subject)});
    return list;
}

} // namespace

Solution solve_choices(const model::Harness& harness, const Choices& choices, const SearchLimits& limits,
                       Judge& judge) {
    Solution solution;
    solution.standing = standing_of(judge);
    const auto smallest = judge.judge(Assignment(choices.list.size(), 0));
    BoundsProver prover(harness, choices, smallest->facts);
    const StaticRules rules(harness, choices, smallest->facts);
    FailureProver without(harness, choices);
    Explainer explainer(choices, prover, rules, without);
    teach_link_limits(harness, choices, judge, prover);
    const Open everything = all_open(choices);
    Bounds bounds = prover.prove(everything, true);
    if (!bounds.possible) {
        solution.proof.complete = true;
        solution.conflict = conflict_of_bounds(prover, everything);
        if (solution.conflict.empty())
            solution.conflict.push_back(bounds.why);
        return solution;
    }
    for (std::vector<Row>& more :
         std::vector{stock_rows(harness, choices), landing_rows(harness, choices, smallest->facts.landings)})
        std::move(more.begin(), more.end(), std::back_inserter(bounds.rows));
    std::vector<Variable> variables = choices.variables();
    add_lugs(harness, choices, variables, bounds.rows);
    const auto of_choices = [&](Assignment assignment) {
        assignment.resize(choices.list.size()); // without what only carries the price of a lug
        return assignment;
    };
    SearchResult result = search(
        variables, std::move(bounds.rows),
        [&](const Assignment& all) {
            const Assignment assignment = of_choices(all);
            const auto judged = judge.judge(assignment);
            if (judged->good)
                return Answer{.good = true, .rows = {}};
            return Answer{.good = false, .rows = explainer.rows_against(*judged, assignment)};
        },
        limits);
    if (result.best)
        solution.best = of_choices(*result.best);
    solution.cost = result.cost;
    solution.proof = result.proof;
    if (!result.best && !result.proof.complete && result.last && limits.near_kit && !choices.lugs_priced) {
        solution.best = good_kit_near(choices, judge, of_choices(*result.last));
        if (solution.best)
            solution.cost = cost_of(choices.variables(), *solution.best);
    }
    solution.effort = explainer.effort();
    if (!result.best && result.proof.complete) {
        std::set<std::string> names;
        for (const std::size_t row : conflict(variables, result.rows))
            names.insert(result.rows[row].why);
        solution.conflict.assign(names.begin(), names.end());
    }
    return solution;
}

Automatic marked_or_too_small(const model::Harness& harness) {
    Automatic automatic = marked(harness);
    const check::Facts facts = check::gather(harness, check::Depth::healthy);
    const check::CheckRecord record = check::judge_all(facts);
    const auto add = [](auto& list, auto index) {
        if (std::find(list.begin(), list.end(), index) == list.end())
            list.push_back(index);
    };
    for (const check::Judgement& judgement : record.judgements) {
        const bool by_size = decided_by_choice(judgement.rule->slug) ||
                             judgement.rule->slug == "ground-return-weak" ||
                             judgement.rule->slug == "fuse-coordination";
        if (!counts(judgement) || !by_size)
            continue;
        for (const std::string& subject : judgement.subjects) {
            if (const auto cable = model::find_cable(harness, subject))
                add(automatic.cables, *cable);
            if (const auto device = model::find_device(harness, subject);
                device && harness.device(*device).kind() == DeviceKind::fuse_link)
                add(automatic.fuse_links, *device);
        }
    }
    std::sort(automatic.cables.begin(), automatic.cables.end());
    std::sort(automatic.fuse_links.begin(), automatic.fuse_links.end());
    return automatic;
}

void drop_smaller(const model::Harness& harness, Choices& choices) {
    for (Choice& choice : choices.list) {
        if (choice.kind != ChoiceKind::section || harness.cables[choice.index].automatic)
            continue;
        const double now_mm2 = harness.cables[choice.index].section_mm2.value;
        std::vector<Option> kept;
        for (const Option& option : choice.options)
            if (option.value >= now_mm2 * 0.9995)
                kept.push_back(option);
        if (!kept.empty())
            choice.options = std::move(kept);
    }
}

} // namespace stoutloom::size
