#include "size/search.h"

#include "size/layers.h"

#include <algorithm>
#include <map>
#include <stdexcept>

namespace stoutloom::size {
namespace {

bool feasible(const std::vector<Variable>& variables, const std::vector<Row>& rows) {
    std::vector<Variable> free = variables; // any choice will do, so nothing costs anything
    for (Variable& variable : free)
        std::fill(variable.cost.begin(), variable.cost.end(), 0);
    Cheapest cheapest;
    CheapestQuestion question;
    question.variables = &free;
    question.rows = &rows;
    return cheapest.find(question).choice.has_value();
}

} // namespace

SearchResult search(const std::vector<Variable>& variables, std::vector<Row> rows, const Asked& asked,
                    const SearchLimits& limits) {
    SearchResult result;
    result.rows = std::move(rows);
    result.proof.rows_at_start = static_cast<std::int64_t>(result.rows.size());
    Cheapest cheapest;
    for (;;) {
        CheapestQuestion question;
        question.variables = &variables;
        question.rows = &result.rows;
        question.no_less_than = result.proof.lower_bound;
        question.node_limit = limits.nodes - result.proof.effort.nodes;
        question.step_limit = limits.steps - result.proof.effort.steps;
        const CheapestAnswer next = cheapest.find(question);
        ++result.proof.trees;
        add(result.proof.effort, next.effort);
        if (!next.complete)
            return result;
        if (!next.choice) {
            result.proof.complete = true;
            return result;
        }
        result.proof.lower_bound = std::max(result.proof.lower_bound, next.cost);
        if (result.proof.questions >= limits.questions)
            return result;
        ++result.proof.questions;
        result.last = next.choice;
        Answer answer = asked(*next.choice);
        if (answer.good) {
            result.best = next.choice;
            result.cost = next.cost;
            result.proof.complete = true;
            return result;
        }
        const bool moves_on = std::any_of(answer.rows.begin(), answer.rows.end(),
                                          [&](const Row& row) { return !holds(row, *next.choice); });
        if (!moves_on)
            throw std::logic_error("a bad choice was told without a row against it");
        result.proof.rows_learnt += static_cast<std::int64_t>(answer.rows.size());
        std::move(answer.rows.begin(), answer.rows.end(), std::back_inserter(result.rows));
    }
}

std::vector<std::size_t> conflict(const std::vector<Variable>& variables, const std::vector<Row>& rows) {
    if (feasible(variables, rows))
        return {};
    // Rows of one rule and subject stand or fall together.
    std::map<std::string, std::vector<std::size_t>> groups;
    for (std::size_t r = 0; r < rows.size(); ++r)
        groups[rows[r].why].push_back(r);
    std::vector<bool> kept(rows.size(), true);
    for (const auto& [why, members] : groups) {
        for (const std::size_t r : members)
            kept[r] = false;
        std::vector<Row> left;
        for (std::size_t r = 0; r < rows.size(); ++r)
            if (kept[r])
                left.push_back(rows[r]);
        if (!feasible(variables, left))
            continue;
        for (const std::size_t r : members)
            kept[r] = true;
    }
    std::vector<std::size_t> needed;
    for (std::size_t r = 0; r < rows.size(); ++r)
        if (kept[r])
            needed.push_back(r);
    return needed;
}

} // namespace stoutloom::size
