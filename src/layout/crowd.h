// Boxes sorted into the fields of a coarse grid, so that "does this meet anything" asks the neighbours alone.
// Private to this room.
#pragma once

#include "layout/scene.h"

#include <algorithm>
#include <array>
#include <cstddef>
#include <vector>

namespace stoutloom::layout {

class Crowd {
  public:
    /// `index` is what the questions are asked with. `reach_mm`: how far the box's own clearance goes.
    void add(const Box& box, double reach_mm, std::size_t index) {
        for_fields(grown(box, reach_mm), [&](std::size_t field) {
            fields_[field].push_back(index);
            return false;
        });
    }
    /// Whether `meets(index)` is true for one of those that may meet the box. Some are asked twice.
    template <class Meets> bool any(const Box& box, Meets meets) const {
        return for_fields(box, [&](std::size_t field) {
            const std::vector<std::size_t>& here = fields_[field];
            return std::any_of(here.begin(), here.end(), meets);
        });
    }

  private:
    static constexpr double field_mm = 16;
    static constexpr int columns = 28, rows = 20; // what lies beyond counts to the outermost fields
    std::array<std::vector<std::size_t>, static_cast<std::size_t>(columns) * rows> fields_;

    template <class Visit> static bool for_fields(const Box& box, Visit visit) {
        const auto field = [](double at, int count) {
            return std::clamp(static_cast<int>(std::clamp(at, -1e4, 1e4) / field_mm), 0, count - 1);
        };
        const int right = field(box.right_mm(), columns);
        const int bottom = field(box.bottom_mm(), rows);
        for (int row = field(box.y_mm, rows); row <= bottom; ++row)
            for (int column = field(box.x_mm, columns); column <= right; ++column)
                if (visit(static_cast<std::size_t>(row) * columns + static_cast<std::size_t>(column)))
                    return true;
        return false;
    }
};

} // namespace stoutloom::layout
