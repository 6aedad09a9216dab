#include "solve/shorts.h"

#include "physics/fuselink.h"
#include "physics/source.h"
#include "solve/assumed.h"
#include "solve/bare_conductors.h"
#include "solve/linear.h"
#include "solve/loops.h"
#include "solve/sources.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace stoutloom::solve {
namespace {

/// Two points closer than this are one potential: nothing to break.
constexpr double worth_a_spark_v = 0.5;

struct Source {
    model::DeviceIndex device{};
    int plus, minus;
    double emf_v;
    double ohm;
    double ceiling_a; // 0: none
};

/// A short at one point of a cable: the resistance it sees, and what comes from either side if the volts are
/// the open ones.
struct SeenFromShort {
    ShortPlace place;
    double ohm, least_ohm;
    double from_a, to_a;
};

/// One source, or all batteries, driving the live conductors; resistances seen from every point.
class LiveSide {
  public:
    LiveSide(Network network, const std::vector<Source>& driving, int ground);
    /// Resistance between ground and a short at a node, and at b of a short at a.
    double seen_ohm(int a, int b);
    bool reaches(int node) const { return reached_[static_cast<std::size_t>(node)]; }
    /// Volts of a node with no short.
    double open_v(int node) const { return open_v_[static_cast<std::size_t>(node)]; }

  private:
    Network network_;
    Islands islands_;
    std::optional<LinearNetwork> linear_;
    std::vector<bool> reached_;
    std::vector<double> open_v_;
    std::map<int, std::vector<double>> columns_;
};

LiveSide::LiveSide(Network network, const std::vector<Source>& driving, int ground)
    : network_(std::move(network)) {
    network_.reference = ground;
    std::vector<double> injected(static_cast<std::size_t>(network_.nodes), 0.0);
    for (const Source& source : driving) {
        network_.branches.push_back(
            {.a = source.plus, .b = source.minus, .ohm = source.ohm, .part = "source"});
        injected[static_cast<std::size_t>(source.plus)] += source.emf_v / source.ohm;
        injected[static_cast<std::size_t>(source.minus)] -= source.emf_v / source.ohm;
    }
    islands_ = find_islands(network_);
    linear_.emplace(network_, islands_);
    for (const int island : islands_.of)
        reached_.push_back(island == islands_.main);
    open_v_ = linear_->volts(injected);
}

double LiveSide::seen_ohm(int a, int b) {
    if (!columns_.contains(a)) {
        std::vector<double> injected(static_cast<std::size_t>(network_.nodes), 0.0);
        injected[static_cast<std::size_t>(a)] = 1;
        columns_[a] = linear_->volts(injected);
    }
    return columns_.at(a)[static_cast<std::size_t>(b)];
}

class Shorts {
  public:
    static base::Outcome<ShortCurrents, Unsolved> of(const model::Harness& harness);

  private:
    explicit Shorts(const model::Harness& harness) : harness_(harness) {}
    std::vector<Source> sources(Side side) const;
    double way_back_ohm(const Network& network, const Source& source) const;
    void one_source(std::size_t which);
    void in_reach(const Source& source, LiveSide& alone, bool with_all);
    std::vector<LiveSide> with_others(const Source& source) const;
    void cable_shorts(const Source& source, const Source& weak, std::size_t cable, LiveSide& greatest,
                      LiveSide& least, double back_ohm);
    double current_a(const Source& source, double open_v, double ohm) const {
        return source.ceiling_a > 0 ? source.ceiling_a : std::abs(open_v) / ohm;
    }

    const model::Harness& harness_;
    Network network_[2];         // by Side
    std::vector<bool> grounded_; // nodes of the ground side
    std::vector<InReach> reach_;
    std::vector<int> cable_branch_;
    ShortCurrents told_;
};

std::vector<Source> Shorts::sources(Side side) const {
    std::vector<Source> found;
    for (std::size_t d = 0; d < harness_.devices.size(); ++d) {
        const auto device = static_cast<model::DeviceIndex>(d);
        const model::DeviceKind kind = harness_.devices[d].kind();
        const auto plus = model::terminal_of(harness_, device, model::Role::positive);
        const auto minus = model::terminal_of(harness_, device, model::Role::negative);
        if (!plus || !minus)
            continue;
        Source source{.device = device,
                      .plus = network_[0].node_of[model::at(*plus)],
                      .minus = network_[0].node_of[model::at(*minus)],
                      .emf_v = 0,
                      .ohm = 0,
                      .ceiling_a = 0};
        if (kind == model::DeviceKind::battery) {
            model::Duty duty; // engine off
            duty.charge_fraction.value = side == Side::greatest ? 1.0 : 0.25;
            const BatteryLaw law = battery_law(harness_, duty, device, Supply::strongest);
            source.emf_v = law.emf_v;
            source.ohm = side == Side::greatest ? battery_least_ohm(harness_, device) : law.resistance_ohm;
        } else if (kind == model::DeviceKind::generator) {
            const auto& about = std::get<model::Generator>(harness_.devices[d].data);
            const double factor = side == Side::greatest ? generator_short_factor : 1.0;
            source.emf_v = about.set_point_v.value;
            source.ceiling_a = factor * greatest_output_a(about);
            source.ohm = source.ceiling_a > 0 ? source.emf_v / source.ceiling_a : leak_ohm;
        } else {
            continue;
        }
        found.push_back(source);
    }
    return found;
}

/// Greatest resistance between a mass and the source's negative; 0 without masses.
double Shorts::way_back_ohm(const Network& network, const Source& source) const {
    LiveSide ground(network, {}, source.minus);
    double greatest = 0;
    for (std::size_t d = 0; d < harness_.devices.size(); ++d) {
        if (harness_.devices[d].kind() != model::DeviceKind::mass)
            continue;
        const auto metal = model::metal_of(harness_, static_cast<model::DeviceIndex>(d));
        const int node = network.node_of[model::at(metal)];
        if (node != source.minus && ground.reaches(node))
            greatest = std::max(greatest, ground.seen_ohm(node, node));
    }
    return greatest;
}

void Shorts::cable_shorts(const Source& source, const Source& weak, std::size_t cable, LiveSide& greatest,
                          LiveSide& least, double back_ohm) {
    const Branch& branch = network_[0].branches[static_cast<std::size_t>(cable_branch_[cable])];
    const Branch& hot = network_[1].branches[static_cast<std::size_t>(cable_branch_[cable])];
    const int a = branch.a;
    const int b = branch.b;
    // A short in the middle is half a short at each end, and a quarter of the cable: 1 A parts into two
    // halves.
    const auto middle_ohm = [&](LiveSide& side, double ohm) {
        return (side.seen_ohm(a, a) + 2 * side.seen_ohm(a, b) + side.seen_ohm(b, b) + ohm) / 4;
    };
    const double open_v = greatest.open_v(a);
    const auto add = [&](const SeenFromShort& seen) {
        const double full_a = std::abs(open_v) / seen.ohm;
        ShortCurrent told{
            .cable = static_cast<model::CableIndex>(cable), .place = seen.place, .source = source.device};
        told.greatest_a = current_a(source, open_v, seen.ohm);
        told.least_a = current_a(weak, least.open_v(a), seen.least_ohm + back_ohm);
        told.through_from_a = told.greatest_a * std::max(0.0, seen.from_a / full_a);
        told.through_to_a = told.greatest_a * std::max(0.0, seen.to_a / full_a);
        told_.cables.push_back(told);
    };
    const auto end = [&](ShortPlace place, int here, int other) {
        const double ohm = greatest.seen_ohm(here, here);
        const double other_v = std::abs(open_v) - std::abs(open_v) / ohm * greatest.seen_ohm(here, other);
        const double through_a = other_v / branch.ohm;
        add({.place = place,
             .ohm = ohm,
             .least_ohm = least.seen_ohm(here, here),
             .from_a = place == ShortPlace::from ? 0 : through_a,
             .to_a = place == ShortPlace::from ? through_a : 0});
    };
    end(ShortPlace::from, a, b);
    const double ohm = middle_ohm(greatest, branch.ohm);
    const double half_a = std::abs(open_v) / ohm / 2;
    const double v_a = std::abs(open_v) - half_a * (greatest.seen_ohm(a, a) + greatest.seen_ohm(a, b));
    const double v_b = std::abs(open_v) - half_a * (greatest.seen_ohm(b, a) + greatest.seen_ohm(b, b));
    add({.place = ShortPlace::middle,
         .ohm = ohm,
         .least_ohm = middle_ohm(least, hot.ohm),
         .from_a = 2 * v_a / branch.ohm,
         .to_a = 2 * v_b / branch.ohm});
    end(ShortPlace::to, b, a);
}

void Shorts::one_source(std::size_t which) {
    const std::vector<Source> strong = sources(Side::greatest);
    const std::vector<Source> weak = sources(Side::least);
    const Source& source = strong[which];
    std::vector<Source> driving[2] = {{strong[which]}, {weak[which]}};
    const bool in_series = !grounded_[static_cast<std::size_t>(source.minus)];
    if (in_series)
        for (std::size_t other = 0; other < strong.size(); ++other)
            if (other != which && strong[other].ceiling_a == 0) {
                driving[0].push_back(strong[other]);
                driving[1].push_back(weak[other]);
            }
    // Greatest: every part of the ground side is the source's negative itself.
    Network solid_ground = network_[0];
    const int ground = in_series ? network_[0].reference : source.minus;
    for (int n = 0; n < solid_ground.nodes; ++n)
        if (grounded_[static_cast<std::size_t>(n)] && n != ground)
            solid_ground.branches.push_back({.a = n, .b = ground, .ohm = nothing_ohm, .part = "metal"});
    LiveSide greatest(std::move(solid_ground), driving[0], ground);
    LiveSide least(network_[1], driving[1], ground);
    const double back_ohm = in_series ? 0.0 : way_back_ohm(network_[1], source);
    const auto live = [&](int node) {
        return greatest.reaches(node) && !grounded_[static_cast<std::size_t>(node)];
    };
    for (std::size_t c = 0; c < cable_branch_.size(); ++c)
        if (cable_branch_[c] >= 0 && live(network_[0].branches[static_cast<std::size_t>(cable_branch_[c])].a))
            cable_shorts(source, weak[which], c, greatest, least, back_ohm);
    in_reach(source, greatest, in_series);
    for (std::size_t t = 0; t < harness_.terminals.size(); ++t) {
        const int node = network_[0].node_of[t];
        if (!live(node))
            continue;
        told_.terminals.push_back(
            {.terminal = static_cast<model::TerminalIndex>(t),
             .source = source.device,
             .greatest_a = current_a(source, greatest.open_v(node), greatest.seen_ohm(node, node)),
             .least_a = current_a(weak[which], least.open_v(node), least.seen_ohm(node, node) + back_ohm)});
    }
}

/// The source with every other battery in the circuit, these full or flat.
std::vector<LiveSide> Shorts::with_others(const Source& source) const {
    std::vector<LiveSide> sides;
    const std::vector<Source> full = sources(Side::greatest), flat = sources(Side::least);
    for (const bool others_full : {true, false}) {
        std::vector<Source> driving = {source};
        for (std::size_t other = 0; other < full.size(); ++other)
            if (full[other].device != source.device && full[other].ceiling_a == 0) {
                driving.push_back(full[other]);
                if (!others_full)
                    driving.back().emf_v = flat[other].emf_v;
            }
        sides.emplace_back(network_[0], driving, source.minus);
    }
    return sides;
}

void Shorts::in_reach(const Source& source, LiveSide& alone, bool with_all) {
    std::vector<LiveSide> others;
    for (const InReach& between : reach_) {
        const int a = network_[0].node_of[model::at(between.stud)];
        const int b = network_[0].node_of[model::at(between.part)];
        if (a == b || (!alone.reaches(a) && !alone.reaches(b)))
            continue;
        double greatest_a = 0;
        bool of_all = with_all;
        const auto ask = [&](LiveSide& side) {
            if (!side.reaches(a) || !side.reaches(b))
                return;
            const double open_v = std::abs(side.open_v(a) - side.open_v(b));
            const double ohm = side.seen_ohm(a, a) - 2 * side.seen_ohm(a, b) + side.seen_ohm(b, b);
            if (open_v > worth_a_spark_v)
                greatest_a = std::max(greatest_a, current_a(source, open_v, ohm));
        };
        ask(alone);
        if (source.ceiling_a == 0 && !(alone.reaches(a) && alone.reaches(b))) {
            of_all = true;
            if (others.empty())
                others = with_others(source);
            for (LiveSide& side : others)
                ask(side);
        }
        if (greatest_a > 0)
            told_.in_reach.push_back({.between = between,
                                      .source = source.device,
                                      .greatest_a = greatest_a,
                                      .of_all_batteries = of_all});
    }
}

base::Outcome<ShortCurrents, Unsolved> Shorts::of(const model::Harness& harness) {
    Shorts shorts(harness);
    for (const Side side : {Side::greatest, Side::least}) {
        auto made = bare_conductors(harness, side);
        if (!made)
            return base::failure(Unsolved{made.error()});
        shorts.network_[side == Side::greatest ? 0 : 1] = std::move(*made);
    }
    shorts.cable_branch_.assign(harness.cables.size(), -1);
    for (std::size_t i = 0; i < shorts.network_[0].branches.size(); ++i)
        if (shorts.network_[0].branches[i].owner == Owner::cable)
            shorts.cable_branch_[shorts.network_[0].branches[i].index] = static_cast<int>(i);
    const std::vector<int> component = conductor_components(shorts.network_[0], {});
    const int ground = component[static_cast<std::size_t>(shorts.network_[0].reference)];
    for (const int of : component)
        shorts.grounded_.push_back(of == ground);
    shorts.reach_ = parts_in_reach(harness);
    for (std::size_t which = 0; which < shorts.sources(Side::greatest).size(); ++which)
        shorts.one_source(which);
    return shorts.told_;
}

} // namespace

base::Outcome<ShortCurrents, Unsolved> short_currents(const model::Harness& harness) {
    return Shorts::of(harness);
}

} // namespace stoutloom::solve
