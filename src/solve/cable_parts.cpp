#include "solve/cable_parts.h"

#include "physics/joint.h"
#include "solve/assumed.h"
#include "solve/ratings.h"

#include <algorithm>

namespace stoutloom::solve {
namespace {

physics::Mounting mounting_of(model::Mounting mounting) {
    switch (mounting) {
    case model::Mounting::clear:
        return physics::Mounting::clear;
    case model::Mounting::conduit:
        return physics::Mounting::conduit;
    case model::Mounting::clipped:
        return physics::Mounting::clipped;
    }
    return physics::Mounting::clipped;
}

bool carries_load(const model::Harness& harness, const model::Cable& cable) {
    const auto idle = [&](model::TerminalIndex terminal) {
        const model::Role role = harness.terminal(terminal).role;
        return role == model::Role::sense || role == model::Role::signal;
    };
    return !idle(cable.from.at) && !idle(cable.to.at);
}

std::optional<double> value_of(const std::optional<model::Written>& written) {
    if (!written)
        return std::nullopt;
    return written->value;
}

enum class Grade { clean, typical, aged };

bool sits_on_bare_aluminium(const model::Harness& harness, const model::Terminal& terminal) {
    const auto* mass = std::get_if<model::Mass>(&harness.device(terminal.device).data);
    return mass != nullptr && mass->aluminium && !terminal.plated_seat;
}

physics::JointSeat seat_of(const model::Harness& harness, const model::CableEnd& end, Grade grade) {
    const model::Terminal& terminal = harness.terminal(end.at);
    if (terminal.stud.kind == base::FastenerKind::taper_post)
        return physics::JointSeat::taper_post;
    if (terminal.stud.kind == base::FastenerKind::blade || terminal.stud.kind == base::FastenerKind::plug)
        return physics::JointSeat::push_on;
    if (terminal.steel_seat || end.washer_under)
        return physics::JointSeat::bare_steel;
    // No table at hand tells a lug on aluminium. Its oxide is back within seconds of brushing, so it counts
    // no better than bare steel; for the greatest fault current, as if it were as good as copper.
    if (grade != Grade::clean && sits_on_bare_aluminium(harness, terminal))
        return physics::JointSeat::bare_steel;
    if (harness.device(terminal.device).kind() == model::DeviceKind::fuse_link)
        return physics::JointSeat::strip_fuse;
    return physics::JointSeat::copper_or_brass;
}

double graded_ohm(const physics::JointResistance& table, const std::optional<model::Written>& measured,
                  Grade grade) {
    switch (grade) {
    case Grade::clean:
        return measured ? std::min(measured->value, table.low_ohm) : table.low_ohm;
    case Grade::typical:
        return measured ? measured->value : table.typical_ohm;
    case Grade::aged:
        return measured ? std::max(measured->value, table.high_ohm) : table.high_ohm;
    }
    return table.high_ohm;
}

struct EndOhm {
    double crimp_ohm, joint_ohm;
};

EndOhm end_ohm(const model::Harness& harness, const model::CableEnd& end, double section_mm2, Grade grade) {
    // A splice is a crimp and nothing bolted.
    double joint = end.joint_ohm ? end.joint_ohm->value : 0;
    if (harness.terminal(end.at).stud.kind != base::FastenerKind::splice)
        joint = graded_ohm(
            physics::bolted_resistance(harness.terminal(end.at).stud, seat_of(harness, end, grade)),
            end.joint_ohm, grade);
    return {.crimp_ohm = graded_ohm(physics::crimp_resistance(section_mm2), end.crimp_ohm, grade),
            .joint_ohm = joint};
}

double end_resistance_ohm(const model::Harness& harness, const model::Cable& cable, int which, Grade grade,
                          const std::vector<DirtyJoint>& dirty_joints) {
    EndOhm one = end_ohm(harness, which == 0 ? cable.from : cable.to, cable.section_mm2.value, grade);
    for (const DirtyJoint& dirty : dirty_joints)
        if (&harness.cable(dirty.cable) == &cable && dirty.end == which)
            one.joint_ohm *= dirty.factor;
    return (one.crimp_ohm + one.joint_ohm) / cable.parallel;
}

base::Outcome<CableParts, Unsolved> graded_parts(const model::Harness& harness, model::CableIndex index,
                                                 Grade grade, const std::vector<DirtyJoint>& dirty_joints) {
    const model::Cable& cable = harness.cable(index);
    auto stretches = stretches_of(harness, cable);
    if (!stretches)
        return base::failure(Unsolved{.message = "cable " + cable.id + ": " + stretches.error().message,
                                      .subjects = {cable.id}});
    CableParts parts;
    parts.stretches = std::move(*stretches);
    for (const model::Segment& segment : cable.segments)
        parts.length_m.push_back(segment.length_m.value * (grade == Grade::aged ? worst_length_factor : 1.0));
    parts.parallel = cable.parallel;
    parts.studs = {.first_degc = value_of(cable.from.joint_degc), .last_degc = value_of(cable.to.joint_degc)};
    for (const int end : {0, 1})
        parts.end_ohm[end] = end_resistance_ohm(harness, cable, end, grade, dirty_joints);
    return parts;
}

} // namespace

std::vector<physics::RouteStretch> CableParts::route() const {
    std::vector<physics::RouteStretch> all;
    for (std::size_t i = 0; i < stretches.size(); ++i)
        all.push_back({.stretch = stretches[i], .length_m = length_m[i]});
    return all;
}

int loaded_cables_in(const model::Harness& harness, const std::string& loom) {
    int count = 0;
    for (const model::Cable& cable : harness.cables) {
        if (!carries_load(harness, cable))
            continue;
        const bool runs_here =
            std::any_of(cable.segments.begin(), cable.segments.end(),
                        [&](const model::Segment& segment) { return segment.loom == loom; });
        if (runs_here)
            count += cable.parallel;
    }
    return std::max(count, 1);
}

base::Outcome<std::vector<physics::Stretch>, physics::OutOfRange> stretches_of(const model::Harness& harness,
                                                                               const model::Cable& cable) {
    if (cable.automatic && cable.section_mm2.value <= 0) // one that sizing tries has a section
        return base::failure(physics::OutOfRange{"its section is still to be chosen"});
    const auto conductor = physics::conductor_for(
        cable.section_mm2.value, {.r20_ohm_per_m = value_of(cable.r20_ohm_per_m),
                                  .conductor_diameter_m = value_of(cable.conductor_diameter_m),
                                  .outer_diameter_m = value_of(cable.outer_diameter_m)});
    if (!conductor)
        return base::failure(physics::OutOfRange{conductor.error()});
    std::vector<physics::Stretch> stretches;
    for (const model::Segment& segment : cable.segments) {
        const model::Zone& zone = harness.zone(segment.zone);
        const int loaded = segment.loom.empty() ? 1 : loaded_cables_in(harness, segment.loom);
        stretches.push_back({.conductor = *conductor,
                             .insulation = cable.insulation,
                             .around = {.ambient_degc = zone.ambient_degc.value,
                                        .mounting = mounting_of(segment.mounting.value_or(cable.mounting)),
                                        .loaded_cables = loaded,
                                        .radiant_k = zone.radiant_k.value}});
    }
    return stretches;
}

EndFigures end_figures(const model::Harness& harness, model::CableIndex cable, int which) {
    const model::Cable& about = harness.cable(cable);
    const model::CableEnd& end = which == 0 ? about.from : about.to;
    const double section_mm2 = about.section_mm2.value;
    const EndOhm built = end_ohm(harness, end, section_mm2, Grade::typical);
    const EndOhm aged = end_ohm(harness, end, section_mm2, Grade::aged);
    EndFigures figures{.crimp_ohm = built.crimp_ohm,
                       .joint_ohm = built.joint_ohm,
                       .aged_crimp_ohm = aged.crimp_ohm,
                       .aged_joint_ohm = aged.joint_ohm,
                       .crimp_source = physics::crimp_resistance(section_mm2).source,
                       .joint_source = "a splice: nothing is bolted"};
    if (harness.terminal(end.at).stud.kind != base::FastenerKind::splice)
        figures.joint_source =
            physics::bolted_resistance(harness.terminal(end.at).stud, seat_of(harness, end, Grade::typical))
                .source;
    if (sits_on_bare_aluminium(harness, harness.terminal(end.at)))
        figures.joint_source = "lug on bare aluminium: no table at hand, counted as one on bare steel";
    if (end.crimp_ohm)
        figures.crimp_source = "as measured, this file";
    if (end.joint_ohm)
        figures.joint_source = "as measured, this file";
    return figures;
}

base::Outcome<CableParts, Unsolved> cable_parts(const model::Harness& harness, model::CableIndex cable,
                                                const Variation& variation) {
    return graded_parts(harness, cable, variation.worst ? Grade::aged : Grade::typical,
                        variation.dirty_joints);
}

base::Outcome<CableParts, Unsolved> clean_cable_parts(const model::Harness& harness,
                                                      model::CableIndex cable) {
    return graded_parts(harness, cable, Grade::clean, {});
}

double copper_ohm(const CableParts& parts, const std::vector<double>& segment_degc) {
    double sum_ohm = 0;
    for (std::size_t i = 0; i < parts.stretches.size(); ++i)
        sum_ohm +=
            physics::resistance_ohm_per_m(parts.stretches[i].conductor, segment_degc[i]) * parts.length_m[i];
    return sum_ohm / parts.parallel;
}

} // namespace stoutloom::solve
