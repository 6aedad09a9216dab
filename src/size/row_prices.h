// Prices of rows, for bounds: the least priced cost is a bound at any prices not below zero. Private to the
// searches that use it.
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

namespace stoutloom::size {

/// Moves the prices along what the rows are overrun by (`excess`, by row), so far that the bound would gain
/// `gain` if it were linear. `scale`: by row, one over what its amounts range. False: nothing asks for it.
inline bool step_prices(std::vector<double>& multiplier, std::vector<double> excess,
                        const std::vector<double>& scale, double gain) {
    double norm = 0;
    for (std::size_t r = 0; r < multiplier.size(); ++r) {
        excess[r] *= scale[r];
        if (excess[r] < 0 && multiplier[r] == 0)
            excess[r] = 0;
        norm += excess[r] * excess[r];
    }
    if (norm == 0)
        return false;
    for (std::size_t r = 0; r < multiplier.size(); ++r)
        multiplier[r] = std::max(0.0, multiplier[r] + gain / norm * excess[r] * scale[r]);
    return true;
}

} // namespace stoutloom::size
