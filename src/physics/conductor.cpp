// From a section to a conductor: which family of tables it belongs to, and what lies between two rows.
#include "physics/conductor.h"

#include "base/quantity.h"
#include "physics/conductor_tables.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <numbers>
#include <vector>

namespace stoutloom::physics {
namespace {

constexpr double strand_fill = 0.72;
constexpr double copper_zero_degc = -234.5;            // where the straight line of R(T) meets zero
constexpr double pure_copper_ohm_mm2_per_m = 0.017241; // IEC 60028 at 20 degC: no conductor can be better

struct Row {
    double section_mm2, r20_ohm_per_m, outer_diameter_m;
};

double diameter_m(double section_mm2, double fill) {
    return std::sqrt(4 * section_mm2 * 1e-6 / (std::numbers::pi * fill));
}

std::vector<Row> metric_family() {
    std::vector<Row> family;
    for (const MetricRow& row : metric_rows())
        family.push_back({row.section_mm2, row.r20_mohm_per_m / 1000, row.outer_diameter_mm / 1000});
    return family;
}

std::vector<Row> gauge_family() {
    constexpr double to_20_degc = (20 - copper_zero_degc) / (75 - copper_zero_degc);
    std::vector<Row> family;
    for (const GaugeRow& row : gauge_rows()) {
        const double section_mm2 = base::awg_section_mm2(row.gauge);
        family.push_back({section_mm2, row.r75_ohm_per_kft / (1000 * base::metre_per_foot) * to_20_degc,
                          diameter_m(section_mm2, strand_fill) + 2 * row.wall_mm / 1000});
    }
    return family;
}

std::optional<Row> row_at(const std::vector<Row>& family, double section_mm2) {
    constexpr double dust = 0.0005; // an exact gauge, however it was rounded
    if (section_mm2 < family.front().section_mm2 * (1 - dust))
        return std::nullopt;
    if (section_mm2 > family.back().section_mm2 * (1 + dust))
        return std::nullopt;
    for (std::size_t i = 1; i < family.size(); ++i) {
        const Row &low = family[i - 1], &high = family[i];
        if (section_mm2 > high.section_mm2 && i + 1 < family.size())
            continue;
        const double share =
            std::log(section_mm2 / low.section_mm2) / std::log(high.section_mm2 / low.section_mm2);
        const auto between = [share](double a, double b) { return a * std::pow(b / a, share); };
        return Row{section_mm2, between(low.r20_ohm_per_m, high.r20_ohm_per_m),
                   between(low.outer_diameter_m, high.outer_diameter_m)};
    }
    return std::nullopt;
}

bool sensible(const std::optional<double>& given) {
    return !given || (std::isfinite(*given) && *given > 0);
}

/// The figures a conductor cannot have whoever wrote them.
std::string impossible(const Conductor& made) {
    const double solid_m = diameter_m(made.section_mm2, 1);
    if (made.r20_ohm_per_m * made.section_mm2 < 0.97 * pure_copper_ohm_mm2_per_m)
        return fmt::format("{:.4g} mohm/m at {:.4g} mm2 is less than pure copper has ({:.4g} mohm/m)",
                           made.r20_ohm_per_m * 1000, made.section_mm2,
                           1000 * pure_copper_ohm_mm2_per_m / made.section_mm2);
    if (made.conductor_diameter_m < 0.97 * solid_m)
        return fmt::format("a conductor of {:.4g} mm2 cannot be thinner than {:.3g} mm, {:.3g} mm was given",
                           made.section_mm2, solid_m * 1000, made.conductor_diameter_m * 1000);
    if (made.outer_diameter_m < made.conductor_diameter_m)
        return fmt::format("outer diameter {:.3g} mm is less than the conductor's {:.3g} mm",
                           made.outer_diameter_m * 1000, made.conductor_diameter_m * 1000);
    return {};
}

Conductor with_overrides(Conductor made, const ConductorOverrides& overrides) {
    const double wall_m = (made.outer_diameter_m - made.conductor_diameter_m) / 2;
    if (overrides.r20_ohm_per_m)
        made.r20_ohm_per_m = *overrides.r20_ohm_per_m;
    if (overrides.conductor_diameter_m) {
        made.conductor_diameter_m = *overrides.conductor_diameter_m;
        made.outer_diameter_m = made.conductor_diameter_m + 2 * wall_m;
    }
    if (overrides.outer_diameter_m) {
        made.outer_diameter_m = *overrides.outer_diameter_m;
        // A thin cable than the default strands would fill: the solid rod is the careful guess (thicker
        // wall).
        if (!overrides.conductor_diameter_m && made.outer_diameter_m <= made.conductor_diameter_m)
            made.conductor_diameter_m = diameter_m(made.section_mm2, 1);
    }
    if (overrides.r20_ohm_per_m || overrides.conductor_diameter_m || overrides.outer_diameter_m)
        made.source += "; figures of this cable where the file gives them";
    return made;
}

} // namespace

base::Outcome<Conductor, OutOfRange> conductor_for(double section_mm2, const ConductorOverrides& overrides) {
    static const std::vector<Row> metric = metric_family();
    static const std::vector<Row> gauges = gauge_family();
    if (!std::isfinite(section_mm2) || section_mm2 <= 0)
        return base::failure(OutOfRange{"a section must be a number above zero"});
    if (!sensible(overrides.r20_ohm_per_m) || !sensible(overrides.conductor_diameter_m) ||
        !sensible(overrides.outer_diameter_m))
        return base::failure(OutOfRange{"a resistance or diameter of a cable must be a number above zero"});

    const std::string gauge = base::awg_name(section_mm2);
    std::optional<Row> row;
    std::string source;
    if (!gauge.empty()) {
        row = row_at(gauges, section_mm2);
        source = "NEC chapter 9 table 8 stranded, brought to 20 degC; marine wall; strand fill 0.72";
    }
    if (!row) {
        row = row_at(metric, section_mm2);
        source =
            section_mm2 <= 120 * 1.0005
                ? "ISO 6722-1 greatest resistance and thick wall (from memory); strand fill 0.72"
                : "IEC 60228 class 5 greatest resistance, wall as at 120 mm2 (from memory); strand fill 0.72";
    }
    if (!row && overrides.r20_ohm_per_m && overrides.conductor_diameter_m && overrides.outer_diameter_m) {
        row = Row{section_mm2, 1, 1};
        source = "no table";
    }
    if (!row)
        return base::failure(
            OutOfRange{fmt::format("section {:.4g} mm2 is beyond the tables ({:.4g} to {:.4g} mm2)",
                                   section_mm2, metric.front().section_mm2, metric.back().section_mm2)});

    Conductor made{.section_mm2 = section_mm2,
                   .r20_ohm_per_m = row->r20_ohm_per_m,
                   .conductor_diameter_m = diameter_m(section_mm2, strand_fill),
                   .outer_diameter_m = row->outer_diameter_m,
                   .source = source};
    made = with_overrides(made, overrides);
    if (std::string why = impossible(made); !why.empty())
        return base::failure(OutOfRange{std::move(why)});
    return made;
}

std::span<const double> metric_stock_mm2() {
    static constexpr std::array sizes = {1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0};
    return sizes;
}

std::span<const double> awg_stock_mm2() {
    static const std::vector<double> sizes = [] {
        std::vector<double> all;
        for (const GaugeRow& row : gauge_rows())
            if (row.gauge <= 16 && row.gauge != 3)
                all.push_back(base::awg_section_mm2(row.gauge));
        return all;
    }();
    return sizes;
}

double resistance_ohm_per_m(const Conductor& conductor, double conductor_degc) {
    return conductor.r20_ohm_per_m * (1 + 0.00393 * (conductor_degc - 20));
}

double copper_kg_per_m(double section_mm2) {
    return 8.89e-3 * section_mm2;
}

} // namespace stoutloom::physics
