// The regimes of the sources, one after another: which battery takes all it accepts, which unit holds its set
// point, sits at its ceiling or gives nothing. Each is a corner of its own in which the intervals close;
// taken together, an interval that does not know the regime says next to nothing.
#include "size/duty_bounds.h"

#include <limits>

namespace stoutloom::size {
namespace {

constexpr int most_rounds = 25;
/// More regimes than this are left together, which is sound: nothing is then narrowed.
constexpr int most_boxes = 400;

void take_in(std::vector<Interval>& sum, const std::vector<Interval>& more) {
    for (std::size_t i = 0; i < sum.size(); ++i)
        sum[i] = hull(sum[i], more[i]);
}

} // namespace

/// What is found on the way: all regimes that are not refuted, taken together.
struct DutyBounds::Regimes {
    std::vector<std::size_t> sources; // appliances
    std::optional<Known> known;
    OpenOptions open;
    int boxes = 0;

    void add(const Known& here, const OpenOptions& kept) {
        for (const auto& [which, rule] : kept.because)
            open.because.try_emplace(which, rule);
        if (!known) {
            known = here;
            open.bits = kept.bits;
            return;
        }
        for (std::size_t i = 0; i < open.bits.size(); ++i)
            open.bits[i] |= kept.bits[i];
        take_in(known->wire_a, here.wire_a);
        take_in(known->wire_ohm, here.wire_ohm);
        take_in(known->appliance_a, here.appliance_a);
        take_in(known->volts_v, here.volts_v);
        for (std::size_t b = 0; b < here.pair_v.size(); ++b)
            take_in(known->pair_v[b], here.pair_v[b]);
    }
};

void DutyBounds::start_from(const Known& known) {
    known_ = known;
    last_.clear();
}

bool DutyBounds::settle_alone(OpenOptions& open, std::string& why) {
    last_.clear();
    for (int round = 0; round < most_rounds; ++round) {
        open.changed = false;
        if (!narrow_once(open, why))
            return false;
        if (movement() < 1e-3 && !open.changed)
            break;
    }
    return true;
}

/// False: too many regimes.
bool DutyBounds::split(Regimes& regimes, std::size_t source, const OpenOptions& open, std::string& why) {
    if (source == regimes.sources.size()) {
        regimes.add(known_, open);
        return true;
    }
    const std::size_t k = regimes.sources[source];
    const Known before = known_;
    double from_v = -std::numeric_limits<double>::infinity();
    for (const solve::Piece& piece : graph_.appliances[k].port->pieces) {
        known_ = before;
        const Interval here{from_v, piece.upto_v};
        from_v = piece.upto_v;
        if (here.low > known_.volts_v[k].high || here.high < known_.volts_v[k].low)
            continue;
        if (++regimes.boxes > most_boxes)
            return false;
        OpenOptions kept = open;
        if (narrow(known_.volts_v[k], here) && settle_alone(kept, why) &&
            !split(regimes, source + 1, kept, why))
            return false;
    }
    return true;
}

bool DutyBounds::narrow_by_regimes(OpenOptions& open, std::string& why) {
    Regimes regimes;
    for (std::size_t k = 0; k < graph_.appliances.size(); ++k)
        if (const auto& port = graph_.appliances[k].port;
            port && port->pieces.size() > 1 &&
            (port->kind == solve::PortKind::battery || port->kind == solve::PortKind::generator))
            regimes.sources.push_back(k);
    if (regimes.sources.empty())
        return true;
    const Known before = known_;
    const bool all = split(regimes, 0, open, why);
    last_.clear();
    if (!all) {
        known_ = before;
        return true;
    }
    if (!regimes.known)
        return false;
    known_ = *regimes.known;
    open.bits = regimes.open.bits;
    for (const auto& [which, rule] : regimes.open.because)
        if ((open.bits[which.first] >> which.second & 1U) == 0)
            open.because.try_emplace(which, rule);
    open.changed = true;
    return true;
}

} // namespace stoutloom::size
