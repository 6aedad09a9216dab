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
    bool operator==(const SheetGroup&) const = default;
    std::size_t size() const { return units.size() + beds.size(); }
};

/// Ways to split `whole` into groups that `fits` takes, the one over the fewest cables and sheets first:
/// groups are joined where the most cables run between them, or the row along the vehicle is cut; then single
/// units move to where they save a cut. One thing alone may not fit: it is then a group of its own all the
/// same. Groups in the order of the vehicle; at least one way.
std::vector<std::vector<SheetGroup>> shared_out(const DiagramContent& content, const Ends& ends,
                                                const std::vector<double>& unit_keys, const SheetGroup& whole,
                                                bool control,
                                                const std::function<bool(const SheetGroup&)>& fits);

} // namespace stoutloom::layout
