// A map of what is taken, point by point a millimetre apart, with running sums: whether a box holds a taken
// point is four look-ups. Private to this room.
#pragma once

#include "layout/scene.h"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace stoutloom::layout {

class Stencil {
  public:
    void take(const Box& box) {
        const Span at = span(box);
        for (int row = at.top; row < at.bottom; ++row)
            std::fill(sums_.begin() + index(row + 1, at.left + 1),
                      sums_.begin() + index(row + 1, at.right + 1), 1);
    }
    /// After the last `take`, before the first question.
    void close() {
        for (int row = 1; row <= rows; ++row) {
            unsigned along = 0;
            for (int column = 1; column <= columns; ++column) {
                std::uint16_t& here = sums_[static_cast<std::size_t>(index(row, column))];
                along += here;
                here = static_cast<std::uint16_t>(along +
                                                  sums_[static_cast<std::size_t>(index(row - 1, column))]);
            }
        }
    }
    /// True: something taken is inside. False tells nothing: it may lie between the points.
    bool surely_taken(const Box& box) const {
        const Span at = span(box);
        if (at.left >= at.right || at.top >= at.bottom)
            return false;
        const auto sum = [&](int row, int column) {
            return static_cast<unsigned>(sums_[static_cast<std::size_t>(index(row, column))]);
        };
        return static_cast<std::uint16_t>(sum(at.bottom, at.right) - sum(at.top, at.right) -
                                          sum(at.bottom, at.left) + sum(at.top, at.left)) != 0;
    }

  private:
    static constexpr int columns = 440, rows = 300; // the largest sheet
    struct Span {
        int left, right, top, bottom; // points from left to right - 1, at half millimetres
    };
    static Span span(const Box& box) {
        // Clamped first, so that cutting off rounds down.
        const auto first = [](double at, int count) {
            const double from = std::clamp(at - 0.5 + 1e-6, 0.0, static_cast<double>(count));
            const int whole = static_cast<int>(from);
            return whole + (from > whole ? 1 : 0);
        };
        const auto past = [](double at, int count) {
            return static_cast<int>(std::clamp(at + 0.5 - 1e-6, 0.0, static_cast<double>(count)));
        };
        return {first(box.x_mm, columns), past(box.right_mm(), columns), first(box.y_mm, rows),
                past(box.bottom_mm(), rows)};
    }
    static std::ptrdiff_t index(int row, int column) {
        return static_cast<std::ptrdiff_t>(row) * (columns + 1) + column;
    }
    // Counted modulo 65536: half the memory, and no box asked about holds as many points.
    std::vector<std::uint16_t> sums_ =
        std::vector<std::uint16_t>(static_cast<std::size_t>((columns + 1) * (rows + 1)), 0);
};

} // namespace stoutloom::layout
