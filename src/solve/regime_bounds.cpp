#include "solve/regime_bounds.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace stoutloom::solve {
namespace {

constexpr double endless = std::numeric_limits<double>::infinity();
constexpr std::size_t most_regimes = 2000;

/// A quantity as the sum of what the loads draw: at_rest + per_a x.
struct Sum {
    double at_rest = 0;
    std::vector<double> per_a; // by load
};

/// One regime: every source on one piece of its law, prolonged; then all is linear in the loads' currents.
struct HeldRegime {
    std::vector<Sum> cables;                        // A
    std::vector<Sum> load_v;                        // volts across each load
    std::vector<std::pair<Sum, const Port*>> sense; // volts at each source's sense point
    std::vector<std::size_t> piece;                 // by entry of sense
    bool possible = true;
};

/// What a load can draw and the volts it can get.
struct LoadRange {
    double low_v, high_v;
    double low_a = 0, high_a = 0;
};

class Bounds {
  public:
    explicit Bounds(const FrozenNetwork& frozen) : frozen_(frozen) {}
    base::Outcome<RegimeBounds, Unsolved> run();

  private:
    HeldRegime regime_of(const std::vector<std::size_t>& source_piece) const;
    bool make_regimes();
    void draw_ranges();
    bool narrow_volts();
    BoxProgram program_of(const HeldRegime& regime) const;
    BoundedCurrent& note(BoundedCurrent& bounded, double bound_a, const std::vector<double>& x) const;
    double drawn_a(std::size_t load, double volts) const;
    const Port& port(std::size_t load) const { return frozen_.picture().ports[frozen_.loads()[load].port]; }

    const FrozenNetwork& frozen_;
    std::vector<HeldRegime> regimes_;
    std::vector<LoadRange> range_; // by load
    bool volts_known_ = false;
};

/// Current of a load that is on.
double Bounds::drawn_a(std::size_t load, double volts) const {
    const double ohm = frozen_.loads()[load].ohm;
    if (ohm > 0)
        return volts / ohm;
    const Port& about = port(load);
    const double folded_a = about.pieces[1].beta_s * volts;
    const double greatest_a = about.pieces[0].alpha_a;
    if (about.power_w > 0 && volts > about.fold_v)
        return about.power_w / volts;
    return std::clamp(folded_a, -greatest_a, greatest_a);
}

HeldRegime Bounds::regime_of(const std::vector<std::size_t>& source_piece) const {
    PortPicture probe = frozen_.picture();
    for (const FrozenLoad& load : frozen_.loads())
        probe.ports[load.port].pieces = {{.alpha_a = 0, .beta_s = 0, .upto_v = endless}};
    const HeldPieces held(probe, source_piece);
    const PortAnswer rest = held.answer();
    std::vector<PortAnswer> unit;
    for (const FrozenLoad& load : frozen_.loads()) {
        probe.ports[load.port].pieces[0].alpha_a = -1;
        unit.push_back(held.answer());
        probe.ports[load.port].pieces[0].alpha_a = 0;
    }
    const auto sum_of = [&](const auto& read) {
        Sum sum{.at_rest = read(rest), .per_a = {}};
        for (const PortAnswer& answer : unit)
            sum.per_a.push_back(read(answer) - sum.at_rest);
        return sum;
    };
    HeldRegime regime;
    for (std::size_t c = 0; c < frozen_.network().cable_branch.size(); ++c)
        regime.cables.push_back(
            sum_of([&](const PortAnswer& answer) { return frozen_.cable_a(c, answer.correction_a); }));
    for (const FrozenLoad& load : frozen_.loads())
        regime.load_v.push_back(sum_of([&](const PortAnswer& answer) { return answer.volts[load.port]; }));
    for (std::size_t k = 0; k < frozen_.picture().ports.size(); ++k) {
        const Port& source = frozen_.picture().ports[k];
        if (source.kind == PortKind::consumer || source.pieces.size() < 2)
            continue;
        regime.sense.emplace_back(sum_of([&](const PortAnswer& answer) { return answer.sense_v[k]; }),
                                  &source);
        regime.piece.push_back(source_piece[k]);
    }
    return regime;
}

/// Every choice of pieces of batteries and charging units. Rectifiers stay blocked, but where a unit senses
/// at a distance one may be driven into its avalanche.
bool Bounds::make_regimes() {
    const auto& ports = frozen_.picture().ports;
    const bool far = std::any_of(ports.begin(), ports.end(),
                                 [](const Port& source) { return source.sense_plus != source.plus; });
    const auto free_pieces = [far](const Port& source) -> std::size_t {
        if (source.kind == PortKind::consumer)
            return 1;
        if (source.kind == PortKind::rectifier)
            return far ? 2 : 1;
        return source.pieces.size();
    };
    std::size_t count = 1;
    for (const Port& source : ports) {
        count *= free_pieces(source);
        if (count > most_regimes)
            return false;
    }
    for (std::size_t choice = 0; choice < count; ++choice) {
        std::vector<std::size_t> piece;
        std::size_t rest = choice;
        for (const Port& source : ports) {
            const std::size_t pieces = free_pieces(source);
            piece.push_back(rest % pieces + (source.kind == PortKind::rectifier ? 1 : 0));
            rest /= pieces;
        }
        regimes_.push_back(regime_of(piece));
    }
    return true;
}

void Bounds::draw_ranges() {
    for (std::size_t i = 0; i < range_.size(); ++i) {
        LoadRange& range = range_[i];
        range.low_a = range.high_a = 0;
        if (!frozen_.loads()[i].fed)
            continue;
        const double first = drawn_a(i, range.low_v);
        const double second = drawn_a(i, range.high_v);
        range.low_a = std::min(first, second);
        range.high_a = std::max(first, second);
        // The greatest draw of a power load is at its fold.
        if (port(i).power_w > 0 && range.low_v < port(i).fold_v && range.high_v > port(i).fold_v)
            range.high_a = drawn_a(i, port(i).fold_v);
        if (!frozen_.loads()[i].choice)
            continue;
        range.low_a = std::min(range.low_a, 0.0);
        range.high_a = std::max(range.high_a, 0.0);
    }
}

BoxProgram Bounds::program_of(const HeldRegime& regime) const {
    BoxProgram program;
    for (const LoadRange& range : range_) {
        program.low.push_back(range.low_a);
        program.high.push_back(range.high_a);
    }
    for (std::size_t s = 0; s < regime.sense.size(); ++s) {
        const auto& [sum, source] = regime.sense[s];
        const std::size_t piece = regime.piece[s];
        const double low = piece == 0 ? -endless : source->pieces[piece - 1].upto_v;
        const double high = source->pieces[piece].upto_v;
        const double slack = 1e-7 * (1 + std::abs(std::isfinite(low) ? low : high));
        if (!std::isfinite(low) && !std::isfinite(high))
            continue;
        program.rows.push_back(
            {.a = sum.per_a, .low = low - sum.at_rest - slack, .high = high - sum.at_rest + slack});
    }
    if (!volts_known_)
        return program;
    for (std::size_t i = 0; i < range_.size(); ++i) {
        const LoadRange& range = range_[i];
        if (!frozen_.loads()[i].fed || range.low_v < 0)
            continue;
        BoxRow row{.a = regime.load_v[i].per_a, .low = -endless, .high = endless};
        if (const double ohm = frozen_.loads()[i].ohm; ohm > 0) {
            row.a[i] -= ohm; // on or off, its current times its ohms is at most its volts
            row.low = -regime.load_v[i].at_rest - 1e-7;
            program.rows.push_back(row);
        } else if (const double low_v = std::max(range.low_v, port(i).fold_v);
                   port(i).power_w > 0 && range.high_v > low_v) {
            // P / v lies under its chord over the volts it can get.
            const double share = port(i).power_w / (low_v * range.high_v);
            for (double& a : row.a)
                a *= share;
            row.a[i] += 1;
            row.high = port(i).power_w / low_v + port(i).power_w / range.high_v -
                       share * regime.load_v[i].at_rest + 1e-7;
            program.rows.push_back(row);
        }
    }
    return program;
}

/// Volts each load can get, over all regimes that can hold. False when none can.
bool Bounds::narrow_volts() {
    std::vector<LoadRange> next = range_;
    for (LoadRange& range : next) {
        range.low_v = endless;
        range.high_v = -endless;
    }
    bool any = false;
    for (HeldRegime& regime : regimes_) {
        if (!regime.possible)
            continue;
        BoxSolver solver(program_of(regime));
        regime.possible = !solver.impossible();
        if (!regime.possible)
            continue;
        any = true;
        for (std::size_t i = 0; i < range_.size(); ++i) {
            const Sum& volts = regime.load_v[i];
            std::vector<double> down = volts.per_a;
            for (double& value : down)
                value = -value;
            next[i].high_v = std::max(next[i].high_v, volts.at_rest + solver.maximise(volts.per_a).bound);
            next[i].low_v = std::min(next[i].low_v, volts.at_rest - solver.maximise(down).bound);
        }
    }
    if (!any)
        return false;
    for (std::size_t i = 0; i < range_.size(); ++i) {
        range_[i].low_v = std::max(range_[i].low_v, next[i].low_v);
        range_[i].high_v = std::min(range_[i].high_v, next[i].high_v);
    }
    volts_known_ = true;
    draw_ranges();
    return true;
}

BoundedCurrent& Bounds::note(BoundedCurrent& bounded, double bound_a, const std::vector<double>& x) const {
    bounded.bound_a = std::max(bounded.bound_a, bound_a);
    std::vector<bool> corner;
    for (std::size_t i = 0; i < x.size(); ++i)
        corner.push_back(!frozen_.loads()[i].choice ||
                         std::abs(x[i]) > 0.5 * std::max(range_[i].high_a, -range_[i].low_a));
    if (std::find(bounded.corners.begin(), bounded.corners.end(), corner) == bounded.corners.end())
        bounded.corners.push_back(corner);
    return bounded;
}

base::Outcome<RegimeBounds, Unsolved> Bounds::run() {
    double reach_v = 0;
    for (const Port& source : frozen_.picture().ports) {
        if (source.kind == PortKind::battery)
            reach_v += source.pieces[0].alpha_a / source.pieces[0].beta_s;
        if (source.kind == PortKind::generator)
            reach_v += source.pieces[1].upto_v;
    }
    // No two points lie further apart than all sources in series; doubled for a unit that senses behind a
    // long feed.
    range_.assign(frozen_.loads().size(), {.low_v = -2 * reach_v, .high_v = 2 * reach_v});
    draw_ranges();
    if (!make_regimes())
        return base::failure(Unsolved{.message = "too many sources to bound every regime", .subjects = {}});
    for (int pass = 0; pass < 3; ++pass)
        if (!narrow_volts())
            return base::failure(Unsolved{.message = "no regime of the sources can hold", .subjects = {}});
    RegimeBounds bounds;
    bounds.cables.resize(frozen_.network().cable_branch.size());
    for (const HeldRegime& regime : regimes_) {
        if (!regime.possible)
            continue;
        ++bounds.possible_regimes;
        BoxSolver solver(program_of(regime));
        for (std::size_t c = 0; c < bounds.cables.size(); ++c)
            for (const double sign : {1.0, -1.0}) {
                std::vector<double> c_row = regime.cables[c].per_a;
                for (double& value : c_row)
                    value *= sign;
                const auto greatest = solver.maximise(c_row);
                note(bounds.cables[c], greatest.bound + sign * regime.cables[c].at_rest, greatest.x);
            }
    }
    return bounds;
}

} // namespace

base::Outcome<RegimeBounds, Unsolved> regime_bounds(const FrozenNetwork& frozen) {
    return Bounds(frozen).run();
}

} // namespace stoutloom::solve
