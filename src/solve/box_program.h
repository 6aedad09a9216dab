// Greatest value of a sum over a box with a few rows of limits: a small linear programme whose answer is a
// sure bound.
//
//   greatest of c x   over   low_j <= x_j <= high_j,   row_low_i <= a_i x <= row_high_i
//
// A bounded simplex finds the corner; the bound is then told by weak duality from its multipliers y,
//   c x = (c - y A) x + y (A x) <= sum_j max over the box of (c - y A)_j x_j + sum_i max over the row's
//   limits of y_i s,
// which holds for any y, so rounding inside the simplex can loosen the bound but never make it wrong.
// Room-internal.
#pragma once

#include <cstddef>
#include <vector>

namespace stoutloom::solve {

struct BoxRow {
    std::vector<double> a;
    double low = 0, high = 0; // either may be infinite, not both
};
struct BoxProgram {
    std::vector<double> low, high; // finite, low <= high
    std::vector<BoxRow> rows;
};

class BoxSolver {
  public:
    explicit BoxSolver(BoxProgram program);
    /// Proven: no point satisfies all limits.
    bool impossible() const { return impossible_; }
    struct Greatest {
        double bound = 0;
        std::vector<double> x; // where the simplex stopped
    };
    /// Starts from the corner the last call ended in.
    Greatest maximise(const std::vector<double>& c);

  private:
    struct Multipliers {
        std::vector<double> y; // by row
    };
    struct Block { // what stops an entering variable
        double distance;
        int row; // -1: its own other limit
        double stops_at;
    };
    double low(std::size_t variable) const;
    double high(std::size_t variable) const;
    double outside(std::size_t variable) const; // negative below its limits, positive above
    std::vector<double> slopes(const std::vector<double>& c, bool first_phase) const;
    double basic_cost(std::size_t row, const std::vector<double>& c, bool first_phase) const;
    Block block(std::size_t entering, double direction, bool first_phase) const;
    bool step(const std::vector<double>& c, bool first_phase, bool careful);
    void run(const std::vector<double>& c, bool first_phase);
    void pivot(std::size_t row, std::size_t entering);
    double weak_bound(const std::vector<double>& c, Multipliers multipliers) const;

    BoxProgram program_;
    std::size_t n_ = 0, m_ = 0;
    std::vector<std::vector<double>> table_; // basic variable of a row = sum over nonbasic variables
    std::vector<std::size_t> basic_;         // variable of each row
    std::vector<bool> is_basic_;             // by variable: first the x, then one per row
    std::vector<double> value_;              // by variable
    bool impossible_ = false;
};

} // namespace stoutloom::solve
