// The quick calculation for people: verdict, the working a pocket calculator can follow, neighbours,
// cautions.
#include "base/quantity.h"
#include "report/cable_figures.h"
#include "report/report.h"
#include "report/words.h"

#include <fmt/format.h>

#include <cmath>

namespace stoutloom::report {
namespace {

using base::shown_down;
using base::shown_up;

constexpr std::size_t line_width = 100;

std::string step(std::string_view what, std::string_view working) {
    return wrapped(working, line_width, fmt::format("  {:<12}", what), std::string(14, ' '));
}

std::string degrees_up(double degc) {
    return fmt::format("{} ({})", shown_up(degc, 1, "degC"), shown_up(base::fahrenheit(degc), 1, "degF"));
}

std::string both_systems(double section_mm2) {
    const std::string name = base::shown_section(section_mm2);
    if (!base::us_size_name(section_mm2).empty())
        return fmt::format("{} ({:.2f} mm2)", name, section_mm2);
    const std::string gauge = base::us_size_not_thinner(section_mm2);
    return gauge.empty() ? name : fmt::format("{} (not under it: {})", name, gauge);
}

std::string length_words(double length_m) {
    return fmt::format("{} ({})", shown_up(length_m, 2, "m"), feet(length_m));
}

std::string mounting_words(physics::Mounting mounting) {
    if (mounting == physics::Mounting::clear)
        return "clear in still air";
    return mounting == physics::Mounting::conduit ? "in a conduit or closed loom" : "clipped to a surface";
}

std::string head(const CableCard& card) {
    const CableQuestion& question = *card.question;
    const CableFigures& figures = *card.figures;
    const double section_mm2 = figures.stretch.conductor.section_mm2;
    std::string text =
        wrapped(fmt::format("Cable {}, insulation {}, {}, {}, air {}.", both_systems(section_mm2),
                            insulation_words(question.insulation), mounting_words(question.mounting),
                            question.loaded_cables == 1
                                ? std::string("alone")
                                : fmt::format("{} loaded cables together", question.loaded_cables),
                            degrees_up(question.ambient_degc)),
                line_width, "", "  ");
    if (!card.proposal.empty())
        text += wrapped("Proposed: " + card.proposal + ".", line_width, "", "  ");
    return text + "\n";
}

std::string heat_verdict(const CableCard& card) {
    const CableQuestion& question = *card.question;
    const CableFigures& figures = *card.figures;
    const std::string rating = fmt::format("usable {} = {:.4g} x {}", shown_down(figures.usable_a, 1, "A"),
                                           question.margin_fraction, shown_down(figures.ampacity_a, 1, "A"));
    if (question.ambient_degc >= question.insulation.class_degc)
        return "Carries nothing: the air alone is at or above what the insulation stands.";
    if (!question.current_a)
        return fmt::format("Good for: {}.", rating);
    const ShownPair pair = shown_pair(*question.current_a, figures.usable_a, "A", figures.heat_holds);
    if (!figures.runaway.empty())
        return fmt::format("DOES NOT CARRY {}: there is no steady temperature, it burns. {}; {}.",
                           pair.computed, figures.runaway, rating);
    return fmt::format("{} {} against {}; runs at {}; {}.", figures.heat_holds ? "Carries" : "DOES NOT CARRY",
                       pair.computed, pair.limit, degrees_up(figures.path->conductor_degc), rating);
}

std::string drop_verdict(const CableCard& card) {
    const CableQuestion& question = *card.question;
    const CableFigures& figures = *card.figures;
    if (!question.length_m)
        return {};
    if (!figures.resistance_ohm)
        return "No drop can be told without a steady temperature.";
    if (!figures.drop_v)
        return fmt::format("Resistance {} over {} at {}.", base::shown_resistance(*figures.resistance_ohm),
                           length_words(*question.length_m), degrees_up(question.insulation.class_degc));
    std::string text =
        fmt::format("Drop one way {} over {}, {} % of {:.4g} V; the return adds its own.",
                    shown_up(*figures.drop_v, 3, "V"), length_words(*question.length_m),
                    base::shown_number(100 * *figures.drop_v / question.nominal_v, 1, base::Rounding::up),
                    question.nominal_v);
    if (question.drop_limit_v) {
        const ShownPair pair = shown_pair(*figures.drop_v, *question.drop_limit_v, "V", figures.drop_holds);
        text += fmt::format(" {}: {} against {}.", figures.drop_holds ? "Within the limit" : "OVER THE LIMIT",
                            pair.computed, pair.limit);
    }
    return text;
}

/// One heat path in numbers. `current_a` is the cable's own; in company it counts as current / factor.
std::string heat_working(const physics::Stretch& stretch, const physics::HeatPath& path, double current_a) {
    const double factor = path.grouping_factor * path.enclosure_factor;
    const double counted_a = current_a / factor;
    const double loss = counted_a * counted_a * path.resistance_ohm_per_m;
    const double outer_m = stretch.conductor.outer_diameter_m;
    const double rise_k = path.surface_degc - path.ambient_degc;
    const physics::SurfaceLaw law = physics::surface_law(stretch.around.mounting);
    std::string text;
    if (factor < 1)
        text +=
            step("company", fmt::format("warms like one alone with {:.5g} A / ({:.2f} x {:.2f}) = {:.5g} A",
                                        current_a, path.grouping_factor, path.enclosure_factor, counted_a));
    text +=
        step("R at T", fmt::format("R20 x (1 + 0.00393 x (T - 20)) = {:.5g} x (1 + 0.00393 x ({:.2f} - 20)) "
                                   "= {:.5g} mohm/m",
                                   stretch.conductor.r20_ohm_per_m * 1000, path.conductor_degc,
                                   path.resistance_ohm_per_m * 1000));
    text += step("loss", fmt::format("I x I x R = {0:.5g} x {0:.5g} x {1:.5g} / 1000 = {2:.5g} W/m",
                                     counted_a, path.resistance_ohm_per_m * 1000, loss));
    text += step(
        "T1", fmt::format("rho / (2 pi) x ln(De / dc) = {:.1f} / 6.2832 x ln({:.5g} / {:.5g}) = {:.5g} K m/W",
                          stretch.insulation.thermal_resistivity_km_per_w, outer_m * 1000,
                          stretch.conductor.conductor_diameter_m * 1000, path.wall_km_per_w));
    text += step("surface",
                 fmt::format("T - loss x T1 = {:.2f} - {:.5g} x {:.5g} = {:.2f} degC, {:.5g} K over air",
                             path.conductor_degc, loss, path.wall_km_per_w, path.surface_degc, rise_k));
    text += step("h", fmt::format("Z / De^g + E = {} / {:.5g}^{} + {} = {:.5g} W/(m2 K^5/4), De in m", law.z,
                                  outer_m, law.g, law.e, path.h_w_per_m2k54));
    if (rise_k > 0)
        text += step(
            "T4", fmt::format("1 / (pi x De x h x dTs^(1/4)) = 1 / (3.1416 x {:.5g} x {:.5g} x {:.5g}^0.25) "
                              "= {:.5g} K m/W",
                              outer_m, path.h_w_per_m2k54, rise_k, path.surface_km_per_w));
    if (rise_k > 0)
        text += step("temperature",
                     fmt::format("air + loss x (T1 + T4) = {:.2f} + {:.5g} x ({:.5g} + {:.5g}) = {:.2f} "
                                 "degC, the T that was put in",
                                 path.ambient_degc, loss, path.wall_km_per_w, path.surface_km_per_w,
                                 path.conductor_degc));
    return text;
}

std::string working(const CableCard& card) {
    const CableQuestion& question = *card.question;
    const CableFigures& figures = *card.figures;
    const physics::Conductor& made = figures.stretch.conductor;
    std::string text = "\nHow it was worked out (IEC 60287, single cable; a pocket calculator will do)\n";
    text += step("conductor", fmt::format("{}: R20 {:.5g} mohm/m, dc {:.5g} mm, over the wall De {:.5g} mm",
                                          base::shown_section(made.section_mm2), made.r20_ohm_per_m * 1000,
                                          made.conductor_diameter_m * 1000, made.outer_diameter_m * 1000));
    if (figures.path && *question.current_a > 0) {
        text += fmt::format("  At {:.5g} A\n", *question.current_a);
        text += heat_working(figures.stretch, *figures.path, *question.current_a);
    }
    if (figures.at_class) {
        const physics::HeatPath& path = *figures.at_class;
        const double factor = path.grouping_factor * path.enclosure_factor;
        text += fmt::format("  At the class temperature {:.4g} degC\n", question.insulation.class_degc);
        text += step("ampacity",
                     fmt::format("f x sqrt((T - air) / (R x (T1 + T4))) = {:.4g} x sqrt(({:.4g} - {:.4g}) "
                                 "/ ({:.5g} / 1000 x ({:.5g} + {:.5g}))) = {}",
                                 factor, question.insulation.class_degc, path.ambient_degc,
                                 path.resistance_ohm_per_m * 1000, path.wall_km_per_w, path.surface_km_per_w,
                                 shown_down(figures.ampacity_a, 1, "A")));
        text += step("margin", fmt::format("{:.4g} x {:.5g} A = {} usable", question.margin_fraction,
                                           figures.ampacity_a, shown_down(figures.usable_a, 1, "A")));
    }
    if (figures.drop_v)
        text += step("drop", fmt::format("V = I R L = {:.5g} A x {:.5g} mohm/m / 1000 x {:.5g} m = {}",
                                         *question.current_a, figures.path->resistance_ohm_per_m * 1000,
                                         *question.length_m, shown_up(*figures.drop_v, 3, "V")));
    return text;
}

std::string neighbours(const CableCard& card) {
    const CableQuestion& question = *card.question;
    Table table({{.title = "section"},
                 {.title = "about"},
                 {.title = "ampacity", .right = true},
                 {.title = "usable", .right = true},
                 {.title = "runs at", .right = true},
                 {.title = "drop", .right = true},
                 {.title = "serves"}});
    for (const CableFigures& one : card.neighbours) {
        const double section_mm2 = one.stretch.conductor.section_mm2;
        const bool gauge = !base::us_size_name(section_mm2).empty();
        const bool chosen = section_mm2 == card.figures->stretch.conductor.section_mm2;
        table.row({fmt::format("{} {}", chosen ? ">" : " ", base::shown_section(section_mm2)),
                   gauge ? fmt::format("{:.1f} mm2", section_mm2) : base::nearest_us_size_name(section_mm2),
                   shown_down(one.ampacity_a, 1, "A"), shown_down(one.usable_a, 1, "A"),
                   one.path              ? shown_up(one.path->conductor_degc, 1, "degC")
                   : one.runaway.empty() ? "-"
                                         : "burns",
                   one.drop_v ? shown_up(*one.drop_v, 3, "V") : "-",
                   !question.current_a ? "-"
                   : one.carries()     ? "yes"
                                       : "no"});
    }
    return "\nNeighbouring sections\n" + table.text("  ");
}

} // namespace

std::string cable_card_text(const CableCard& card) {
    std::string text = head(card);
    text += wrapped(heat_verdict(card), line_width, "", "  ");
    if (const std::string drop = drop_verdict(card); !drop.empty())
        text += wrapped(drop, line_width, "", "  ");
    text += working(card);
    text += neighbours(card);
    text += "\nTaken for granted\n";
    for (const std::string& assumption : card.assumptions)
        text += wrapped(assumption, line_width, "  - ", "    ");
    text += "\nCautions\n";
    text +=
        wrapped("This is the copper alone. Joints add their own drop and heat; the fuse-link must protect "
                "this section at its hottest stretch. Measure the air of each stretch on a hot day; a "
                "guess too cool is a cable too thin.",
                line_width, "  - ", "    ");
    for (const std::string& caution : cautions())
        text += wrapped(caution, line_width, "  - ", "    ");
    return text;
}

} // namespace stoutloom::report
