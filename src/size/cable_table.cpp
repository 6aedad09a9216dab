#include "size/cable_table.h"

#include "physics/fuselink.h"
#include "size/requirements.h"
#include "solve/assumed.h"
#include "solve/ratings.h"
#include "solve/temperatures.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace stoutloom::size {
namespace {

bool class_under_zone(const model::Harness& harness, const model::Cable& cable) {
    for (const model::CableEnd* end : {&cable.from, &cable.to})
        if (end->joint_degc && end->joint_degc->value >= cable.insulation.class_degc)
            return true;
    return std::any_of(cable.segments.begin(), cable.segments.end(), [&](const model::Segment& segment) {
        const model::Zone& zone = harness.zone(segment.zone);
        return cable.insulation.class_degc <= zone.ambient_degc.value + std::max(zone.radiant_k.value, 0.0);
    });
}

// Currents are asked for on a ladder of steps this far apart, from the first one up: a cable's resistance
// differs by less than a thousandth from step to step.
constexpr double step_of_ladder = 1.002, first_step_a = 0.05;

/// Step 0 is no current at all.
double rung_a(std::size_t step) {
    static const std::vector<double> rungs = [] {
        std::vector<double> all = {0};
        for (double current_a = first_step_a; current_a < 1e5; current_a *= step_of_ladder)
            all.push_back(current_a);
        return all;
    }();
    return step < rungs.size() ? rungs[step]
                               : rungs.back() * std::pow(step_of_ladder, step - rungs.size() + 1);
}
/// The last step that is no greater than the current.
std::size_t step_under(double current_a) {
    if (current_a < first_step_a)
        return 0;
    auto step = 1 + static_cast<std::size_t>(std::log(current_a / first_step_a) / std::log(step_of_ladder));
    while (rung_a(step) > current_a)
        --step;
    while (rung_a(step + 1) <= current_a)
        ++step;
    return step;
}
/// The first that is no less.
std::size_t step_over(double current_a) {
    const std::size_t under = step_under(current_a);
    return rung_a(under) < current_a ? under + 1 : under;
}

double link_resistance_ohm(const model::FuseLink& link, double rating_a) {
    if (link.resistance_ohm)
        return link.resistance_ohm->value;
    const physics::FuseType* type = physics::fuse_type_by_name(link.type);
    if (type == nullptr || !(rating_a > 0))
        return solve::unrated_fuse_link_ohm;
    return physics::fuse_resistance(*type, rating_a).hot_ohm;
}

} // namespace

CableTable::CableTable(const model::Harness& harness, const Choices& choices)
    : harness_(harness), cable_choice_(harness.cables.size()), link_choice_(harness.devices.size()),
      cables_(harness.cables.size()), links_(harness.devices.size()), link_allowed_(harness.devices.size()) {
    for (std::size_t i = 0; i < choices.list.size(); ++i) {
        if (choices.list[i].kind == ChoiceKind::section)
            cable_choice_[choices.list[i].index] = i;
        if (choices.list[i].kind == ChoiceKind::rating)
            link_choice_[choices.list[i].index] = i;
    }
    model::Harness one = harness;
    note_joints(choices, one);
    for (std::size_t c = 0; c < cables_.size(); ++c) {
        std::vector<double> sections = {harness.cables[c].section_mm2.value};
        if (cable_choice_[c]) {
            sections.clear();
            for (const Option& option : choices.list[*cable_choice_[c]].options)
                sections.push_back(option.value);
        }
        for (const double section_mm2 : sections) {
            one.cables[c].section_mm2.value = section_mm2;
            const auto index = static_cast<model::CableIndex>(c);
            Sized sized;
            sized.class_degc = one.cables[c].insulation.class_degc;
            if (auto parts = solve::cable_parts(one, index, solve::at_worst()))
                sized.parts = std::move(*parts);
            const bool asked = sized.parts && !class_under_zone(one, one.cables[c]);
            if (asked && !accepted(harness, "cable-ampacity", one.cables[c].id))
                sized.usable_a = solve::cable_rating(one, index).usable_a;
            sized.asked_short = asked && !accepted(harness, "cable-short-duty", one.cables[c].id);
            cables_[c].push_back(std::move(sized));
        }
        one.cables[c].section_mm2.value = harness.cables[c].section_mm2.value;
    }
    for (std::size_t d = 0; d < links_.size(); ++d) {
        const auto* link = std::get_if<model::FuseLink>(&harness.devices[d].data);
        if (link == nullptr)
            continue;
        if (!link_choice_[d])
            links_[d].push_back(link_resistance_ohm(*link, link->rating_a.value));
        else
            for (const Option& option : choices.list[*link_choice_[d]].options)
                links_[d].push_back(link_resistance_ohm(*link, option.value));
    }
}

/// What each stud that is to be chosen adds to the ends on it, over its best size; `one` is left with the
/// best.
void CableTable::note_joints(const Choices& choices, model::Harness& one) {
    joints_.resize(harness_.cables.size());
    for (std::size_t i = 0; i < choices.list.size(); ++i) {
        const Choice& choice = choices.list[i];
        if (choice.kind != ChoiceKind::stud)
            continue;
        base::Fastener& stud = one.terminals[choice.index].stud;
        for (std::size_t c = 0; c < one.cables.size(); ++c)
            for (const int end : {0, 1}) {
                model::Cable& cable = one.cables[c];
                if (model::at((end == 0 ? cable.from : cable.to).at) != choice.index)
                    continue;
                const double before_mm2 = cable.section_mm2.value;
                cable.section_mm2.value = 35; // the joint is the same for every section
                Joint joint{.choice = i, .ohm = {}};
                for (const Option& option : choice.options) {
                    stud = base::fastener_by_name(option.text).value_or(stud);
                    const auto parts =
                        solve::cable_parts(one, static_cast<model::CableIndex>(c), solve::at_worst());
                    joint.ohm.push_back(parts ? parts->end_ohm[end] : 0);
                }
                cable.section_mm2.value = before_mm2;
                joints_[c].push_back(std::move(joint));
            }
        std::size_t best = 0; // the same for every end: the larger the stud the less
        for (const auto& joints : joints_)
            for (const Joint& joint : joints)
                if (joint.choice == i)
                    best = static_cast<std::size_t>(std::min_element(joint.ohm.begin(), joint.ohm.end()) -
                                                    joint.ohm.begin());
        stud = base::fastener_by_name(choice.options[best].text).value_or(stud);
        for (auto& joints : joints_)
            for (Joint& joint : joints)
                if (joint.choice == i)
                    for (const double least = joint.ohm[best]; double& ohm : joint.ohm)
                        ohm -= least;
    }
}

Interval CableTable::joints_ohm(std::size_t cable, const std::vector<std::uint64_t>& open) const {
    Interval sum{0, 0};
    for (const Joint& joint : joints_[cable]) {
        Interval one{std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};
        for (std::uint64_t bits = open[joint.choice]; bits != 0; bits &= bits - 1)
            one = hull(one, {joint.ohm[lowest(bits)], joint.ohm[lowest(bits)]});
        sum = sum + one;
    }
    return sum;
}

double CableTable::cold_ohm(std::size_t cable, std::size_t option) const {
    const Sized& sized = cables_[cable][option];
    if (!sized.parts)
        return 0;
    return solve::copper_ohm(*sized.parts, solve::ambient_of(*sized.parts)) + sized.parts->end_ohm[0] +
           sized.parts->end_ohm[1];
}

double CableTable::hottest_ohm(std::size_t cable, std::size_t option) const {
    const Sized& sized = cables_[cable][option];
    if (!sized.parts)
        return 0;
    const std::vector<double> degc(sized.parts->stretches.size(), solve::runaway_degc);
    return solve::copper_ohm(*sized.parts, degc) + sized.parts->end_ohm[0] + sized.parts->end_ohm[1];
}

double CableTable::warmest_good_ohm(std::size_t cable, std::size_t option) const {
    const Sized& sized = cables_[cable][option];
    if (!sized.parts || !sized.usable_a || !sized.asked_short)
        return hottest_ohm(cable, option);
    const std::vector<double> degc(sized.parts->stretches.size(), sized.class_degc + 1);
    return solve::copper_ohm(*sized.parts, degc) + sized.parts->end_ohm[0] + sized.parts->end_ohm[1];
}

bool CableTable::starts_cold(std::size_t duty) const {
    const model::Engine engine = harness_.duties[duty].engine;
    return engine == model::Engine::off || engine == model::Engine::cranking;
}

std::vector<double> CableTable::temperatures(const Sized& sized, std::size_t duty, double current_a) const {
    if (!harness_.duties[duty].duration_s)
        return solve::heat_at(*sized.parts, current_a, nullptr, 0).segment_degc;
    const solve::ShortDuty pulse{.duration_s = harness_.duties[duty].duration_s->value,
                                 .start_degc = {solve::ambient_of(*sized.parts)}};
    return solve::heat_at(*sized.parts, current_a, &pulse, 0).segment_degc;
}

double& CableTable::Ladder::at(std::size_t step) {
    if (pages.size() <= step / page)
        pages.resize(step / page + 1);
    auto& here = pages[step / page];
    if (here == nullptr) {
        here = std::make_unique<std::array<double, page>>();
        here->fill(std::numeric_limits<double>::quiet_NaN());
    }
    return (*here)[step % page];
}

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): indices by their names
CableTable::Ladder& CableTable::ladder(std::vector<std::vector<std::vector<Ladder>>>& of, std::size_t cable,
                                       std::size_t option, std::size_t duty) const {
    of.resize(cables_.size());
    of[cable].resize(cables_[cable].size());
    of[cable][option].resize(harness_.duties.size());
    return of[cable][option][duty];
}

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): indices by their names
double CableTable::cable_ohm(std::size_t cable, std::size_t option, std::size_t duty,
                             double current_a) const {
    const Sized& sized = cables_[cable][option];
    if (!sized.parts)
        return 0;
    return solve::copper_ohm(*sized.parts, temperatures(sized, duty, current_a)) + sized.parts->end_ohm[0] +
           sized.parts->end_ohm[1];
}

// NOLINTBEGIN(bugprone-easily-swappable-parameters): indices by their names, as everywhere in the table
double CableTable::ohm_at_step(std::size_t cable, std::size_t option, std::size_t duty,
                               std::size_t step) const {
    double& known = ladder(ohm_, cable, option, duty).at(step);
    if (std::isnan(known))
        known = cable_ohm(cable, option, duty, rung_a(step));
    return known;
}

double CableTable::ohm_at_least(std::size_t cable, std::size_t option, std::size_t duty,
                                double current_a) const {
    return ohm_at_step(cable, option, duty, step_under(current_a));
}

double CableTable::ohm_at_most(std::size_t cable, std::size_t option, std::size_t duty,
                               double current_a) const {
    return ohm_at_step(cable, option, duty, step_over(current_a));
}

bool CableTable::overheats(std::size_t cable, std::size_t option, std::size_t duty, double current_a) const {
    const Sized& sized = cables_[cable][option];
    if (!sized.asked_short)
        return false;
    const std::size_t step = step_under(current_a);
    double& reached = ladder(reached_degc_, cable, option, duty).at(step);
    if (std::isnan(reached)) {
        const std::vector<double> degc = temperatures(sized, duty, rung_a(step));
        reached = *std::max_element(degc.begin(), degc.end());
    }
    // Half a kelvin: the rule lets a cable be that stood at its class before and is warmed by less.
    return reached > sized.class_degc + 0.51;
}
// NOLINTEND(bugprone-easily-swappable-parameters)

std::optional<double> CableTable::link_allowed_a(std::size_t device, std::size_t option) const {
    if (option >= link_allowed_[device].size() || !std::isfinite(link_allowed_[device][option]))
        return std::nullopt;
    return link_allowed_[device][option];
}

} // namespace stoutloom::size
