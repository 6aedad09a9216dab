// What is known about good choices: rows that every good choice satisfies. A choice that breaks a row is bad
// for certain.
//
// A row says: the sum over its terms of amount[option] is not greater than `limit`. A drop limit is a row
// (volts lost by each section); a proven bad region is a row as well (at least one variable must leave its
// range).
#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

namespace stoutloom::size {

/// One option per variable, by index.
using Assignment = std::vector<std::size_t>;
/// Options left open of each variable, one bit each.
using Open = std::vector<std::uint64_t>;
/// The lowest option in a set that is not empty.
inline std::size_t lowest(std::uint64_t bits) {
    return static_cast<std::size_t>(std::countr_zero(bits));
}

/// A set of options is the bits of one word, and a few are for what is tried beyond the stock.
constexpr std::size_t most_options = 60;

/// Options of one thing to be chosen, in rising order of the trade (section, rating). Costs are whole numbers
/// (tenths of a gram of copper, or hundredths of a price), so that equal costs are equal.
struct Variable {
    std::string name;
    std::vector<std::int64_t> cost; // by option; 1 to most_options
};

struct Term {
    std::size_t variable = 0;
    std::vector<double> amount; // by option
};
struct Row {
    std::vector<Term> terms; // each variable at most once
    double limit = 0;
    std::string why; // the rule and its subject, for the account of an impossible kit
};

/// A box of options: every assignment with low <= option <= high for all of these variables.
struct Range {
    std::size_t variable = 0;
    std::size_t low = 0, high = 0;
};
/// The row that keeps every assignment out of a box known to be bad: at least one variable leaves its range.
Row row_against(const std::vector<Variable>& variables, const std::vector<Range>& box, std::string why);

/// Lets a row hold wherever an option outside the box is taken.
void relax_outside(Row& row, const Open& box, const Open& all);

/// Whether a row holds; the slack 1e-9 of the limit's size is given to the row, never taken from it.
bool holds(const Row& row, const Assignment& choice);
/// Sum over the terms.
double amount_of(const Row& row, const Assignment& choice);
std::int64_t cost_of(const std::vector<Variable>& variables, const Assignment& choice);

} // namespace stoutloom::size
