#include "size/appliance_law.h"

namespace stoutloom::size {
namespace {

/// Taken from plus to minus: the law tells what flows out of plus.
double taken_a(const solve::Port& port, double volts_v) {
    for (const solve::Piece& piece : port.pieces)
        if (volts_v <= piece.upto_v)
            return piece.beta_s * volts_v - piece.alpha_a;
    return -port.pieces.back().alpha_a + port.pieces.back().beta_s * volts_v;
}

bool is_power(const solve::Port& port) {
    return port.power_w > 0;
}

Interval power_current(const solve::Port& port, Interval volts_v) {
    const double greatest_a = port.power_w / port.fold_v;
    if (volts_v.low >= port.fold_v)
        return {port.power_w / volts_v.high, port.power_w / volts_v.low};
    return {volts_v.low >= 0 ? 0 : -greatest_a, volts_v.high <= 0 ? 0 : greatest_a};
}

} // namespace

Interval current_for(const Appliance& appliance, Interval volts_v) {
    if (!appliance.port)
        return {volts_v.low / appliance.ohm, volts_v.high / appliance.ohm};
    if (is_power(*appliance.port))
        return power_current(*appliance.port, volts_v);
    return {taken_a(*appliance.port, volts_v.low), taken_a(*appliance.port, volts_v.high)};
}

Interval volts_for(const Appliance& appliance, Interval current_a) {
    if (!appliance.port)
        return {current_a.low * appliance.ohm, current_a.high * appliance.ohm};
    const solve::Port& port = *appliance.port;
    if (is_power(port)) {
        if (!appliance.supplied || current_a.low <= 0)
            return {-unknown_bound, unknown_bound};
        return {port.power_w / current_a.high, port.power_w / current_a.low};
    }
    // The law never falls; each piece adds the volts at which it lies within the interval.
    Interval volts{unknown_bound, -unknown_bound};
    double from_v = -unknown_bound;
    for (const solve::Piece& piece : port.pieces) {
        const double upto_v = std::min(piece.upto_v, unknown_bound);
        Interval here{from_v, upto_v};
        const double dust = 1e-9 * (1 + std::abs(piece.alpha_a));
        bool possible = true;
        if (piece.beta_s > 0) {
            here.low = std::max(here.low, (current_a.low - dust + piece.alpha_a) / piece.beta_s);
            here.high = std::min(here.high, (current_a.high + dust + piece.alpha_a) / piece.beta_s);
            possible = here.low <= here.high;
        } else {
            possible = -piece.alpha_a >= current_a.low - dust && -piece.alpha_a <= current_a.high + dust;
        }
        if (possible)
            volts = hull(volts, here);
        from_v = upto_v;
    }
    return volts;
}

} // namespace stoutloom::size
