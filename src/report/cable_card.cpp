// The quick calculation: figures, the choice of a section from stock, JSON.
#include "report/cable_card.h"

#include "base/quantity.h"
#include "report/cable_figures.h"
#include "report/json_words.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

namespace stoutloom::report {
namespace {

using Json = nlohmann::ordered_json;

constexpr double not_told = std::numeric_limits<double>::quiet_NaN();

std::string senseless(const CableQuestion& question) {
    const auto bad = [](const std::optional<double>& value, double least) {
        return value && (!std::isfinite(*value) || *value < least);
    };
    if (!question.current_a && !question.section_mm2)
        return "neither a current nor a section is given: nothing to work out";
    if (bad(question.current_a, 0) || bad(question.length_m, 0) || bad(question.drop_limit_v, 0))
        return "current, length and drop must be numbers not below zero";
    if (!std::isfinite(question.ambient_degc) || question.ambient_degc < -90 || question.ambient_degc > 500)
        return "the air temperature is not a usable number";
    if (!std::isfinite(question.insulation.class_degc))
        return "the insulation's temperature is not a usable number";
    if (!(question.margin_fraction > 0) || question.margin_fraction > 1)
        return "the margin must lie above 0 and not above 1";
    if (question.loaded_cables < 1)
        return "at least one loaded cable is counted: the cable itself";
    if (question.drop_limit_v && (!question.current_a || !question.length_m))
        return "a drop limit needs a current and a length";
    const physics::ConductorOverrides& own = question.overrides;
    if (!question.section_mm2 && (own.r20_ohm_per_m || own.conductor_diameter_m || own.outer_diameter_m))
        return "measured figures belong to one cable: give its section too";
    return {};
}

/// Metric and gauge stock in one rising list.
std::vector<double> stock_mm2() {
    const auto metric = physics::metric_stock_mm2();
    const auto gauges = physics::awg_stock_mm2();
    std::vector<double> all(metric.begin(), metric.end());
    all.insert(all.end(), gauges.begin(), gauges.end());
    std::sort(all.begin(), all.end());
    return all;
}

std::optional<double> smallest_that_carries(const CableQuestion& question, std::span<const double> sections) {
    for (const double section_mm2 : sections) {
        const auto figures = cable_figures(question, section_mm2);
        if (figures && figures->carries())
            return section_mm2;
    }
    return std::nullopt;
}

NoCable nothing_carries(const CableQuestion& question, double greatest_mm2) {
    if (question.ambient_degc >= question.insulation.class_degc)
        return {fmt::format("air of {:.4g} degC is at or above what the insulation stands ({:.4g} degC): no "
                            "section helps, choose a higher class or a cooler route",
                            question.ambient_degc, question.insulation.class_degc)};
    const auto greatest = cable_figures(question, greatest_mm2);
    if (greatest && greatest->heat_holds)
        return {fmt::format("no stock section keeps the drop within {:.4g} V; {} drops {}: shorten the "
                            "route or run several cables",
                            *question.drop_limit_v, base::shown_section(greatest_mm2),
                            base::shown_up(greatest->drop_v.value_or(0), 3, "V"))};
    return {
        fmt::format("no stock section carries {:.4g} A here; the greatest, {}, is good for {}: run several "
                    "cables, each with its own protection, or find a cooler route",
                    *question.current_a, base::shown_section(greatest_mm2),
                    base::shown_down(greatest ? greatest->usable_a : 0, 0, "A"))};
}

std::vector<CableFigures> neighbours_of(const CableQuestion& question, const CableFigures& chosen) {
    const double section_mm2 = chosen.stretch.conductor.section_mm2;
    std::vector<double> around = stock_mm2();
    const auto same = [&](double other) { return std::abs(other / section_mm2 - 1) < 1e-6; };
    if (std::none_of(around.begin(), around.end(), same)) {
        around.push_back(section_mm2);
        std::sort(around.begin(), around.end());
    }
    const auto here = std::find_if(around.begin(), around.end(), same) - around.begin();
    const auto count = static_cast<std::ptrdiff_t>(around.size());
    const std::ptrdiff_t first =
        std::clamp<std::ptrdiff_t>(here - 2, 0, std::max<std::ptrdiff_t>(0, count - 5));
    CableQuestion tables_only = question;
    tables_only.overrides = {};
    std::vector<CableFigures> neighbours;
    for (std::ptrdiff_t i = first; i < std::min(count, first + 5); ++i) {
        if (i == here) {
            neighbours.push_back(chosen);
            continue;
        }
        auto figures = cable_figures(tables_only, around[static_cast<std::size_t>(i)]);
        if (figures)
            neighbours.push_back(std::move(*figures));
    }
    return neighbours;
}

std::vector<std::string> assumptions_of(const CableQuestion& question, const CableFigures& figures) {
    const auto grouping = physics::grouping_factor(question.loaded_cables);
    const auto enclosure = physics::enclosure_factor(question.mounting);
    std::vector<std::string> all = {
        "conductor: " + figures.stretch.conductor.source,
        fmt::format("wall: thermal resistivity {:.1f} K m/W (PVC and elastomers; cross-linked polyethylene "
                    "has 3.5 and would carry a little more)",
                    question.insulation.thermal_resistivity_km_per_w),
        "still air, no sun; steady direct current; copper; joints not included",
        fmt::format("grouping factor {:.2f}: {}", grouping.factor, grouping.source)};
    if (question.mounting == physics::Mounting::conduit)
        all.push_back(fmt::format("enclosure factor {:.2f}: {}", enclosure.factor, enclosure.source));
    all.push_back(fmt::format("margin {:.0f} %: {}", question.margin_fraction * 100,
                              question.margin_fraction == physics::default_installed_margin_fraction
                                  ? std::string(physics::installed_margin_reason)
                                  : std::string("as asked for")));
    if (!question.current_a)
        all.emplace_back("no current given: the resistance is told at the class temperature");
    return all;
}

Json number(const std::optional<double>& value) {
    return value && std::isfinite(*value) ? Json(rounded_for_json(*value)) : Json(nullptr);
}

Json figures_json(const CableQuestion& question, const CableFigures& figures) {
    const auto degc = figures.path ? std::optional(figures.path->conductor_degc) : std::nullopt;
    return Json{{"section_mm2", rounded_for_json(figures.stretch.conductor.section_mm2)},
                {"resistance_ohm", number(figures.resistance_ohm)},
                {"drop_v", number(figures.drop_v)},
                {"temperature_c", number(degc)},
                {"ampacity_a", rounded_for_json(figures.ampacity_a)},
                {"usable_a", rounded_for_json(figures.usable_a)},
                {"carries", question.current_a ? Json(figures.carries()) : Json(nullptr)}};
}

std::string card_json(const CableCard& card) {
    const CableQuestion& question = *card.question;
    Json json = figures_json(question, *card.figures);
    json["runaway"] = !card.figures->runaway.empty();
    json["inputs"] = {{"current_a", number(question.current_a)},
                      {"length_m", number(question.length_m)},
                      {"section_mm2", number(question.section_mm2)},
                      {"ambient_c", rounded_for_json(question.ambient_degc)},
                      {"insulation", question.insulation.text},
                      {"class_c", rounded_for_json(question.insulation.class_degc)},
                      {"mounting", physics::mounting_name(question.mounting)},
                      {"loaded_cables", question.loaded_cables},
                      {"margin_fraction", rounded_for_json(question.margin_fraction)},
                      {"drop_limit_v", number(question.drop_limit_v)},
                      {"nominal_v", rounded_for_json(question.nominal_v)}};
    json["assumptions"] = card.assumptions;
    json["neighbours"] = Json::array();
    for (const CableFigures& neighbour : card.neighbours)
        json["neighbours"].push_back(figures_json(question, neighbour));
    return json.dump(2) + "\n";
}

std::string proposal_words(const CableQuestion& question) {
    const auto metric = smallest_that_carries(question, physics::metric_stock_mm2());
    const auto gauge = smallest_that_carries(question, physics::awg_stock_mm2());
    return fmt::format("smallest that serves: metric stock {}, gauge stock {}",
                       metric ? base::shown_section(*metric) : "none",
                       gauge ? base::shown_section(*gauge) : "none");
}

} // namespace

base::Outcome<CableFigures, NoCable> cable_figures(const CableQuestion& question, double section_mm2) {
    auto conductor = physics::conductor_for(section_mm2, question.overrides);
    if (!conductor)
        return base::failure(NoCable{conductor.error().message});
    CableFigures figures;
    figures.stretch = {.conductor = std::move(*conductor),
                       .insulation = question.insulation,
                       .around = {.ambient_degc = question.ambient_degc,
                                  .mounting = question.mounting,
                                  .loaded_cables = question.loaded_cables,
                                  .radiant_k = 0}};
    figures.ampacity_a = physics::ampacity_a(figures.stretch);
    figures.usable_a = figures.ampacity_a * question.margin_fraction;
    figures.heat_holds = question.current_a ? *question.current_a <= figures.usable_a : figures.usable_a > 0;
    if (figures.ampacity_a > 0)
        if (const auto path = physics::heat_path(figures.stretch, figures.ampacity_a))
            figures.at_class = *path;
    double told_degc = question.insulation.class_degc;
    if (question.current_a) {
        const auto path = physics::heat_path(figures.stretch, *question.current_a);
        if (!path) {
            figures.runaway = path.error().message;
            figures.heat_holds = false;
            figures.drop_holds = !question.drop_limit_v;
            return figures;
        }
        figures.path = *path;
        told_degc = path->conductor_degc;
    }
    if (question.length_m) {
        figures.resistance_ohm =
            physics::resistance_ohm_per_m(figures.stretch.conductor, told_degc) * *question.length_m;
        if (question.current_a)
            figures.drop_v = *question.current_a * *figures.resistance_ohm;
        if (question.drop_limit_v)
            figures.drop_holds = *figures.drop_v <= *question.drop_limit_v;
    }
    return figures;
}

base::Outcome<CableAnswer, NoCable> work_out_cable(const CableQuestion& question) {
    if (std::string why = senseless(question); !why.empty())
        return base::failure(NoCable{std::move(why)});
    std::optional<double> section_mm2 = question.section_mm2;
    if (!section_mm2) {
        const std::vector<double> stock = stock_mm2();
        section_mm2 = smallest_that_carries(question, stock);
        if (!section_mm2)
            return base::failure(nothing_carries(question, stock.back()));
    }
    const auto figures = cable_figures(question, *section_mm2);
    if (!figures)
        return base::failure(figures.error());
    const CableCard card{.question = &question,
                         .figures = &*figures,
                         .proposal = question.section_mm2 ? std::string() : proposal_words(question),
                         .neighbours = neighbours_of(question, *figures),
                         .assumptions = assumptions_of(question, *figures)};
    return CableAnswer{.section_mm2 = *section_mm2,
                       .resistance_ohm = figures->resistance_ohm.value_or(not_told),
                       .drop_v = figures->drop_v.value_or(not_told),
                       .temperature_degc = figures->path ? figures->path->conductor_degc : not_told,
                       .ampacity_a = figures->ampacity_a,
                       .usable_a = figures->usable_a,
                       .carries = figures->carries(),
                       .text = cable_card_text(card),
                       .json = card_json(card)};
}

} // namespace stoutloom::report
