// Shares a harness over sheets so that the fewest cables are cut. Private to this room.
#pragma once

#include "layout/arrangement.h"

#include <cstddef>
#include <functional>
#include <vector>

namespace stoutloom::layout {

/// What stays together on a sheet: units, and of a zone the studs on its beds.
struct SheetGroup {
    std::vector<std::size_t> units; // in the content
    std::vector<std::size_t> beds;  // zones whose studs on beds stand here
    std::size_t size() const { return units.size() + beds.size(); }
};

/// Splits `whole` into groups that `fits` takes, along few cables: groups are joined where the most cables
/// run between them, then single units move to where they save a cut. One thing alone may not fit: it is then
/// a group of its own all the same. In the order of the vehicle.
std::vector<SheetGroup> shared_out(const DiagramContent& content, const Ends& ends,
                                   const std::vector<double>& unit_keys, const SheetGroup& whole,
                                   bool control, const std::function<bool(const SheetGroup&)>& fits);

} // namespace stoutloom::layout
