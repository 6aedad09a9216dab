#include "size/duty_bounds.h"

namespace stoutloom::size {
namespace {

/// A margin over the solver's own tolerance, so that a choice on the very limit is left to the rules
/// themselves.
constexpr double over_limit = 1 + 1e-6;
/// Of what no combination exceeds, the rule lets pass what comes within a thousandth of one that was tried.
constexpr double over_bound = 1.002, over_bound_a = 0.02;

} // namespace

DutyBounds::DutyBounds(const model::Harness& harness, std::size_t duty, const CableTable& table,
                       const Requirements& requirements, const solve::Variation& variation, Keeps keeps)
    : harness_(harness), table_(table), duty_(duty), keeps_(keeps), keeps_rules_(keeps == Keeps::rules),
      graph_(duty_graph(harness, harness.duties[duty], variation)), grounds_(requirements.grounds),
      returns_(requirements.returns), pairs_(graph_.blocks.size()) {
    if (!keeps_rules_) // a consumer may go dark then
        for (Appliance& appliance : graph_.appliances)
            appliance.supplied = false;
    std::vector<std::size_t> sources; // batteries first
    for (const solve::PortKind kind : {solve::PortKind::battery, solve::PortKind::generator})
        for (std::size_t k = 0; k < graph_.appliances.size(); ++k)
            if (graph_.appliances[k].port && graph_.appliances[k].port->kind == kind)
                sources.push_back(k);
    if (!sources.empty())
        reference_ = sources.front();
    prepare_volts(sources);
    find_hanging();
    const auto node = [&](model::TerminalIndex terminal) { return graph_.node_of[model::at(terminal)]; };
    for (std::size_t r = 0; r < requirements.drops.size(); ++r) {
        const DropRequirement& asked = requirements.drops[r];
        if (std::find(asked.duties.begin(), asked.duties.end(), duty) == asked.duties.end())
            continue;
        DutyDrop drop{.requirement = r,
                      .ways = {},
                      .ranked_by = {},
                      .instead = {},
                      .limit_v = asked.limit_v,
                      .always = !asked.in_heaviest_only || asked.duties.size() == 1,
                      .high_end = {},
                      .low_end = {}};
        bool joined = true;
        for (auto [list, ends] :
             {std::pair{&drop.ways, &asked.ways}, std::pair{&drop.ranked_by, &asked.ranked_by},
              std::pair{&drop.instead, &asked.instead}})
            for (const auto& [from, to] : *ends) {
                const auto way = graph_.way(node(from), node(to));
                joined = joined && way;
                if (way)
                    list->push_back(*way);
            }
        if (!joined)
            continue;
        find_ends(asked, drop);
        for (const auto* list : {&drop.ways, &drop.ranked_by, &drop.instead})
            for (const Way& way : *list)
                note_pairs(way);
        drops_.push_back(std::move(drop));
        drop_names_.push_back(asked.why);
    }
    reset({});
}

void DutyBounds::find_ends(const DropRequirement& asked, DutyDrop& drop) const {
    if (asked.ways.size() != 2)
        return;
    const auto node = [&](model::TerminalIndex terminal) { return graph_.node_of[model::at(terminal)]; };
    for (std::size_t k = 0; k < graph_.appliances.size(); ++k) {
        const Appliance& appliance = graph_.appliances[k];
        if (!appliance.port || appliance.port->sense_plus != appliance.plus ||
            appliance.port->sense_minus != appliance.minus)
            continue;
        if (appliance.plus == node(asked.ways[0].first) && appliance.minus == node(asked.ways[1].second))
            drop.high_end = k;
        if (appliance.plus == node(asked.ways[0].second) && appliance.minus == node(asked.ways[1].first))
            drop.low_end = k;
    }
}

void DutyBounds::note_pairs(const Way& way) {
    for (const Leg& leg : way)
        if (!leg.wire && std::find(pairs_[leg.block].begin(), pairs_[leg.block].end(),
                                   std::pair(leg.from, leg.to)) == pairs_[leg.block].end())
            pairs_[leg.block].emplace_back(leg.from, leg.to);
}

/// Of two systems that only a ground joins each has a source of its own to tell its volts by.
void DutyBounds::prepare_volts(const std::vector<std::size_t>& sources) {
    for (const Appliance& appliance : graph_.appliances) {
        const int plus = appliance.port ? appliance.port->sense_plus : appliance.plus;
        const int minus = appliance.port ? appliance.port->sense_minus : appliance.minus;
        VoltsBy by;
        by.direct = graph_.way(plus, minus);
        for (const std::size_t source : sources) {
            if (by.direct || by.to_plus)
                break;
            by.reference = source;
            by.to_plus = graph_.way(graph_.appliances[source].plus, plus);
            by.to_minus = graph_.way(minus, graph_.appliances[source].minus);
            if (!by.to_plus || !by.to_minus)
                by.to_plus = by.to_minus = std::nullopt;
        }
        for (const auto* way : {&by.direct, &by.to_plus, &by.to_minus})
            if (*way)
                note_pairs(**way);
        volts_by_.push_back(std::move(by));
        same_volts_.push_back(same_volts_.size());
        for (std::size_t k = same_volts_.size() - 1; k-- > 0;)
            if (const Appliance& other = graph_.appliances[k];
                plus == (other.port ? other.port->sense_plus : other.plus) &&
                minus == (other.port ? other.port->sense_minus : other.minus))
                same_volts_.back() = k;
    }
}

void DutyBounds::reset(const std::set<std::string>& left_out) {
    // No voltage of a network of resistances and loads exceeds the sum of what its sources hold unloaded. A
    // unit that senses far from its own studs may go higher: in a good kit by no more than its loop may lose
    // and what batteries drive backwards on the rest of the loop; nothing is said where no rule limits the
    // loop.
    double sources_v = 0, set_point_v = 0, emf_v = 0, far_sense_v = 0;
    int turning = 0;
    bool far_sense = false;
    for (const Appliance& appliance : graph_.appliances) {
        if (!appliance.port)
            continue;
        const solve::Port& port = *appliance.port;
        if (port.kind == solve::PortKind::battery)
            emf_v += port.pieces[0].alpha_a / port.pieces[0].beta_s;
        if (port.kind != solve::PortKind::generator)
            continue;
        ++turning;
        set_point_v = std::max(set_point_v, port.pieces[1].upto_v);
        sources_v += port.pieces[1].upto_v;
        if (port.sense_plus == port.plus)
            continue;
        const std::string rule = appliance.device ? "charging-drop " + harness_.device(*appliance.device).id +
                                                        ", feed and return together"
                                                  : std::string();
        const auto limited = std::find(drop_names_.begin(), drop_names_.end(), rule);
        if (limited == drop_names_.end() || left_out.contains(rule))
            far_sense = true;
        else
            far_sense_v += drops_[static_cast<std::size_t>(limited - drop_names_.begin())].limit_v;
    }
    if (far_sense_v > 0)
        far_sense_v += emf_v;
    sources_v += emf_v + far_sense_v;
    const double bound_v = far_sense ? unknown_bound : sources_v;
    known_.appliance_a.assign(graph_.appliances.size(), {-unknown_bound, unknown_bound});
    known_.volts_v.assign(graph_.appliances.size(), {-bound_v, bound_v});
    for (std::size_t k = 0; k < known_.volts_v.size(); ++k) {
        const Appliance& appliance = graph_.appliances[k];
        // Rule supply-collapse: a consumer that should run is not under its fold in a good kit.
        if (appliance.supplied)
            known_.volts_v[k].low = appliance.port->fold_v * (1 - 1e-6);
        // A unit at more than its set point gives nothing; what holds it there could only be the batteries'
        // EMF.
        if (appliance.port && appliance.port->kind == solve::PortKind::generator && turning == 1)
            known_.volts_v[k].high = std::max(set_point_v, emf_v);
    }
    known_.wire_a.assign(graph_.wires.size(), {-unknown_bound, unknown_bound});
    known_.wire_ohm.assign(graph_.wires.size(), {0, unknown_bound});
    for (std::size_t w = 0; w < graph_.wires.size(); ++w)
        if (graph_.wires[w].kind == WireKind::fixed)
            known_.wire_ohm[w] = {graph_.wires[w].ohm, graph_.wires[w].ohm};
    known_.pair_v.clear();
    for (const auto& pairs : pairs_)
        known_.pair_v.emplace_back(pairs.size(), Interval{-unknown_bound, unknown_bound});
    last_.clear();
}

std::string DutyBounds::rule_of_path(const Wire& wire) const {
    return "incidental-current " + harness_.incidentals[wire.index].id;
}

std::string DutyBounds::name_of(std::size_t wire) const {
    const Wire& about = graph_.wires[wire];
    if (about.kind == WireKind::cable)
        return harness_.cables[about.index].id;
    if (about.kind == WireKind::fuse_link)
        return harness_.devices[about.index].id;
    return "a fixed part";
}

Interval DutyBounds::sum_of(const std::vector<Share>& shares) const {
    Interval sum{0, 0};
    for (const Share& share : shares)
        sum = sum + share.sign * known_.appliance_a[share.appliance];
    return sum;
}

Interval DutyBounds::wire_v(std::size_t wire) const {
    return times(known_.wire_a[wire], known_.wire_ohm[wire]);
}

Interval DutyBounds::leg_v(const Leg& leg) const {
    if (leg.wire)
        return leg.sign * wire_v(*leg.wire);
    const auto& pairs = pairs_[leg.block];
    const auto found = std::find(pairs.begin(), pairs.end(), std::pair(leg.from, leg.to));
    return known_.pair_v[leg.block][static_cast<std::size_t>(found - pairs.begin())];
}

Interval DutyBounds::way_v(const Way& way) const {
    Interval sum{0, 0};
    for (const Leg& leg : way)
        sum = sum + leg_v(leg);
    return sum;
}

Interval DutyBounds::drop_v(const std::vector<Way>& ways) const {
    Interval sum{0, 0};
    for (const Way& way : ways)
        sum = sum + way_v(way);
    return sum;
}

/// Through a cable or fuse-link; nothing flows where the network has none.
Interval DutyBounds::wire_a_of(WireKind kind, std::size_t index) const {
    for (std::size_t w = 0; w < graph_.wires.size(); ++w)
        if (graph_.wires[w].kind == kind && graph_.wires[w].index == index)
            return known_.wire_a[w];
    return {0, 0};
}

Interval DutyBounds::path_a(std::size_t incidental) const {
    for (std::size_t w = 0; w < graph_.wires.size(); ++w)
        if (graph_.wires[w].incidental && graph_.wires[w].index == incidental)
            return known_.wire_a[w];
    return {0, 0};
}

bool DutyBounds::narrow_balances(std::string& why) {
    for (const std::vector<Share>& balance : graph_.balance)
        for (const Share& one : balance) {
            Interval others{0, 0};
            for (const Share& other : balance)
                if (other.appliance != one.appliance)
                    others = others + other.sign * known_.appliance_a[other.appliance];
            if (!narrow(known_.appliance_a[one.appliance], -one.sign * others)) {
                why = "the balance of currents";
                return false;
            }
        }
    return true;
}

bool DutyBounds::narrow_volts(std::string& why) {
    for (std::size_t k = 0; k < graph_.appliances.size(); ++k) {
        const Appliance& appliance = graph_.appliances[k];
        const VoltsBy& by = volts_by_[k];
        Interval& same = known_.volts_v[same_volts_[k]];
        bool good = narrow(known_.volts_v[k], same) && narrow(same, known_.volts_v[k]);
        if (by.direct)
            good = good && narrow(known_.volts_v[k], way_v(*by.direct));
        if (by.to_plus) {
            const Interval lost = way_v(*by.to_plus) + way_v(*by.to_minus);
            good = good && narrow(known_.volts_v[k], known_.volts_v[by.reference] - lost) &&
                   narrow(known_.volts_v[by.reference], known_.volts_v[k] + lost);
        }
        good = good && narrow(known_.appliance_a[k], current_for(appliance, known_.volts_v[k])) &&
               narrow(known_.volts_v[k], volts_for(appliance, known_.appliance_a[k]));
        if (good)
            continue;
        why = "the volts of " + (appliance.device ? harness_.device(*appliance.device).id : "a part");
        return false;
    }
    return true;
}

bool DutyBounds::narrow_wires(OpenOptions& open, std::string& why) {
    for (std::size_t w = 0; w < graph_.wires.size(); ++w) {
        if (graph_.wires[w].block < 0) {
            const BridgeLaw& law = graph_.bridge[w];
            if (!narrow(known_.wire_a[w], sum_of(law.beyond_b)) ||
                !narrow(known_.wire_a[w], sum_of(law.beyond_a))) {
                why = "the current of " + name_of(w);
                return false;
            }
        }
        if (!narrow_resistance(w, open, why))
            return false;
    }
    return true;
}

/// Closes options that cannot carry the least current; the others bound current and resistance.
bool DutyBounds::narrow_resistance(std::size_t w, OpenOptions& open, std::string& why) {
    const Wire& wire = graph_.wires[w];
    if (wire.kind == WireKind::fixed) {
        if (!wire.allowed_a || !keeps_rules_ || open.left_out.contains(rule_of_path(wire)) ||
            narrow(known_.wire_a[w], over_limit * Interval{-*wire.allowed_a, *wire.allowed_a}))
            return true;
        why = rule_of_path(wire);
        return false;
    }
    const bool cable = wire.kind == WireKind::cable;
    const auto choice = cable ? table_.choice_of_cable(wire.index) : table_.choice_of_link(wire.index);
    const bool continuous = !harness_.duties[duty_].duration_s;
    const double least_a = least_magnitude(known_.wire_a[w]), most_a = greatest_magnitude(known_.wire_a[w]);
    std::uint64_t kept = choice ? open.bits[*choice] : 1;
    const std::string loop_rule = "return-loop " + name_of(w);
    const bool loop_counted = !open.left_out.contains(loop_rule);
    const std::string rule =
        (cable ? (continuous ? "cable-ampacity " : "cable-short-duty ") : "fuse-continuous-load ") +
        name_of(w);
    const bool other_choice = keeps_ == Keeps::currents;
    const bool counted = (keeps_rules_ || (other_choice && cable)) && !open.left_out.contains(rule);
    Interval ohm{unknown_bound, 0};
    double carried_a = 0;
    const Interval joints = cable ? table_.joints_ohm(wire.index, open.bits) : Interval{0, 0};
    for (std::uint64_t bits = kept; bits != 0; bits &= bits - 1) {
        const std::size_t option = lowest(bits);
        std::optional<double> allowed_a;
        if (continuous && counted)
            allowed_a =
                cable ? table_.usable_a(wire.index, option) : table_.link_allowed_a(wire.index, option);
        if (allowed_a && other_choice)
            *allowed_a = *allowed_a * over_bound + over_bound_a;
        const auto loop_a = loop_counted ? loop_allowed_a(wire, option, open) : std::nullopt;
        const bool strange = loop_a && least_a > *loop_a * over_limit;
        const bool burns = cable && !continuous && counted && table_.starts_cold(duty_) &&
                           table_.overheats(wire.index, option, duty_, least_a / over_limit);
        if (strange || burns || (allowed_a && least_a > *allowed_a * over_limit)) {
            kept &= ~(bits & (~bits + 1));
            if (choice)
                open.because.try_emplace({*choice, option}, strange ? loop_rule : rule);
            continue;
        }
        double here_a = allowed_a ? std::min(most_a, *allowed_a * over_limit) : most_a;
        if (loop_a)
            here_a = std::min(here_a, *loop_a * over_limit);
        carried_a = std::max(carried_a, here_a);
        if (!cable) {
            ohm = hull(ohm, table_.link_ohm(wire.index, option));
        } else if (other_choice) {
            const double cold_ohm = table_.cold_ohm(wire.index, option);
            ohm = hull(ohm, {cold_ohm, cold_ohm});
        } else if (!keeps_rules_) { // told at the temperatures that it had before
            ohm = hull(ohm, {table_.ohm_at_least(wire.index, option, duty_, 0),
                             table_.warmest_good_ohm(wire.index, option)});
        } else if (continuous || table_.starts_cold(duty_)) {
            ohm = hull(ohm, {table_.ohm_at_least(wire.index, option, duty_, least_a),
                             table_.ohm_at_most(wire.index, option, duty_, here_a)});
        } else {
            ohm = hull(ohm, {table_.ohm_at_least(wire.index, option, duty_, 0),
                             table_.hottest_ohm(wire.index, option)});
        }
    }
    if (kept == 0) {
        why = rule;
        return false;
    }
    if (choice && kept != open.bits[*choice]) {
        open.bits[*choice] = kept;
        open.changed = true;
    }
    known_.wire_ohm[w] = {(ohm.low + joints.low) * (1 - 1e-7), (ohm.high + joints.high) * (1 + 1e-7)};
    if (narrow(known_.wire_a[w], {-carried_a, carried_a}))
        return true;
    why = "the current of " + name_of(w);
    return false;
}

bool DutyBounds::narrow_blocks(std::string& why) {
    for (std::size_t b = 0; b < graph_.blocks.size(); ++b) {
        const BlockAnswer answer = block_flow({.graph = &graph_,
                                               .block = b,
                                               .wire_ohm = &known_.wire_ohm,
                                               .appliance_a = &known_.appliance_a,
                                               .pairs = &pairs_[b]});
        for (std::size_t i = 0; i < answer.wire_a.size(); ++i) {
            const std::size_t w = graph_.blocks[b].wires[i];
            if (narrow(known_.wire_a[w], answer.wire_a[i]))
                continue;
            why = "the current of " + name_of(w);
            return false;
        }
        for (std::size_t p = 0; p < answer.pair_v.size(); ++p)
            if (!narrow(known_.pair_v[b][p], answer.pair_v[p])) {
                why = "the volts across a loop";
                return false;
            }
    }
    return true;
}

/// A cable of one size at the currents that are possible in it, with the best studs.
Interval DutyBounds::cable_ohm_at(std::size_t w, std::size_t option) const {
    const std::size_t cable = graph_.wires[w].index;
    const bool known_start = !harness_.duties[duty_].duration_s || table_.starts_cold(duty_);
    const double least_a = known_start ? least_magnitude(known_.wire_a[w]) : 0;
    const double least_ohm = table_.ohm_at_least(cable, option, duty_, least_a) * (1 - 1e-7);
    const double most_ohm =
        known_start
            ? table_.ohm_at_most(cable, option, duty_, greatest_magnitude(known_.wire_a[w])) * (1 + 1e-7)
            : table_.hottest_ohm(cable, option);
    return {least_ohm, std::max(least_ohm, most_ohm)};
}

Interval DutyBounds::wire_v_at(std::size_t w, std::size_t option) const {
    const Wire& wire = graph_.wires[w];
    return times(known_.wire_a[w], wire.kind == WireKind::fuse_link ? table_.link_ohm(wire.index, option)
                                                                    : cable_ohm_at(w, option));
}

bool DutyBounds::narrow_row(std::size_t d, OpenOptions& open) const {
    const DutyDrop& drop = drops_[d];
    const double limit_v = drop.limit_v + 1e-6 * (1 + std::abs(drop.limit_v));
    std::map<std::size_t, std::vector<double>> by_choice;
    double least_v = 0;
    drop_terms(drop.ways, open, by_choice, least_v);
    std::map<std::size_t, double> least_of;
    for (const auto& [choice, amounts] : by_choice) {
        double least = amounts[lowest(open.bits[choice])];
        for (std::uint64_t left = open.bits[choice]; left != 0; left &= left - 1)
            least = std::min(least, amounts[lowest(left)]);
        least_of[choice] = least;
        least_v += least;
    }
    if (least_v > limit_v || drop_v(drop.ways).low > limit_v)
        return false;
    for (const auto& [choice, amounts] : by_choice)
        for (std::uint64_t left = open.bits[choice]; left != 0; left &= left - 1)
            if (least_v - least_of[choice] + amounts[lowest(left)] > limit_v) {
                open.bits[choice] &= ~(left & (~left + 1));
                open.because.try_emplace({choice, lowest(left)}, drop_names_[d]);
                open.changed = true;
            }
    return true;
}

/// A loop's drop is the difference of the volts at its two ends.
bool DutyBounds::narrow_ends(const DutyDrop& drop) {
    if (!drop.high_end || !drop.low_end)
        return true;
    const double limit_v = drop.limit_v + 1e-6 * (1 + std::abs(drop.limit_v));
    Interval& high = known_.volts_v[*drop.high_end];
    Interval& low = known_.volts_v[*drop.low_end];
    return narrow(high, {-unknown_bound, low.high + limit_v}) &&
           narrow(low, {high.low - limit_v, unknown_bound});
}

bool DutyBounds::narrow_drops(OpenOptions& open, std::string& why) {
    for (std::size_t d = 0; d < drops_.size(); ++d) {
        if (!drops_[d].always || open.left_out.contains(drop_names_[d]))
            continue;
        const DutyDrop& drop = drops_[d];
        const double limit_v = drop.limit_v + 1e-6 * (1 + std::abs(drop.limit_v));
        if (!drop.instead.empty() && (drop_v(drop.ways).low <= limit_v ||
                                      std::any_of(drop.instead.begin(), drop.instead.end(),
                                                  [&](const Way& way) { return way_v(way).low <= limit_v; })))
            continue; // kept on one of them, maybe
        if (drop.instead.empty() && narrow_row(d, open) && narrow_ends(drop))
            continue;
        why = drop_names_[d];
        return false;
    }
    return true;
}

bool DutyBounds::narrow_once(OpenOptions& open, std::string& why) {
    return narrow_volts(why) && narrow_hanging(why) && narrow_balances(why) && narrow_wires(open, why) &&
           narrow_blocks(why) && narrow_drops(open, why);
}

double DutyBounds::movement() {
    std::vector<Interval> now = known_.appliance_a;
    now.insert(now.end(), known_.wire_a.begin(), known_.wire_a.end());
    now.insert(now.end(), known_.volts_v.begin(), known_.volts_v.end());
    double most = last_.empty() ? 1 : 0;
    for (std::size_t i = 0; i < last_.size(); ++i) {
        const double moved = width(last_[i]) - width(now[i]);
        most = std::max(most,
                        moved / (1e-9 + std::min(1e3, width(last_[i])) + 1e-3 * greatest_magnitude(now[i])));
    }
    last_ = std::move(now);
    return most;
}

} // namespace stoutloom::size
