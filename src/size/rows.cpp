#include "size/rows.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::size {

Row row_against(const std::vector<Variable>& variables, const std::vector<Range>& box, std::string why) {
    Row row;
    row.why = std::move(why);
    row.limit = -1;
    for (const Range& range : box) {
        const std::size_t options = variables[range.variable].cost.size();
        Term term{range.variable, std::vector<double>(options, 0.0)};
        for (std::size_t option = 0; option < options; ++option)
            if (option < range.low || option > range.high)
                term.amount[option] = -1;
        if (std::any_of(term.amount.begin(), term.amount.end(), [](double amount) { return amount < 0; }))
            row.terms.push_back(std::move(term));
    }
    return row;
}

double amount_of(const Row& row, const Assignment& choice) {
    double sum = 0;
    for (const Term& term : row.terms)
        sum += term.amount[choice[term.variable]];
    return sum;
}

bool holds(const Row& row, const Assignment& choice) {
    return amount_of(row, choice) <= row.limit + 1e-9 * std::max(1.0, std::abs(row.limit));
}

std::int64_t cost_of(const std::vector<Variable>& variables, const Assignment& choice) {
    std::int64_t cost = 0;
    for (std::size_t i = 0; i < variables.size(); ++i)
        cost += variables[i].cost[choice[i]];
    return cost;
}

} // namespace stoutloom::size
