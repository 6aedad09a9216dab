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

constexpr std::size_t most_conflicts = 4; // told; a workshop mends these first

/// Rules are left out one after another as long as the others still leave no choice; what cannot be left out
/// is a smallest conflict. Then without all of these the same again: a kit may be impossible for more than
/// one reason.
void tell_conflicts_of_bounds(BoundsProver& prover, const Open& open, Solution& solution) {
    std::set<std::string> told;
    do {
        std::set<std::string> left_out = told;
        Conflict needed;
        for (const std::string& rule : prover.rules()) {
            if (!left_out.insert(rule).second || !prover.prove(open, false, left_out).possible)
                continue;
            left_out.erase(rule);
            needed.push_back(rule);
        }
        if (needed.empty())
            return; // not by rules: by the laws of the network
        told.insert(needed.begin(), needed.end());
        solution.conflicts.push_back(std::move(needed));
        solution.more_conflicts = !prover.prove(open, false, told).possible;
    } while (solution.more_conflicts && solution.conflicts.size() < most_conflicts);
}

/// The same by rows. The search ended at the first conflict, so others may not have been met.
void tell_conflicts_of_rows(const std::vector<Variable>& variables, std::vector<Row> rows,
                            Solution& solution) {
    while (solution.conflicts.size() < most_conflicts) {
        std::set<std::string> names;
        for (const std::size_t row : conflict(variables, rows))
            names.insert(rows[row].why);
        if (names.empty())
            return;
        std::erase_if(rows, [&](const Row& row) { return names.contains(row.why); });
        solution.conflicts.emplace_back(names.begin(), names.end());
    }
    solution.more_conflicts = !conflict(variables, rows).empty();
}

/// The price of a lug hangs on section and size together: a variable more whose options are these pairs, and
/// rows that tie it to both. Where they are too many for one variable, several share them by section; each
/// has an option for "the section is another's".
void add_lug(const model::Harness& harness, const Choices& choices, const LugCost& lug,
             std::vector<Variable>& variables, std::vector<Row>& rows) {
    const std::vector<Option>&sections = choices.list[lug.section].options,
          &sizes = choices.list[lug.size].options;
    struct Part {
        std::optional<std::size_t> section, size; // none: another's
    };
    std::size_t x = 0;
    while (x < sections.size()) {
        Variable pair{.name = "a lug of " + choices.list[lug.section].id, .cost = {}};
        std::vector<Part> parts;
        const std::size_t first = x;
        for (; x < sections.size() && parts.size() + sizes.size() < most_options; ++x)
            for (std::size_t s = 0; s < sizes.size(); ++s) {
                if (!goes_in(harness, sections[x], *base::fastener_by_name(sizes[s].text)))
                    continue;
                pair.cost.push_back(lug.cost[x][s]);
                parts.push_back({x, s});
            }
        if (first > 0 || x < sections.size()) {
            pair.cost.push_back(0);
            parts.push_back({});
        }
        // With option `o` chosen, each part that does not `go` with it is out.
        const auto tie = [&](std::size_t choice, auto go) {
            const std::size_t options = choices.list[choice].options.size();
            for (std::size_t o = 0; o < options; ++o) {
                std::vector<double> mine(options, 0.0), others;
                mine[o] = 1;
                for (const Part& part : parts)
                    others.push_back(go(part, o) ? 0 : 1);
                rows.push_back({.terms = {{choice, std::move(mine)}, {variables.size(), std::move(others)}},
                                .limit = 1,
                                .why = "lugs in stock " + choices.list[lug.section].id});
            }
        };
        tie(lug.section, [&](const Part& part, std::size_t o) {
            return part.section ? *part.section == o : o < first || o >= x;
        });
        tie(lug.size, [](const Part& part, std::size_t o) { return !part.size || *part.size == o; });
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
    BoundsProver prover(harness, choices, smallest->facts, &judge.standing());
    const StaticRules rules(harness, choices, smallest->facts);
    FailureProver without(harness, choices);
    Explainer explainer(choices, prover, rules, without);
    teach_link_limits(harness, choices, judge, prover);
    const Open everything = all_open(choices);
    Bounds bounds = prover.prove(everything, true);
    if (!bounds.possible) {
        solution.proof.complete = true;
        tell_conflicts_of_bounds(prover, everything, solution);
        if (solution.conflicts.empty())
            solution.conflicts.push_back({bounds.why});
        return solution;
    }
    for (std::vector<Row>& more :
         std::vector{stock_rows(harness, choices), landing_rows(harness, choices, smallest->facts.landings)})
        std::move(more.begin(), more.end(), std::back_inserter(bounds.rows));
    std::vector<Variable> variables = choices.variables();
    for (const LugCost& lug : lug_costs(harness, choices))
        add_lug(harness, choices, lug, variables, bounds.rows);
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
    if (!result.best && result.proof.complete)
        tell_conflicts_of_rows(variables, std::move(result.rows), solution);
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
