// 33 CFR 183.425 table 5, allowable amperage of conductors, with note 1 (engine spaces): read. Held against a
// second reading in tests/published/marine-regulation.
#include "physics/regulation.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace stoutloom::physics {
namespace {

struct Column {
    double class_degc;
    double engine_space_factor; // at 50 degC
};
constexpr std::array columns = {Column{60, 0.58},  Column{75, 0.75},  Column{80, 0.78}, Column{90, 0.82},
                                Column{105, 0.85}, Column{125, 0.89}, Column{200, 1.00}};
struct Row {
    std::string_view name;
    double section_mm2;
    std::array<double, columns.size()> amps;
};
constexpr std::array rows = {
    Row{"18 AWG", 0.8230, {10, 10, 15, 20, 20, 25, 25}},
    Row{"16 AWG", 1.3090, {15, 15, 20, 25, 25, 30, 35}},
    Row{"14 AWG", 2.0810, {20, 20, 25, 30, 35, 40, 45}},
    Row{"12 AWG", 3.3090, {25, 25, 35, 40, 45, 50, 55}},
    Row{"10 AWG", 5.2610, {40, 40, 50, 55, 60, 70, 70}},
    Row{"8 AWG", 8.3666, {55, 65, 70, 70, 80, 90, 100}},
    Row{"6 AWG", 13.303, {80, 95, 100, 100, 120, 125, 135}},
    Row{"4 AWG", 21.152, {105, 125, 130, 135, 160, 170, 180}},
    Row{"3 AWG", 26.670, {120, 145, 150, 155, 180, 195, 210}},
    Row{"2 AWG", 33.631, {140, 170, 175, 180, 210, 225, 240}},
    Row{"1 AWG", 42.408, {165, 195, 210, 210, 245, 265, 280}},
    Row{"1/0 AWG", 53.475, {195, 230, 245, 245, 285, 305, 325}},
    Row{"2/0 AWG", 67.431, {225, 265, 285, 285, 330, 355, 370}},
    Row{"3/0 AWG", 85.029, {260, 310, 330, 330, 385, 410, 430}},
    Row{"4/0 AWG", 107.22, {300, 360, 385, 385, 445, 475, 510}},
};

double bundle_factor(int loaded_cables) {
    if (loaded_cables >= 25)
        return 0.40;
    if (loaded_cables >= 7)
        return 0.50;
    if (loaded_cables >= 4)
        return 0.60;
    return loaded_cables >= 2 ? 0.70 : 1.0;
}

/// Air above the table's own; 1 at or below it, 0 at the class.
double air_factor(double class_degc, double table_air_degc, double air_degc) {
    if (air_degc <= table_air_degc)
        return 1;
    return std::sqrt(std::max(0.0, class_degc - air_degc) / (class_degc - table_air_degc));
}

} // namespace

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): units in the names
TableAllowance regulation_allowance(double section_mm2, double class_degc, const TablePlace& place) {
    constexpr std::string_view table = "33 CFR 183.425 table 5";
    std::size_t column = columns.size();
    while (column > 0 && !(columns[column - 1].class_degc <= class_degc))
        --column;
    if (column == 0 || !(section_mm2 > 0) || !std::isfinite(place.ambient_degc))
        return {.current_a = 0, .source = fmt::format("{} has no column for this insulation", table)};
    --column;
    // A gauge is a gauge within half a thousandth (physics/conductor.h).
    const Row* row = nullptr;
    for (const Row& candidate : rows)
        if (candidate.section_mm2 <= section_mm2 * 1.0005)
            row = &candidate;
    const double listed_a = row != nullptr
                                ? row->amps[column]
                                : rows.front().amps[column] * section_mm2 / rows.front().section_mm2;
    const Column& by_class = columns[column];
    const double space = place.engine_space ? by_class.engine_space_factor : 1.0;
    const double air = air_factor(by_class.class_degc, place.engine_space ? 50 : 30, place.ambient_degc);
    const double bundle = bundle_factor(place.loaded_cables);
    std::string source =
        fmt::format("{}, {} at {:.0f} degC: {:g} A", table, row != nullptr ? row->name : "under 18 AWG",
                    by_class.class_degc, listed_a);
    if (space < 1)
        source += fmt::format(" x {:.2f} engine space", space);
    if (air < 1)
        source += fmt::format(" x {:.2f} for {:.0f} degC", air, place.ambient_degc);
    if (bundle < 1)
        source += fmt::format(" x {:.2f} for {} in a bundle", bundle, place.loaded_cables);
    return {.current_a = listed_a * space * air * bundle, .source = std::move(source)};
}

} // namespace stoutloom::physics
