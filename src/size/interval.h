// Closed intervals of real numbers: what is known of a quantity over a whole box of choices. Room-internal.
#pragma once

#include <algorithm>
#include <cmath>

namespace stoutloom::size {

struct Interval {
    double low = 0, high = 0;
};

inline Interval operator+(Interval a, Interval b) {
    return {a.low + b.low, a.high + b.high};
}
inline Interval operator-(Interval a, Interval b) {
    return {a.low - b.high, a.high - b.low};
}
inline Interval operator-(Interval a) {
    return {-a.high, -a.low};
}
inline Interval operator*(double factor, Interval a) {
    return factor >= 0 ? Interval{factor * a.low, factor * a.high}
                       : Interval{factor * a.high, factor * a.low};
}
/// Product with an interval that is not below zero (a resistance).
inline Interval times(Interval a, Interval not_negative) {
    return {std::min(a.low * not_negative.low, a.low * not_negative.high),
            std::max(a.high * not_negative.low, a.high * not_negative.high)};
}
inline double width(Interval a) {
    return a.high - a.low;
}
/// Least and greatest magnitude.
inline double least_magnitude(Interval a) {
    return a.low <= 0 && a.high >= 0 ? 0 : std::min(std::abs(a.low), std::abs(a.high));
}
inline double greatest_magnitude(Interval a) {
    return std::max(std::abs(a.low), std::abs(a.high));
}
inline Interval hull(Interval a, Interval b) {
    return {std::min(a.low, b.low), std::max(a.high, b.high)};
}

/// Narrows `known` to what `also` allows; false when nothing is left. Overlaps that rounding could explain (a
/// millionth, far above the solver's own 1e-7) count as touching, so that nothing is called impossible by
/// dust.
inline bool narrow(Interval& known, Interval also) {
    const double low = std::max(known.low, also.low), high = std::min(known.high, also.high);
    if (low > high + 1e-6 * (1 + std::max(std::abs(low), std::abs(high))))
        return false;
    known = low <= high ? Interval{low, high} : Interval{high, low};
    return true;
}

} // namespace stoutloom::size
