// The healthy network of a duty with one or two branches changed at a time, all from one factor.
// Room-internal.
#pragma once

#include "solve/solved.h"

#include <vector>

namespace stoutloom::solve {

class Faulted {
  public:
    Faulted(const model::Harness& harness, const Solved& healthy);

    /// Settles with these ports added, until the next settling; `dead_port` (of the healthy network) gives
    /// and takes nothing meanwhile.
    base::Outcome<PortAnswer, Unsolved> settle_with(const std::vector<Port>& faults, int dead_port = -1);
    /// Volts between two nodes in the last answer.
    double volts(int a, int b) const;
    /// Current of a branch in the last answer, at its healthy resistance; 0 for -1.
    double branch_a(int branch) const;
    /// Every node, the fault ports and the answer of the last settling.
    std::vector<double> node_v() const;
    const PortPicture& picture() const { return picture_; }
    const PortAnswer& answer() const { return last_; }

  private:
    void restore();

    const model::Harness& harness_;
    const Solved& healthy_;
    PortPicture picture_;
    std::size_t own_ports_;
    int dead_port_ = -1;
    Port replaced_; // what stood at the dead port
    PortAnswer last_;
};

} // namespace stoutloom::solve
