#include "solve/linear.h"

#include <Eigen/SparseCholesky>
#include <Eigen/SparseCore>

#include <cmath>
#include <stdexcept>

namespace stoutloom::solve {
namespace {

struct Edge {
    int a, b;
    double siemens;
};

struct NodeState {
    const std::vector<double>& volts;
    const std::vector<double>& injected_a;
};

} // namespace

struct LinearNetwork::Parts {
    std::vector<Edge> edges;
    std::vector<int> unknown; // by node, -1 for a local zero
    int unknowns = 0;
    Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> factor;

    Eigen::VectorXd residual(const NodeState& state) const {
        const auto& [volts, injected_a] = state;
        std::vector<long double> sum(unknown.size());
        for (std::size_t n = 0; n < sum.size(); ++n)
            sum[n] = static_cast<long double>(injected_a[n]);
        for (const Edge& edge : edges) {
            const auto a = static_cast<std::size_t>(edge.a);
            const auto b = static_cast<std::size_t>(edge.b);
            const long double current =
                static_cast<long double>(edge.siemens) *
                (static_cast<long double>(volts[a]) - static_cast<long double>(volts[b]));
            sum[a] -= current;
            sum[b] += current;
        }
        Eigen::VectorXd right(unknowns);
        for (std::size_t n = 0; n < sum.size(); ++n)
            if (unknown[n] >= 0)
                right[unknown[n]] = static_cast<double>(sum[n]);
        return right;
    }
};

LinearNetwork::~LinearNetwork() = default;
LinearNetwork::LinearNetwork(LinearNetwork&&) noexcept = default;
LinearNetwork& LinearNetwork::operator=(LinearNetwork&&) noexcept = default;

LinearNetwork::LinearNetwork(const Network& network, const Islands& islands)
    : parts_(std::make_unique<Parts>()) {
    Parts& parts = *parts_;
    for (const Branch& branch : network.branches)
        parts.edges.push_back({.a = branch.a, .b = branch.b, .siemens = 1.0 / branch.ohm});
    for (const Port& port : network.ports)
        if (const double slope_s = port.pieces[port.base].beta_s; port.in_linear && slope_s > 0)
            parts.edges.push_back({.a = port.plus, .b = port.minus, .siemens = slope_s});
    parts.unknown.assign(static_cast<std::size_t>(network.nodes), 0);
    for (const int zero : islands.local_zero)
        parts.unknown[static_cast<std::size_t>(zero)] = -1;
    for (int& unknown : parts.unknown)
        if (unknown >= 0)
            unknown = parts.unknowns++;
    if (parts.unknowns == 0)
        return;
    std::vector<Eigen::Triplet<double>> entries;
    const auto add = [&](int row, int column, double value) {
        if (row >= 0 && column >= 0 && row >= column)
            entries.emplace_back(row, column, value);
    };
    for (const Edge& edge : parts.edges) {
        const int a = parts.unknown[static_cast<std::size_t>(edge.a)];
        const int b = parts.unknown[static_cast<std::size_t>(edge.b)];
        add(a, a, edge.siemens);
        add(b, b, edge.siemens);
        add(std::max(a, b), std::min(a, b), -edge.siemens);
    }
    Eigen::SparseMatrix<double> matrix(parts.unknowns, parts.unknowns);
    matrix.setFromTriplets(entries.begin(), entries.end());
    parts.factor.compute(matrix);
    if (parts.factor.info() != Eigen::Success || parts.factor.vectorD().minCoeff() <= 0)
        throw std::logic_error("nodal matrix is not positive definite");
}

std::size_t LinearNetwork::nodes() const {
    return parts_->unknown.size();
}

std::vector<double> LinearNetwork::volts(const std::vector<double>& injected_a) const {
    std::vector<double> volts(parts_->unknown.size(), 0.0);
    refine(volts, injected_a);
    return volts;
}

void LinearNetwork::refine(std::vector<double>& volts, const std::vector<double>& injected_a) const {
    if (parts_->unknowns == 0)
        return;
    const Eigen::VectorXd step =
        parts_->factor.solve(parts_->residual({.volts = volts, .injected_a = injected_a}));
    for (std::size_t n = 0; n < volts.size(); ++n)
        if (parts_->unknown[n] >= 0)
            volts[n] += step[parts_->unknown[n]];
}

double LinearNetwork::residual_a(const std::vector<double>& volts,
                                 const std::vector<double>& injected_a) const {
    if (parts_->unknowns == 0)
        return 0;
    return parts_->residual({.volts = volts, .injected_a = injected_a}).lpNorm<Eigen::Infinity>();
}

} // namespace stoutloom::solve
