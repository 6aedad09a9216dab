// fuse-breaking-capacity. Can every fuse-link break the current of a dead short?
#include "check/subjects.h"
#include "check/words.h"
#include "physics/conductor.h"
#include "physics/fuselink.h"
#include "physics/joint.h"
#include "physics/source.h"
#include "solve/sources.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;
using model::DeviceKind;

// Least resistance of one cable: copper at 20 degC and new, clean crimps. Bolted joints are left out.
double least_ohm(const model::Harness& harness, model::CableIndex index) {
    const model::Cable& cable = harness.cable(index);
    const auto conductor = physics::conductor_for(cable.section_mm2.value);
    if (!conductor || cable.automatic)
        return 0;
    const double r20 = cable.r20_ohm_per_m ? cable.r20_ohm_per_m->value : conductor->r20_ohm_per_m;
    const double crimps_ohm = 2 * physics::crimp_resistance(cable.section_mm2.value).low_ohm;
    return (r20 * cable.length_m.value + crimps_ohm) / cable.parallel;
}

struct Source {
    DeviceIndex battery{};
    int node = 0;
    double emf_v = 0, ohm = 0;
    // With the batteries that hang on its negative pole, plus to minus: their volts add up, and no chain
    // drives more than the strongest of its batteries alone, for (E1 + E2) / (R1 + R2) lies between E1 / R1
    // and E2 / R2.
    double chain_v = 0, strongest_below_a = 0;
};

void join_in_series(const Facts& facts, std::vector<Source>& sources) {
    const auto component_of = [&](const Source& source, model::Role role) {
        const auto pole = model::terminal_of(*facts.harness, source.battery, role);
        return pole ? facts.topology.component(*pole) : -1;
    };
    for (Source& source : sources) {
        source.chain_v = source.emf_v;
        std::vector<bool> taken(sources.size(), false);
        int below = component_of(source, model::Role::negative);
        const int top = component_of(source, model::Role::positive);
        for (bool longer = true; longer;) {
            longer = false;
            double step_v = 0, step_a = 0;
            int next = below;
            for (std::size_t i = 0; i < sources.size(); ++i) {
                if (taken[i] || component_of(sources[i], model::Role::positive) != below || below == top)
                    continue;
                taken[i] = longer = true;
                step_v = std::max(step_v, sources[i].emf_v);
                step_a += sources[i].emf_v / sources[i].ohm;
                next = component_of(sources[i], model::Role::negative);
            }
            source.chain_v += step_v;
            source.strongest_below_a = std::max(source.strongest_below_a, step_a);
            below = next;
        }
    }
}

std::vector<Source> batteries_of(const Facts& facts) {
    const model::Harness& harness = *facts.harness;
    std::vector<Source> sources;
    for (const DeviceIndex battery : devices_of(harness, DeviceKind::battery)) {
        const auto plus = model::terminal_of(harness, battery, model::Role::positive);
        if (!plus)
            continue;
        const auto& about_battery = std::get<model::Battery>(harness.device(battery).data);
        const double full_v = physics::battery_emf_v(static_cast<physics::BatteryKind>(about_battery.kind),
                                                     harness.nominal_v.value, 1.0);
        sources.push_back({battery, facts.topology.node(*plus),
                           about_battery.emf_v ? about_battery.emf_v->value : full_v,
                           solve::battery_least_ohm(harness, battery)});
    }
    join_in_series(facts, sources);
    return sources;
}

// A bound that is sure to be no less than the true current: only what every way from battery to link must
// pass counts as resistance; all else is taken as a dead short (Rayleigh: less resistance anywhere, more
// current).
double bound_a(const Facts& facts, const Source& source, DeviceIndex link, int goal) {
    const auto passes = [&](const Link& way) { return way.device != link; };
    if (!way_between(facts.topology, {.from = source.node, .to = goal}, passes))
        return 0;
    double ohm = source.ohm;
    for (const std::size_t index :
         unavoidable_links(facts.topology, {.from = source.node, .to = goal}, passes))
        if (const auto cable = facts.topology.links[index].cable)
            ohm += least_ohm(*facts.harness, *cable);
    return std::max(source.emf_v / ohm, source.strongest_below_a);
}

struct Prospective {
    double current_a = 0, emf_v = 0;
    bool main = false; // a battery meets it before any other link
};

// The greatest that a spanner drives between a stud on this side of the link and a part in its reach which no
// battery of this side meets by itself. Where a figure is that of all batteries together it is the whole;
// what each drives by itself adds up; the greater counts.
double in_reach_a(const Facts& facts, DeviceIndex link, int side) {
    if (!*facts.shorts)
        return 0;
    const auto near = reached_from(facts.topology, side, [&](const Link& way) { return way.device != link; });
    struct Total {
        double together_a = 0, each_a = 0;
    };
    std::map<std::tuple<model::TerminalIndex, model::TerminalIndex>, Total> totals;
    for (const solve::ReachShort& one : (*facts.shorts)->in_reach) {
        // A unit of this side is added to whatever the batteries do.
        const auto plus = model::terminal_of(*facts.harness, one.source, model::Role::positive);
        if (plus && facts.harness->device(one.source).kind() == DeviceKind::generator &&
            near[static_cast<std::size_t>(facts.topology.node(*plus))])
            continue;
        for (const model::TerminalIndex end : {one.between.stud, one.between.part}) {
            if (!near[static_cast<std::size_t>(facts.topology.node(end))])
                continue;
            Total& total = totals[{one.between.stud, one.between.part}];
            if (one.of_all_batteries)
                total.together_a = std::max(total.together_a, one.greatest_a);
            else
                total.each_a += one.greatest_a;
            break;
        }
    }
    double greatest_a = 0;
    for (const auto& [between, total] : totals)
        greatest_a = std::max({greatest_a, total.together_a, total.each_a});
    return greatest_a;
}

// Whether some battery does not meet the link's side by conductors: only then can a spanner bring in more.
bool apart(const Facts& facts, DeviceIndex link, int side) {
    const auto near = reached_from(facts.topology, side, [&](const Link& way) { return way.device != link; });
    return std::ranges::any_of(batteries_of(facts), [&](const Source& source) {
        return !near[static_cast<std::size_t>(source.node)];
    });
}

Prospective prospective_at(const Facts& facts, DeviceIndex link) {
    Prospective worst;
    const auto contact = contact_of(*facts.harness, link);
    if (!contact)
        return worst;
    for (const model::TerminalIndex side : {contact->first, contact->second}) {
        Prospective here;
        for (const Source& source : batteries_of(facts)) {
            const double current_a = bound_a(facts, source, link, facts.topology.node(side));
            here.current_a += current_a;
            if (current_a > 0)
                here.emf_v = std::max(here.emf_v, source.chain_v);
            const auto bare =
                reached_from(facts.topology, source.node, [](const Link& way) { return !way.fuse_link; });
            here.main |= bare[static_cast<std::size_t>(facts.topology.node(side))];
        }
        if (here.current_a > 0 && apart(facts, link, facts.topology.node(side)))
            here.current_a = std::max(here.current_a, in_reach_a(facts, link, facts.topology.node(side)));
        for (const DeviceIndex unit : devices_of(*facts.harness, DeviceKind::generator)) {
            const auto plus = model::terminal_of(*facts.harness, unit, model::Role::positive);
            if (!plus)
                continue;
            const auto near = reached_from(facts.topology, facts.topology.node(*plus),
                                           [&](const Link& way) { return way.device != link; });
            if (near[static_cast<std::size_t>(facts.topology.node(side))])
                here.current_a +=
                    solve::greatest_output_a(std::get<model::Generator>(facts.harness->device(unit).data));
        }
        if (here.current_a > worst.current_a)
            worst = here;
    }
    return worst;
}

// ABYC E-11 table V.A, 12 and 24 V: by total cranking amperes of the bank, main device or branch.
double table_demand_a(const Facts& facts, bool main) {
    double cranking_a = 0;
    for (const DeviceIndex battery : devices_of(*facts.harness, DeviceKind::battery)) {
        const auto& about_battery = std::get<model::Battery>(facts.harness->device(battery).data);
        cranking_a += about_battery.cold_cranking_a
                          ? about_battery.cold_cranking_a->value
                          : physics::cold_cranking_from_capacity_a(about_battery.capacity_ah.value);
    }
    const double demand_a = cranking_a <= 650 ? 1500 : cranking_a <= 1100 ? 3000 : 5000;
    return main ? demand_a : demand_a / 2;
}

struct Capacity {
    double at_system_v_a = 0, rated_v = 0, at_rated_v_a = 0;
    std::string source;
};

std::optional<Capacity> capacity_of(const Facts& facts, DeviceIndex index, double system_v) {
    const auto& link = std::get<model::FuseLink>(facts.harness->device(index).data);
    if (link.breaking_capacity_a) {
        const double given_a = link.breaking_capacity_a->value;
        return Capacity{given_a, system_v, given_a, "this file, breaking-capacity"};
    }
    const physics::FuseType* type = physics::fuse_type_by_name(link.type);
    if (type == nullptr || !(type->breaking_capacity_a > 0))
        return std::nullopt;
    return Capacity{physics::breaking_capacity_at_a(*type, system_v), type->rated_voltage_v,
                    type->breaking_capacity_a,
                    fmt::format("{}, {} at {}", type->standard, amps_down(type->breaking_capacity_a),
                                base::shown_down(type->rated_voltage_v, 0, "V"))};
}

using Known = std::map<DeviceIndex, std::pair<Prospective, std::optional<Capacity>>>;

// Links of enough capacity that every battery must pass before it meets this one; empty when some way passes
// none.
std::vector<std::string> backed_up_by(const Facts& facts, DeviceIndex index, const Known& known) {
    const auto contact = contact_of(*facts.harness, index);
    const auto enough = [&](const Link& way) {
        if (!way.fuse_link || way.device == index)
            return false;
        const auto& [prospective, capacity] = known.at(*way.device);
        return capacity && capacity->at_system_v_a >= prospective.current_a;
    };
    std::set<DeviceIndex> before;
    for (const Source& source : batteries_of(facts))
        for (const model::TerminalIndex side : {contact->first, contact->second}) {
            const int here = facts.topology.node(side);
            if (way_between(facts.topology, {.from = source.node, .to = here},
                            [&](const Link& way) { return way.device != index && !enough(way); }))
                return {};
            const auto links = way_between(facts.topology, {.from = source.node, .to = here},
                                           [&](const Link& way) { return way.device != index; });
            for (const std::size_t link : links.value_or(std::vector<std::size_t>{}))
                if (enough(facts.topology.links[link]))
                    before.insert(*facts.topology.links[link].device);
        }
    std::vector<std::string> names;
    names.reserve(before.size());
    for (const DeviceIndex link : before)
        names.push_back(facts.harness->device(link).id);
    return names;
}

// Whether some battery meets this link only by way of that one.
bool stands_before(const Facts& facts, DeviceIndex that, DeviceIndex link) {
    const auto contact = contact_of(*facts.harness, link);
    return std::ranges::any_of(batteries_of(facts), [&](const Source& source) {
        const auto near = reached_from(facts.topology, source.node, [&](const Link& way) {
            return way.device != that && way.device != link;
        });
        const auto all =
            reached_from(facts.topology, source.node, [&](const Link& way) { return way.device != link; });
        const auto met = [&](const std::vector<bool>& nodes) {
            return nodes[static_cast<std::size_t>(facts.topology.node(contact->first))] ||
                   nodes[static_cast<std::size_t>(facts.topology.node(contact->second))];
        };
        return met(all) && !met(near);
    });
}

void judge_short_of_capacity(const Facts& facts, DeviceIndex index, const Known& known, Judgement judgement,
                             Judgements& judgements) {
    const auto& [prospective, capacity] = known.at(index);
    // Behind other links, a stronger one there cures this as well: that finding is the one to read.
    if (!prospective.main) {
        judgement.yields_to = {"fuse-breaking-capacity"};
        for (const auto& [link, what] : known)
            if (link != index && what.first.main && stands_before(facts, link, index))
                judgement.subjects.push_back(facts.harness->device(link).id);
    }
    // An arc can take at most emf x current / 4 from a source; up to that power the link has been proved at
    // its rated voltage, so between the two figures it is doubtful rather than surely too weak. Behind
    // another link, which opens as well, it stays a doubt.
    const bool beyond_proof =
        prospective.current_a * prospective.emf_v > capacity->at_rated_v_a * capacity->rated_v;
    if (!beyond_proof)
        judgement.message +=
            fmt::format("; at {} instead of {} it may do, but nobody has stated it",
                        volts_up(prospective.emf_v), base::shown_down(capacity->rated_v, 0, "V"));
    judgements.fails(std::move(judgement),
                     beyond_proof && prospective.main ? Severity::error : Severity::warning);
}

void judge_link(const Facts& facts, DeviceIndex index, const Known& known, Judgements& judgements) {
    const model::Device& device = facts.harness->device(index);
    const auto& [prospective, capacity] = known.at(index);
    Judgement judgement = about(device.id, device.span, {});
    if (!capacity) {
        judgement.message = fmt::format("{} has no breaking capacity that anyone states", named(device));
        judgement.cure = "write the maker's breaking-capacity, or fit a fuse-link that has one";
        judgements.cannot_tell(std::move(judgement), Severity::warning);
        return;
    }
    const bool boat = facts.harness->profile == model::Profile::boat;
    const double demand_a = boat ? table_demand_a(facts, prospective.main) : 0;
    judgement.values = {{"prospective_a", prospective.current_a},
                        {"rated_capacity_a", capacity->at_rated_v_a}};
    if (boat)
        judgement.values["table_demand_a"] = demand_a;
    judgement = with_figures(std::move(judgement),
                             {.computed = prospective.current_a, .limit = capacity->at_system_v_a}, "A",
                             capacity->source);
    judgement.message = fmt::format("{} may have to break {} and is good for {}", named(device),
                                    amps_up(prospective.current_a), amps_down(capacity->at_system_v_a));
    if (boat && demand_a > capacity->at_system_v_a) {
        judgement.computed = demand_a;
        judgement.message += fmt::format("; ABYC E-11 asks {} of a {} device on such a bank",
                                         amps_up(demand_a), prospective.main ? "main" : "branch");
        judgements.fails(std::move(judgement));
        return;
    }
    if (prospective.current_a <= capacity->at_system_v_a) {
        judgements.passes(std::move(judgement));
        return;
    }
    const std::vector<std::string> backup = backed_up_by(facts, index, known);
    if (!backup.empty()) {
        judgement.message +=
            fmt::format("; {} before it clears what it cannot (IEC 60364-4-43, 434.5.1)", listed(backup));
        judgements.passes(std::move(judgement));
        return;
    }
    judge_short_of_capacity(facts, index, known, std::move(judgement), judgements);
}

void judge(const Facts& facts, Judgements& judgements) {
    Known known;
    for (const DeviceIndex index : devices_of(*facts.harness, DeviceKind::fuse_link)) {
        const Prospective prospective = prospective_at(facts, index);
        known[index] = {
            prospective,
            capacity_of(facts, index, std::max(prospective.emf_v, facts.harness->nominal_v.value))};
    }
    for (const auto& [index, what] : known)
        judge_link(facts, index, known, judgements);
}

} // namespace

extern const Rule rule_fuse_breaking_capacity;
const Rule rule_fuse_breaking_capacity{
    .slug = "fuse-breaking-capacity",
    .usual = Severity::error,
    .asks = "Can every fuse-link break the current of a dead short?",
    .source = "prospective current E / R from the battery's least resistance; breaking capacity by type (ISO "
              "8820); IEC "
              "60364-4-43, 434.5.1; ABYC E-11 table V.A for the boat profile",
    .cure =
        "a fuse-link of greater breaking capacity at the battery (terminal-stud cube, flat-strip or class T)",
    .explanation =
        R"(A fuse-link that must break more than it can goes on burning as an arc. Prospective current = E / (battery's
least resistance + what every way to the link must pass), full battery at 25 degC, cold copper, joints left out:
a bound that the true current never exceeds; of batteries in series the strongest alone, whose current the chain never
exceeds. Charging units add their greatest output; where a spanner between two
studs in reach of each other can bring in a battery that is not joined, that current counts if it is greater.
Least resistance: 2.6 V / cold-cranking amperes. Example: 760 A: 3.42 mohm, 12.7 V / 3.42 mohm = 3712 A at the
post. A strip link is good for 2000 A at 32 V: not stated for that. A terminal-stud cube is good for 10 000 A at
14 V: fits. Behind it, 1.9 m of 35 mm2 (0.527 mohm/m) leave 12.7 / (3.42 + 1.0) = 2.9 kA; a blade (1000 A) may
stand there because the cube before it clears what it cannot (backup protection).
Over its stated figure but with less power behind the arc than in its own test (E x I <= rated volts x capacity),
or behind another link that opens as well, the answer is a warning, otherwise an error. For boats the table's demand by cranking amperes is asked as well.
)",
    .subjects = fuse_links,
    .judge = judge,
};

} // namespace stoutloom::check
