// Heat-shrink from stock: which of the file's own sizes, or of those on general sale, goes on a cable's end.
#pragma once

#include "model/harness.h"

#include <optional>
#include <vector>

namespace stoutloom::size {

/// The file's list of sleeves, or the built-in one of its system of units (physics/heat_shrink.h).
std::vector<model::StockSleeve> sleeves_of(const model::Harness& harness);

/// One end of a cable: what the sleeve has to pass and to grip, m, and whether water reaches it.
struct SleeveWanted {
    double thickest_m = 0, thinnest_m = 0;
    bool wet = false;
};
/// Of those that fit (physics::fits; where it is wet only lined ones): the cheapest by the metre if each that
/// fits has a price, then a plain before a lined one, then the narrowest. Nothing: none fits.
std::optional<model::StockSleeve> sleeve_for(const std::vector<model::StockSleeve>& stock,
                                             const SleeveWanted& wanted);

} // namespace stoutloom::size
