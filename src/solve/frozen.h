// A duty's network at held cable temperatures, with every consumer as a port that can be switched.
// Room-internal.
#pragma once

#include "solve/solved.h"

#include <map>
#include <optional>

namespace stoutloom::solve {

struct FrozenLoad {
    model::DeviceIndex device{};
    std::size_t port = 0; // in `picture`
    bool choice = false;  // may be on or off; otherwise always on
    bool fed = true;      // some path leads to both its sides
    double ohm = 0;       // resistance consumers: their law; 0 for the others
};

class FrozenNetwork {
  public:
    /// `segment_degc`: by cable, by segment.
    static base::Outcome<FrozenNetwork, Unsolved> at(const model::Harness& harness, const model::Duty& duty,
                                                     const Variation& variation,
                                                     const std::vector<std::vector<double>>& segment_degc);

    const std::vector<FrozenLoad>& loads() const { return loads_; }
    const Network& network() const { return network_; }
    const PortPicture& picture() const { return picture_; }
    /// Cable currents of a combination (by load; those that are no choice are on). Kept for the next time.
    base::Outcome<std::vector<double>, Unsolved> currents_a(const model::Harness& harness,
                                                            const std::vector<bool>& on);
    /// A cable's current from a set of corrections.
    double cable_a(std::size_t cable, const std::vector<double>& correction_a) const;

  private:
    FrozenNetwork() = default;
    Network network_;
    PortPicture picture_;
    std::vector<FrozenLoad> loads_;
    std::vector<double> cable_base_a_;             // by cable, no corrections
    std::vector<std::vector<double>> cable_per_a_; // by cable, by port
    std::map<std::vector<bool>, std::vector<double>> known_;
};

} // namespace stoutloom::solve
