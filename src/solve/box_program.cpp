#include "solve/box_program.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace stoutloom::solve {
namespace {

constexpr double dust = 1e-9;
constexpr int quick_steps = 200;
constexpr int most_steps = 2000;

} // namespace

BoxSolver::BoxSolver(BoxProgram program)
    : program_(std::move(program)), n_(program_.low.size()), m_(program_.rows.size()) {
    for (BoxRow& row : program_.rows) {
        double scale = 0;
        for (const double a : row.a)
            scale = std::max(scale, std::abs(a));
        if (scale > 0) {
            for (double& a : row.a)
                a /= scale;
            row.low /= scale;
            row.high /= scale;
        }
    }
    is_basic_.assign(n_ + m_, false);
    value_ = program_.low;
    for (std::size_t i = 0; i < m_; ++i) {
        table_.push_back(program_.rows[i].a);
        table_.back().resize(n_ + m_, 0.0);
        basic_.push_back(n_ + i);
        is_basic_[n_ + i] = true;
        double sum = 0;
        for (std::size_t j = 0; j < n_; ++j)
            sum += program_.rows[i].a[j] * value_[j];
        value_.push_back(sum);
    }
    const std::vector<double> nothing(n_ + m_, 0.0);
    run(nothing, true);
    // Farkas: the slopes of the first phase prove that no point fits, if their weak bound on 0 is below 0.
    const std::vector<double> slope = slopes(nothing, true);
    std::vector<double> y(m_, 0.0);
    for (std::size_t i = 0; i < m_; ++i)
        y[i] = is_basic_[n_ + i] ? 0.0 : slope[n_ + i];
    for (std::size_t r = 0; r < m_; ++r)
        if (basic_[r] >= n_)
            y[basic_[r] - n_] -= basic_cost(r, nothing, true);
    impossible_ = weak_bound(std::vector<double>(n_, 0.0), {.y = y}) < -dust;
}

double BoxSolver::low(std::size_t variable) const {
    return variable < n_ ? program_.low[variable] : program_.rows[variable - n_].low;
}

double BoxSolver::high(std::size_t variable) const {
    return variable < n_ ? program_.high[variable] : program_.rows[variable - n_].high;
}

double BoxSolver::outside(std::size_t variable) const {
    const double slack = dust * (1 + std::abs(value_[variable]));
    if (value_[variable] < low(variable) - slack)
        return value_[variable] - low(variable);
    if (value_[variable] > high(variable) + slack)
        return value_[variable] - high(variable);
    return 0;
}

double BoxSolver::basic_cost(std::size_t row, const std::vector<double>& c, bool first_phase) const {
    if (!first_phase)
        return c[basic_[row]];
    const double side = outside(basic_[row]);
    return side < 0 ? 1.0 : side > 0 ? -1.0 : 0.0;
}

std::vector<double> BoxSolver::slopes(const std::vector<double>& c, bool first_phase) const {
    std::vector<double> slope = first_phase ? std::vector<double>(n_ + m_, 0.0) : c;
    for (std::size_t r = 0; r < m_; ++r)
        if (const double cost = basic_cost(r, c, first_phase); cost != 0)
            for (std::size_t j = 0; j < n_ + m_; ++j)
                if (!is_basic_[j])
                    slope[j] += cost * table_[r][j];
    return slope;
}

BoxSolver::Block BoxSolver::block(std::size_t entering, double direction, bool first_phase) const {
    Block nearest{.distance = high(entering) - low(entering),
                  .row = -1,
                  .stops_at = direction > 0 ? high(entering) : low(entering)};
    double nearest_slope = 0;
    for (std::size_t r = 0; r < m_; ++r) {
        const double slope = direction * table_[r][entering];
        if (std::abs(slope) < 1e-11)
            continue;
        const std::size_t variable = basic_[r];
        const double side = first_phase ? outside(variable) : 0.0;
        // One that is outside stops where it comes in, and never where it goes further out.
        if ((side < 0 && slope < 0) || (side > 0 && slope > 0))
            continue;
        double limit = slope > 0 ? high(variable) : low(variable);
        if (side < 0)
            limit = low(variable);
        if (side > 0)
            limit = high(variable);
        if (!std::isfinite(limit))
            continue;
        const double distance = std::max(0.0, (limit - value_[variable]) / slope);
        const bool nearer = distance < nearest.distance - 1e-12;
        const bool steeper =
            distance <= nearest.distance + 1e-12 && nearest.row >= 0 && std::abs(slope) > nearest_slope;
        if (!nearer && !steeper)
            continue;
        nearest = {
            .distance = std::min(distance, nearest.distance), .row = static_cast<int>(r), .stops_at = limit};
        nearest_slope = std::abs(slope);
    }
    return nearest;
}

bool BoxSolver::step(const std::vector<double>& c, bool first_phase, bool careful) {
    const std::vector<double> slope = slopes(c, first_phase);
    std::size_t entering = n_ + m_;
    double steepest = dust;
    for (std::size_t j = 0; j < n_ + m_; ++j) {
        if (is_basic_[j] || !(low(j) < high(j)))
            continue;
        const bool can_rise = slope[j] > 0 && value_[j] < high(j);
        const bool can_fall = slope[j] < 0 && value_[j] > low(j);
        if ((!can_rise && !can_fall) || std::abs(slope[j]) <= steepest)
            continue;
        entering = j;
        if (careful)
            break; // lowest index first: no cycles
        steepest = std::abs(slope[j]);
    }
    if (entering == n_ + m_)
        return false;
    const double direction = slope[entering] > 0 ? 1.0 : -1.0;
    const Block stop = block(entering, direction, first_phase);
    if (!std::isfinite(stop.distance))
        return false;
    for (std::size_t r = 0; r < m_; ++r)
        value_[basic_[r]] += direction * stop.distance * table_[r][entering];
    if (stop.row < 0) {
        value_[entering] = stop.stops_at;
        return true;
    }
    value_[entering] += direction * stop.distance;
    const auto row = static_cast<std::size_t>(stop.row);
    value_[basic_[row]] = stop.stops_at;
    pivot(row, entering);
    return true;
}

void BoxSolver::pivot(std::size_t row, std::size_t entering) {
    const std::size_t leaving = basic_[row];
    const double inverse = 1.0 / table_[row][entering];
    std::vector<double>& pivot_row = table_[row];
    for (double& entry : pivot_row)
        entry *= -inverse;
    pivot_row[leaving] = inverse;
    pivot_row[entering] = 0;
    for (std::size_t r = 0; r < m_; ++r) {
        const double share = table_[r][entering];
        if (r == row || share == 0)
            continue;
        table_[r][entering] = 0;
        for (std::size_t j = 0; j < n_ + m_; ++j)
            table_[r][j] += share * pivot_row[j];
    }
    basic_[row] = entering;
    is_basic_[entering] = true;
    is_basic_[leaving] = false;
}

void BoxSolver::run(const std::vector<double>& c, bool first_phase) {
    for (int steps = 0; steps < most_steps; ++steps)
        if (!step(c, first_phase, steps > quick_steps))
            return;
}

double BoxSolver::weak_bound(const std::vector<double>& c, Multipliers multipliers) const {
    std::vector<double>& y = multipliers.y;
    double bound = 0;
    for (std::size_t i = 0; i < m_; ++i) {
        const BoxRow& row = program_.rows[i];
        // A multiplier against a limit that does not exist is dust.
        if ((y[i] > 0 && !std::isfinite(row.high)) || (y[i] < 0 && !std::isfinite(row.low)))
            y[i] = 0;
        if (y[i] != 0)
            bound += y[i] * (y[i] > 0 ? row.high : row.low);
    }
    for (std::size_t j = 0; j < n_; ++j) {
        double left = c[j];
        for (std::size_t i = 0; i < m_; ++i)
            left -= y[i] * program_.rows[i].a[j];
        bound += std::max(left * program_.low[j], left * program_.high[j]);
    }
    return bound;
}

BoxSolver::Greatest BoxSolver::maximise(const std::vector<double>& c) {
    std::vector<double> cost = c;
    cost.resize(n_ + m_, 0.0);
    run(cost, false);
    const std::vector<double> slope = slopes(cost, false);
    std::vector<double> y(m_, 0.0);
    for (std::size_t i = 0; i < m_; ++i)
        if (!is_basic_[n_ + i])
            y[i] = slope[n_ + i];
    Greatest greatest{.bound = weak_bound(c, {.y = y}),
                      .x = {value_.begin(), value_.begin() + static_cast<std::ptrdiff_t>(n_)}};
    return greatest;
}

} // namespace stoutloom::solve
