// Which of several low drawings share a page. Private to this room.
#pragma once

#include <cstddef>
#include <set>
#include <vector>

namespace stoutloom::layout {

inline constexpr double between_decks_mm = 4;
using PageGroup = std::vector<std::size_t>; // drawings from the top, by their place in the row

/// The drawings of a row on few pages, each page as high as `whole_mm` allows. In the order of the vehicle,
/// each with the highest of those soon after it that still fits under it; where two stay alone, the pairs
/// between them are shifted until they are one page. `barred`: groups that could not be drawn together after
/// all.
std::vector<PageGroup> page_groups(const std::vector<double>& least_mm, double whole_mm,
                                   const std::set<PageGroup>& barred);

} // namespace stoutloom::layout
