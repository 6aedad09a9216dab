// The linear part of a network, factored once: every branch, and every port at its base piece. Room-internal.
#pragma once

#include "solve/network.h"

#include <memory>
#include <vector>

namespace stoutloom::solve {

class LinearNetwork {
  public:
    /// Precondition: every branch has a resistance above zero. Throws std::logic_error if the factor breaks
    /// down.
    LinearNetwork(const Network& network, const Islands& islands);
    ~LinearNetwork();
    LinearNetwork(LinearNetwork&&) noexcept;
    LinearNetwork& operator=(LinearNetwork&&) noexcept;
    LinearNetwork(const LinearNetwork&) = delete;
    LinearNetwork& operator=(const LinearNetwork&) = delete;

    std::size_t nodes() const;
    /// Node volts for currents injected into the nodes; local zeros take what is left over.
    std::vector<double> volts(const std::vector<double>& injected_a) const;
    /// One step of refinement: the residual is summed in long double.
    void refine(std::vector<double>& volts, const std::vector<double>& injected_a) const;
    /// Greatest residual of Kirchhoff's current law over the nodes that are not local zeros, A.
    double residual_a(const std::vector<double>& volts, const std::vector<double>& injected_a) const;

  private:
    struct Parts;
    std::unique_ptr<Parts> parts_;
};

} // namespace stoutloom::solve
