// `stoutloom explain`: what a rule asks and why, and one cable's figures worked through so that a pocket
// calculator can follow.
#include "report/report.h"

#include "physics/thermal.h"
#include "report/words.h"

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

std::string para(std::string_view text) {
    return wrapped(text, page_width, "  ", "  ");
}
std::string item(std::string_view text) {
    return wrapped(text, page_width, "    ", "      ");
}

std::string stretch_text(const Checked& checked, const model::Cable& cable, std::size_t s, double current_a,
                         const solve::SegmentRating& rating) {
    const model::Segment& segment = cable.segments[s];
    const physics::Stretch& stretch = rating.stretch;
    std::string text =
        para(fmt::format("Stretch {}: {} of it in {}, air {}, {}, {} loaded cable{} together{}", s + 1,
                         shown_up(segment.length_m.value, 2, "m"), checked.harness->zone(segment.zone).id,
                         shown_up(stretch.around.ambient_degc + stretch.around.radiant_k, 0, "degC"),
                         physics::mounting_name(stretch.around.mounting), stretch.around.loaded_cables,
                         stretch.around.loaded_cables == 1 ? "" : "s",
                         segment.loom.empty() ? "" : " in loom " + segment.loom));
    text += item(fmt::format("conductor {:.3f} mm, outside {:.3f} mm, {:.4f} mohm/m at 20 degC ({})",
                             stretch.conductor.conductor_diameter_m * 1000,
                             stretch.conductor.outer_diameter_m * 1000,
                             stretch.conductor.r20_ohm_per_m * 1000, stretch.conductor.source));
    const double one_a = current_a / cable.parallel;
    const auto path = physics::heat_path(stretch, one_a);
    if (!path) {
        text += item(path.error().message);
    } else {
        text += item(fmt::format("R(T) = R20 (1 + 0.00393 (T - 20)) = {:.4f} mohm/m at {:.1f} degC",
                                 path->resistance_ohm_per_m * 1000, path->conductor_degc));
        text += item(fmt::format("loss I x I x R = {0:.1f} A x {0:.1f} A x {1:.4f} mohm/m = {2:.2f} W/m",
                                 one_a, path->resistance_ohm_per_m * 1000, path->loss_w_per_m));
        text += item(fmt::format("wall T1 = rho/(2 pi) ln(De/dc) = {:.3f} K m/W with rho {:.1f} K m/W",
                                 path->wall_km_per_w, stretch.insulation.thermal_resistivity_km_per_w));
        text += item(fmt::format("surface T4 = 1/(pi De h dTs^(1/4)) = {:.3f} K m/W with h {:.2f}",
                                 path->surface_km_per_w, path->h_w_per_m2k54));
        const double factor = path->grouping_factor * path->enclosure_factor;
        std::string divided;
        if (factor < 1) {
            text += item(fmt::format(
                "company: grouping factor {:.2f} x enclosure factor {:.2f} = {:.3f} on the current, "
                "so the heat counts 1 / {:.3f}^2 = {:.3f} times",
                path->grouping_factor, path->enclosure_factor, factor, factor, 1 / (factor * factor)));
            divided = fmt::format(" / {:.3f}^2", factor);
        }
        text += item(fmt::format(
            "T = air + loss (T1 + T4){0} = {1:.1f} + {2:.2f} x {3:.3f}{0} = {4:.1f} degC (surface "
            "{5:.1f} degC)",
            divided, path->ambient_degc, path->loss_w_per_m, path->wall_km_per_w + path->surface_km_per_w,
            path->conductor_degc, path->surface_degc));
    }
    text += item(
        fmt::format("current that brings it to {:.0f} degC without its neighbours: {} for each conductor",
                    cable.insulation.class_degc, shown_down(rating.ampacity_a, 1, "A")));
    return text;
}

std::string duty_line(const Checked& checked, const check::SolvedDuty& solved, std::size_t cable) {
    const model::Duty& duty = checked.harness->duty(solved.duty);
    if (!solved.point)
        return item(fmt::format("{}: no operating point", duty.id));
    const solve::CableState& state = solved.point->cables.at(cable);
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

// The rules' explanations come broken at the width of a source line: sentences are joined again, while blank
// lines, formula lines (which begin with a blank) and worked examples keep a line of their own.
std::string reflowed(std::string_view text) {
    std::string all, open;
    const auto close = [&] {
        if (!open.empty())
            all += para(open);
        open.clear();
    };
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        const std::string_view line = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        if (line.empty() || line.front() == ' ' || line.starts_with("Example"))
            close();
        if (line.empty())
            all += "\n";
        else if (line.front() == ' ')
            all += "  " + one_line(line) + "\n";
        else
            open += (open.empty() ? "" : " ") + std::string(line);
    }
    close();
    return all;
}

} // namespace

std::string explain_rule(const check::Rule& rule) {
    std::string text = fmt::format("{} ({})\n", rule.slug, check::severity_name(rule.usual));
    text += para(rule.asks);
    text += "\n" + para("Source: " + std::string(rule.source)) + "\n";
    text += reflowed(rule.explanation);
    text += "\n" + para("What mends it: " + std::string(rule.cure));
    return text;
}

std::string explain_all() {
    std::size_t widest = 4;
    for (const check::Rule* rule : check::all_rules())
        widest = std::max(widest, rule->slug.size());
    std::string text;
    for (const check::Rule* rule : check::all_rules()) {
        const std::string first =
            fmt::format("  {:<{}}  {:<7}  ", rule->slug, widest, check::severity_name(rule->usual));
        text += wrapped(rule->asks, page_width, first, std::string(first.size(), ' '));
    }
    return fmt::format("{} rules; \"stoutloom explain RULE\" tells one in full.\n\n",
                       check::all_rules().size()) +
           text;
}

std::string explain_cable(const Checked& checked, model::CableIndex index) {
    const std::size_t i = model::at(index);
    const model::Harness& harness = *checked.harness;
    const model::Cable& cable = harness.cable(index);
    const check::WorstDuty& worst = checked.facts->worst.at(i);
    const solve::CableRating& rating = checked.facts->ratings.at(i);
    std::string text =
        fmt::format("{}: {}, {}, class {}, {} to {}\n", cable.id, section_words(cable),
                    shown_up(cable.length_m.value, 2, "m"), insulation_words(cable.insulation),
                    harness.terminal(cable.from.at).address, harness.terminal(cable.to.at).address);
    text += worst.duty ? para(fmt::format("Worst all-day duty: {}, {}.", harness.duty(*worst.duty).id,
                                          shown_up(worst.current_a, 2, "A")))
                       : para("No all-day duty has an operating point.");
    text += "\nHeat, after IEC 60287: I x I x R(T) x (T1 + T4) = T - air\n";
    for (std::size_t s = 0; s < rating.segments.size() && s < cable.segments.size(); ++s)
        text += stretch_text(checked, cable, s, worst.current_a, rating.segments[s]);
    const model::LimitInForce margin = model::limit_in_force(harness, "installed-margin");
    text += "\nWhat it may carry\n";
    text += para(fmt::format(
        "The whole route, heat along the copper and hot studs included: {} until stretch {} has a point at "
        "{:.0f} degC.",
        shown_down(rating.ampacity_a, 1, "A"), rating.hottest + 1, cable.insulation.class_degc));
    text += para(fmt::format("Installed margin {} ({}): usable {}.", shown_down(margin.value * 100, 0, "%"),
                             margin.from_file ? margin.source : std::string(physics::installed_margin_reason),
                             shown_down(rating.model_usable_a, 1, "A")));
    if (rating.table)
        text += para(fmt::format("The regulation's own table: {} ({}). The lesser counts: usable {}.",
                                 shown_down(rating.table->usable_a, 1, "A"), rating.table->source,
                                 shown_down(rating.usable_a, 1, "A")));
    text += "\nIn each duty (current from the first end to the second)\n";
    for (const check::SolvedDuty& solved : checked.facts->duties)
        text += duty_line(checked, solved, i);
    text += "\nWhat the rules say of it\n";
    for (const check::Judgement& judgement : checked.record->judgements) {
        if (judgement.subjects.empty() || judgement.subjects.front() != cable.id)
            continue;
        const char* word = judgement.verdict == check::Verdict::passes  ? "passes"
                           : judgement.verdict == check::Verdict::fails ? "FAILS"
                                                                        : "cannot tell";
        text += item(fmt::format("{} {}: {}", judgement.rule->slug, word, judgement.message));
    }
    return text;
}

} // namespace stoutloom::report
