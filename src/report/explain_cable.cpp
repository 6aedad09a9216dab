// `stoutloom explain FILE CABLE`: every figure of one cable with its formula, its numbers and their source,
// so that a pocket calculator can follow.
#include "report/report.h"

#include "check/short_duty.h"
#include "physics/shorttime.h"
#include "physics/thermal.h"
#include "report/words.h"
#include "solve/assumed.h"

#include <fmt/format.h>

#include <cmath>

namespace stoutloom::report {
namespace {

constexpr std::size_t page_width = 100;
using base::shown_down;
using base::shown_resistance;
using base::shown_up;

// Less is the solver's own leak.
constexpr double no_current_a = 0.0005;
// Less warms nothing by a tenth of a kelvin, and figures of it would show as zero.
constexpr double no_heat_a = 0.05;

std::string para(std::string_view text) {
    return wrapped(text, page_width, "  ", "  ");
}
std::string item(std::string_view text) {
    return wrapped(text, page_width, "    ", "      ");
}

/// What is explained: one cable at the current of one all-day duty.
struct Told {
    const Checked& checked;
    const model::Cable& cable;
    model::CableIndex index;
    double current_a; // whole cable, worst all-day duty as built

    double one_a() const { return current_a / cable.parallel; }
    double mohm_per_m(const physics::Stretch& stretch, double degc) const {
        return physics::resistance_ohm_per_m(stretch.conductor, degc) * 1000;
    }
};

std::string resistance_line(const physics::Stretch& stretch, const physics::HeatPath& path) {
    return item(fmt::format("R(T) = R20 (1 + 0.00393 (T - 20)) = {:.4f} x (1 + 0.00393 x {:.1f}) = {:.4f} "
                            "mohm/m at {:.1f} degC (IEC 60028)",
                            stretch.conductor.r20_ohm_per_m * 1000, path.conductor_degc - 20,
                            path.resistance_ohm_per_m * 1000, path.conductor_degc));
}

std::string surface_lines(const physics::Stretch& stretch, const physics::HeatPath& path) {
    const physics::SurfaceLaw law = physics::surface_law(stretch.around.mounting);
    const double outer_m = stretch.conductor.outer_diameter_m;
    std::string text = item(
        fmt::format("wall T1 = rho/(2 pi) ln(De/dc) = {:.1f} / 6.2832 x ln({:.3f} / {:.3f}) = {:.3f} K m/W",
                    stretch.insulation.thermal_resistivity_km_per_w, outer_m * 1000,
                    stretch.conductor.conductor_diameter_m * 1000, path.wall_km_per_w));
    text += item(fmt::format("surface h = Z/De^g + E = {} / {:.5f}^{} + {} = {:.3f} W/(m2 K^(5/4)) (IEC "
                             "60287-2-1, De in m)",
                             law.z, outer_m, law.g, law.e, path.h_w_per_m2k54));
    text += item(fmt::format("surface T4 = 1/(pi De h dTs^(1/4)) = 1 / (3.1416 x {:.5f} x {:.3f} x "
                             "{:.2f}^0.25) = {:.3f} K m/W, dTs = surface - air",
                             outer_m, path.h_w_per_m2k54, path.surface_degc - path.ambient_degc,
                             path.surface_km_per_w));
    return text;
}

std::string balance_lines(const physics::HeatPath& path) {
    const double factor = path.grouping_factor * path.enclosure_factor;
    std::string text, divided;
    if (factor < 1) {
        text += item(fmt::format("company: grouping factor {:.2f} x enclosure factor {:.2f} = {:.4f} on the "
                                 "current, so the heat counts 1 / {:.4f}^2 = {:.3f} times",
                                 path.grouping_factor, path.enclosure_factor, factor, factor,
                                 1 / (factor * factor)));
        divided = fmt::format(" / {:.4f}^2", factor);
    }
    text +=
        item(fmt::format("T = air + loss (T1 + T4){0} = {1:.1f} + {2:.3f} x ({3:.3f} + {4:.3f}){0} = {5:.1f} "
                         "degC",
                         divided, path.ambient_degc, path.loss_w_per_m, path.wall_km_per_w,
                         path.surface_km_per_w, path.conductor_degc));
    text +=
        item(fmt::format("surface = T - loss T1{0} = {1:.1f} - {2:.3f} x {3:.3f}{0} = {4:.1f} degC", divided,
                         path.conductor_degc, path.loss_w_per_m, path.wall_km_per_w, path.surface_degc));
    return text;
}

std::string stretch_text(const Told& told, std::size_t s, const solve::SegmentRating& rating) {
    const model::Segment& segment = told.cable.segments[s];
    const physics::Stretch& stretch = rating.stretch;
    std::string text = para(fmt::format(
        "Stretch {}: {} of it in {}, air {}, {}, {} loaded cable{} together{}", s + 1,
        shown_up(segment.length_m.value, 2, "m"), told.checked.harness->zone(segment.zone).id,
        shown_up(stretch.around.ambient_degc + std::max(stretch.around.radiant_k, 0.0), 0, "degC"),
        physics::mounting_name(stretch.around.mounting), stretch.around.loaded_cables,
        stretch.around.loaded_cables == 1 ? "" : "s",
        segment.loom.empty() ? "" : " in loom " + segment.loom));
    text += item(fmt::format("conductor dc {:.3f} mm, outside De {:.3f} mm, R20 {:.4f} mohm/m ({})",
                             stretch.conductor.conductor_diameter_m * 1000,
                             stretch.conductor.outer_diameter_m * 1000,
                             stretch.conductor.r20_ohm_per_m * 1000, stretch.conductor.source));
    const auto path = physics::heat_path(stretch, told.one_a());
    if (!path) {
        text += item(path.error().message);
    } else if (told.one_a() < no_heat_a) {
        text += item("it carries next to nothing and is as warm as its air");
    } else {
        text += resistance_line(stretch, *path);
        text +=
            item(fmt::format("loss I x I x R = {0:.1f} A x {0:.1f} A x {1:.4f} mohm/m / 1000 = {2:.3f} W/m",
                             told.one_a(), path->resistance_ohm_per_m * 1000, path->loss_w_per_m));
        text += surface_lines(stretch, *path);
        text += balance_lines(*path);
    }
    text += item(
        fmt::format("current that brings it to {:.0f} degC without its neighbours: {} for each conductor",
                    told.cable.insulation.class_degc, shown_down(rating.ampacity_a, 1, "A")));
    return text;
}

std::string heat_text(const Told& told) {
    const solve::CableRating& rating = told.checked.facts->ratings.at(model::at(told.index));
    std::string text = "\nHeat, after IEC 60287: I x I x R(T) x (T1 + T4) = T - air\n";
    if (told.one_a() >= no_heat_a)
        text +=
            para(fmt::format("At {} for each conductor. T and dTs stand on both sides: begin with a guess "
                             "and repeat until they stay. Below is the last round.",
                             shown_up(told.one_a(), 2, "A")));
    for (std::size_t s = 0; s < rating.segments.size() && s < told.cable.segments.size(); ++s)
        text += stretch_text(told, s, rating.segments[s]);
    return text;
}

std::string end_line(const Told& told, int which, bool aged) {
    const model::CableEnd& end = which == 0 ? told.cable.from : told.cable.to;
    const solve::EndFigures figures = solve::end_figures(*told.checked.harness, told.index, which);
    const double crimp_ohm = aged ? figures.aged_crimp_ohm : figures.crimp_ohm;
    const double joint_ohm = aged ? figures.aged_joint_ohm : figures.joint_ohm;
    return item(fmt::format("end at {}: crimp {:.4f} + joint {:.4f} = {:.4f} mohm{}",
                            told.checked.harness->terminal(end.at).address, crimp_ohm * 1000,
                            joint_ohm * 1000, (crimp_ohm + joint_ohm) * 1000,
                            aged ? std::string()
                                 : fmt::format(" ({}; {})", figures.crimp_source, figures.joint_source)));
}

/// Copper, joints and the drop of one state; `length_factor` is over the drawn length.
std::string drop_lines(const Told& told, const solve::CableState& state, bool aged) {
    const solve::CableRating& rating = told.checked.facts->ratings.at(model::at(told.index));
    const double length_factor = aged ? solve::worst_length_factor : 1;
    const double one_a = std::abs(state.current_a) / told.cable.parallel;
    std::string sum;
    for (std::size_t s = 0; s < rating.segments.size() && s < told.cable.segments.size(); ++s) {
        const physics::Stretch& stretch = rating.segments[s].stretch;
        const auto steady = physics::steady_temperature_degc(stretch, one_a);
        if (!steady)
            return item("no steady temperature: it burns");
        sum += fmt::format("{}{:.4f} x {:.3f}", sum.empty() ? "" : " + ", told.mohm_per_m(stretch, *steady),
                           told.cable.segments[s].length_m.value * length_factor);
    }
    const double current_a = std::abs(state.current_a);
    const double copper_ohm = std::abs(state.copper_drop_v) / current_a;
    const bool studs = told.cable.from.joint_degc || told.cable.to.joint_degc;
    std::string text = item(
        fmt::format("copper = sum of R(T) x length = {} = {:.4f} mohm{}{}{}", sum,
                    copper_ohm * told.cable.parallel * 1000,
                    aged ? fmt::format(" (every length {:.0f} % over the drawing)", 100 * (length_factor - 1))
                         : std::string(),
                    told.cable.parallel > 1 ? " for each conductor" : "",
                    studs ? ", the heat of its stud included" : ""));
    text += end_line(told, 0, aged) + end_line(told, 1, aged);
    text += item(
        fmt::format("drop = I x R{} = {:.2f} A x {:.4f} mohm / 1000 = {} stud to stud",
                    told.cable.parallel > 1 ? fmt::format(", R of {} in parallel", told.cable.parallel) : "",
                    current_a, state.resistance_ohm * 1000, shown_up(std::abs(state.drop_v), 4, "V")));
    return text;
}

std::string drop_text(const Told& told, model::DutyIndex duty) {
    std::string text = "\nResistance and drop\n";
    const auto add = [&](const check::Facts& facts, bool aged) {
        const check::SolvedDuty& solved = facts.duties.at(model::at(duty));
        const std::string head = fmt::format("{} in duty {}:", aged ? "At worst" : "As built",
                                             told.checked.harness->duty(duty).id);
        if (!solved.point || std::abs(solved.point->cables.at(model::at(told.index)).current_a) < no_heat_a)
            text += para(head + (solved.point ? " next to no current." : " no operating point."));
        else
            text += para(head) + drop_lines(told, solved.point->cables.at(model::at(told.index)), aged);
    };
    add(*told.checked.facts, false);
    if (told.checked.facts->at_worst)
        add(*told.checked.facts->at_worst, true);
    return text;
}

std::string usable_text(const Told& told) {
    const model::Harness& harness = *told.checked.harness;
    const solve::CableRating& rating = told.checked.facts->ratings.at(model::at(told.index));
    const model::LimitInForce margin = model::limit_in_force(harness, "installed-margin");
    std::string text = "\nWhat it may carry\n";
    text += para(fmt::format("The whole route, heat along the copper (385 W/(m K)) and hot studs included: "
                             "{} until stretch {} has "
                             "a point at {:.0f} degC.",
                             shown_down(rating.ampacity_a, 1, "A"), rating.hottest + 1,
                             told.cable.insulation.class_degc));
    text += para(fmt::format("Installed margin {} ({}): usable {}.", shown_down(margin.value * 100, 0, "%"),
                             margin.from_file ? margin.source : std::string(physics::installed_margin_reason),
                             shown_down(rating.model_usable_a, 1, "A")));
    if (rating.table)
        text += para(fmt::format("The regulation's own table: {} ({}). The lesser counts: usable {}.",
                                 shown_down(rating.table->usable_a, 1, "A"), rating.table->source,
                                 shown_down(rating.usable_a, 1, "A")));
    return text;
}

/// A pulse without any loss is the most it can be; with the wall taking heat up it is less.
std::string short_text(const Told& told) {
    const check::Facts& facts =
        told.checked.facts->at_worst ? *told.checked.facts->at_worst : *told.checked.facts;
    std::string text;
    for (const check::ShortDutyHeat& heat : check::short_duty_heat(facts, told.index)) {
        const double one_a = heat.current_a / told.cable.parallel;
        if (one_a < no_heat_a)
            continue;
        const double section_mm2 = told.cable.section_mm2.value;
        const double lossless_degc =
            physics::adiabatic_final_degc(heat.start_degc, section_mm2, one_a * one_a * heat.duration_s);
        text += para(fmt::format("{}, {} for {}, at worst:", told.checked.harness->duty(heat.duty).id,
                                 shown_up(heat.current_a, 1, "A"), shown_up(heat.duration_s, 0, "s")));
        text += item(fmt::format(
            "copper alone, no heat lost: (234.5 + {0:.1f}) x exp({1:.1f}^2 x {2:.1f} / (226 x {3:.2f})^2) - "
            "234.5 = {4:.1f} degC (IEC 60364-5-54)",
            heat.start_degc, one_a, heat.duration_s, section_mm2, lossless_degc));
        text += item(fmt::format("with the wall taking up 1.7 J/(K cm3) and the surface shedding: {}",
                                 shown_up(heat.peak_degc, 1, "degC")));
        text += item((heat.time_to_class_s
                          ? "at its class after " + shown_down(*heat.time_to_class_s, 1, "s") + " of this"
                          : std::string("never at its class, however long")) +
                     fmt::format("; may take {} of the time again and again",
                                 shown_down(100 * check::allowed_fraction(facts, told.index, heat), 1, "%")));
    }
    return text.empty() ? text : "\nDuties of limited length\n" + text;
}

std::string duty_line(const Told& told, const check::SolvedDuty& solved) {
    const model::Duty& duty = told.checked.harness->duty(solved.duty);
    if (!solved.point)
        return item(fmt::format("{}: no operating point", duty.id));
    const solve::CableState& state = solved.point->cables.at(model::at(told.index));
    if (std::abs(state.current_a) < no_current_a)
        return item(fmt::format("{}: no current", duty.id));
    const std::string current =
        (state.current_a < 0 ? "-" : "") + shown_up(std::abs(state.current_a), 2, "A");
    if (state.runaway)
        return item(fmt::format("{}: {}, no steady temperature: it burns", duty.id, current));
    return item(fmt::format(
        "{}: {}, drop {} (copper {}, ends {} and {}), {} stud to stud, {}", duty.id, current,
        shown_up(std::abs(state.drop_v), 4, "V"), shown_up(std::abs(state.copper_drop_v), 4, "V"),
        shown_up(std::abs(state.end_drop_v[0]), 4, "V"), shown_up(std::abs(state.end_drop_v[1]), 4, "V"),
        shown_resistance(state.resistance_ohm), shown_up(state.conductor_degc, 1, "degC")));
}

std::string duties_text(const Told& told) {
    std::string text = "\nIn each duty as built (current from the first end to the second)\n";
    for (const check::SolvedDuty& solved : told.checked.facts->duties)
        text += duty_line(told, solved);
    if (told.checked.facts->at_worst) {
        text += "\nThe same at worst: joints at the end of their life, lengths and set points at their upper "
                "tolerance\n";
        for (const check::SolvedDuty& solved : told.checked.facts->at_worst->duties)
            text += duty_line(told, solved);
    }
    if (told.checked.facts->at_least_charge) {
        text += "\nAnd with set points at their lower tolerance, where the engine turns\n";
        for (const check::SolvedDuty& solved : told.checked.facts->at_least_charge->duties)
            if (check::engine_running(told.checked.harness->duty(solved.duty)))
                text += duty_line(told, solved);
    }
    return text;
}

std::string rules_text(const Told& told) {
    std::string text = "\nWhat the rules say of it\n";
    for (const check::Judgement& judgement : told.checked.record->judgements) {
        if (judgement.subjects.empty() || judgement.subjects.front() != told.cable.id)
            continue;
        const char* word = judgement.verdict == check::Verdict::passes  ? "passes"
                           : judgement.verdict == check::Verdict::fails ? "FAILS"
                                                                        : "cannot tell";
        text += item(fmt::format("{} {}: {}", judgement.rule->slug, word, judgement.message));
    }
    return text;
}

} // namespace

std::string explain_cable(const Checked& checked, model::CableIndex index) {
    const model::Harness& harness = *checked.harness;
    const model::Cable& cable = harness.cable(index);
    const check::WorstDuty& worst = checked.facts->worst.at(model::at(index));
    const Told told{.checked = checked, .cable = cable, .index = index, .current_a = worst.current_a};
    std::string text =
        fmt::format("{}: {}, {}, class {}, {} to {}\n", cable.id, section_words(cable),
                    shown_up(cable.length_m.value, 2, "m"), insulation_words(cable.insulation),
                    harness.terminal(cable.from.at).address, harness.terminal(cable.to.at).address);
    text += worst.duty ? para(fmt::format("Worst all-day duty, as built: {}, {}.",
                                          harness.duty(*worst.duty).id, shown_up(worst.current_a, 2, "A")))
                       : para("No all-day duty has an operating point.");
    text += heat_text(told);
    if (worst.duty)
        text += drop_text(told, *worst.duty);
    return text + usable_text(told) + short_text(told) + duties_text(told) + rules_text(told);
}

} // namespace stoutloom::report
