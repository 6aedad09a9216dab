#include "size/rows.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

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

void relax_outside(Row& row, const Open& box, const Open& all) {
    double most = 0;
    std::map<std::size_t, std::size_t> place;
    for (std::size_t t = 0; t < row.terms.size(); ++t) {
        const Term& term = row.terms[t];
        place[term.variable] = t;
        double mine = -std::numeric_limits<double>::infinity();
        for (std::uint64_t bits = box[term.variable]; bits != 0; bits &= bits - 1)
            mine = std::max(mine, term.amount[lowest(bits)]);
        most += mine;
    }
    for (std::size_t i = 0; i < box.size(); ++i) {
        if ((all[i] & ~box[i]) == 0)
            continue;
        if (!place.contains(i)) {
            place[i] = row.terms.size();
            row.terms.push_back(
                {i, std::vector<double>(static_cast<std::size_t>(std::bit_width(all[i])), 0.0)});
        }
        std::vector<double>& amounts = row.terms[place[i]].amount;
        double mine = -std::numeric_limits<double>::infinity();
        for (std::uint64_t bits = box[i]; bits != 0; bits &= bits - 1)
            mine = std::max(mine, amounts[lowest(bits)]);
        for (std::uint64_t bits = all[i] & ~box[i]; bits != 0; bits &= bits - 1)
            amounts[lowest(bits)] = std::min(mine, row.limit - (most - mine));
    }
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
