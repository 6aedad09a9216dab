// The healthy network of a duty with one or two branches changed at a time, all from one factor.
// Room-internal.
#pragma once

#include "solve/solved.h"

#include <vector>

namespace stoutloom::solve {

class Faulted {
  public:
    Faulted(const model::Harness& harness, const Solved& healthy);

    /// Settles with these ports added; the picture is as before afterwards.
    base::Outcome<PortAnswer, Unsolved> settle_with(const std::vector<Port>& faults);
    /// Volts between two nodes in the last answer.
    double volts(int a, int b) const;
    /// Current of a branch in the last answer, at its healthy resistance; 0 for -1.
    double branch_a(int branch) const;

  private:
    const model::Harness& harness_;
    const Solved& healthy_;
    PortPicture picture_;
    std::vector<std::vector<double>> fault_columns_; // of the last settling
    PortAnswer last_;
};

} // namespace stoutloom::solve
