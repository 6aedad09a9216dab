// A variable of the merging, or several merged. Private to it.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <utility>
#include <vector>

namespace stoutloom::size {

constexpr std::size_t nobody = std::numeric_limits<std::size_t>::max();

struct MergedItem {
    std::vector<std::size_t> rows; // rising
    std::vector<std::int64_t> cost;
    std::vector<double> amounts;                               // by option, by place in `rows`
    std::vector<double> priced;                                // by option: cost and priced amounts
    std::vector<std::pair<std::uint32_t, std::uint32_t>> from; // options of the parts
    std::size_t first = nobody, second = nobody;               // parts; of a single one: variable, nobody
    bool merged = false;                                       // into another
    std::size_t size() const { return cost.size(); }
    std::size_t place(std::size_t row) const {
        const auto found = std::lower_bound(rows.begin(), rows.end(), row);
        return found != rows.end() && *found == row ? static_cast<std::size_t>(found - rows.begin()) : nobody;
    }
};

/// Least and greatest amount of all options, by place in the item's rows.
inline std::pair<double, double> span_of(const MergedItem& item, std::size_t p) {
    std::pair<double, double> span{std::numeric_limits<double>::infinity(),
                                   -std::numeric_limits<double>::infinity()};
    for (std::size_t o = 0; o < item.size(); ++o) {
        const double amount = item.amounts[o * item.rows.size() + p];
        span = {std::min(span.first, amount), std::max(span.second, amount)};
    }
    return span;
}

/// Drops the options for which `kept` says no.
template <class Kept> void keep(MergedItem& item, Kept kept) {
    const std::size_t k = item.rows.size();
    std::size_t to = 0;
    for (std::size_t o = 0; o < item.size(); ++o) {
        if (!kept(o))
            continue;
        if (to != o) {
            item.cost[to] = item.cost[o];
            item.from[to] = item.from[o];
            if (!item.priced.empty())
                item.priced[to] = item.priced[o];
            std::copy_n(item.amounts.begin() + static_cast<std::ptrdiff_t>(o * k), k,
                        item.amounts.begin() + static_cast<std::ptrdiff_t>(to * k));
        }
        ++to;
    }
    item.cost.resize(to);
    item.from.resize(to);
    if (!item.priced.empty())
        item.priced.resize(to);
    item.amounts.resize(to * k);
}

} // namespace stoutloom::size
