// What is certain of a kit with one part lost, over a box of choices: that a cable or a path nobody meant
// carries more than it may. Room-internal.
//
// The same intervals as for the healthy kit (size/duty_bounds.h), of the network without the part. No rule
// narrows them, for after a failure none need be kept; only what a good kit is before it is taken for
// granted: no cable warmer than its class, no current over its limit.
#pragma once

#include "check/faults.h"
#include "size/cable_table.h"
#include "size/choices.h"
#include "size/duty_bounds.h"
#include "size/rows.h"

#include <map>
#include <memory>
#include <string>

namespace stoutloom::size {

class FailureProver {
  public:
    /// Both must outlive this.
    FailureProver(const model::Harness& harness, const Choices& choices);

    /// Whether, with the part lost, the consequence follows for certain in its duty with every open choice
    /// that is good before; false: not proven.
    bool follows(const std::string& part, const check::Consequence& consequence, const Open& open);

  private:
    DutyBounds& without(const std::string& part, std::size_t duty);
    bool cable_burns(const DutyBounds& duty, std::size_t cable, const OpenOptions& open) const;
    bool link_may_save(const DutyBounds& duty, std::size_t cable, const OpenOptions& open) const;

    const model::Harness& harness_;
    const Choices& choices_;
    CableTable table_;
    std::map<std::pair<std::string, std::size_t>, std::unique_ptr<DutyBounds>> known_;
};

} // namespace stoutloom::size
