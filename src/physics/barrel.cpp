// Lug barrels: which lug is made for which cable, and on which studs it exists.
#include "physics/joint.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

namespace stoutloom::physics {
namespace {

struct Row {
    double barrel_mm2;
    double least_cable_mm2; // insulated terminals take a range; compression lugs their own section
    std::string_view least_stud, usual_stud, greatest_stud;
    double inner_mm, outer_mm, palm_mm, strip_mm;
};
// 1.5 to 6: ring terminals with a range, DIN 46237 (the 4..6 mm2 size also takes 12 AWG). From 10: copper
// compression lugs, DIN 46235 (inner and outer diameters, stud ranges); lugs of plain tube have thinner walls
// (a public data sheet: 8.8 mm at 25 mm2 to 14.3 at 70), but for 10 mm2, where the tube's 7.1 mm stands.
// Outer diameters to 6 mm2 are the insulating collar's. Palm widths and strip lengths (barrel depth + 10 %)
// are about right. All from memory but for the plain tubes.
constexpr std::array rows = {
    Row{1.5, 0.5, "M4", "M5", "M6", 1.7, 4.5, 8, 6},
    Row{2.5, 1.5, "M4", "M5", "M8", 2.3, 5.0, 8.5, 6},
    Row{6, 3, "M4", "M6", "M10", 3.8, 7.0, 10, 11},
    Row{10, 10, "M5", "M6", "M10", 4.5, 7.1, 11, 11},
    Row{16, 16, "M6", "M8", "M12", 5.5, 8.5, 13, 22},
    Row{25, 25, "M6", "M8", "M12", 7.0, 10.0, 14, 22},
    Row{35, 35, "M6", "M8", "M12", 8.2, 12.5, 17, 22},
    Row{50, 50, "M8", "M10", "M16", 10.0, 14.5, 20, 31},
    Row{70, 70, "M8", "M10", "M16", 11.5, 16.5, 24, 31},
    Row{95, 95, "M8", "M10", "M16", 13.5, 19.0, 28, 39},
    Row{120, 120, "M10", "M12", "M20", 15.5, 21.0, 32, 39},
    Row{150, 150, "M10", "M12", "M20", 17.0, 23.5, 34, 39},
    Row{185, 185, "M10", "M12", "M20", 19.0, 25.5, 37, 44},
    Row{240, 240, "M12", "M16", "M20", 21.5, 29.0, 42, 44},
};

// The trade's pairs of AWG cable and metric lug run from 0.83 (6 AWG in 16 mm2) to 1.07 (1/0 AWG in 50 mm2);
// fine strands sit loose by up to a quarter of a size and still press well with the die of the lug (two trade
// pages).
constexpr double least_filling = 0.80;
constexpr double greatest_filling = 1.075;

const Row* row_of_barrel(double barrel_mm2) {
    const auto* found = std::find_if(rows.begin(), rows.end(), [&](const Row& row) {
        return std::abs(row.barrel_mm2 / barrel_mm2 - 1) < 0.005;
    });
    return found == rows.end() ? nullptr : found;
}

double metric_diameter_m(std::string_view name) // "M16"
{
    double mm = 0;
    std::from_chars(name.data() + 1, name.data() + name.size(), mm);
    return mm / 1000;
}

} // namespace

bool barrel_takes(double barrel_mm2, double section_mm2) {
    if (!(barrel_mm2 > 0) || !(section_mm2 > 0))
        return false;
    const double filling = section_mm2 / barrel_mm2;
    if (filling > greatest_filling)
        return false;
    const Row* row = row_of_barrel(barrel_mm2);
    const double least =
        row != nullptr ? std::min(row->least_cable_mm2 / row->barrel_mm2, least_filling) : least_filling;
    return filling >= least * (1 - 1e-9);
}

std::optional<Barrel> barrel_for(double section_mm2) {
    const Row* best = nullptr;
    for (const Row& row : rows) {
        if (!barrel_takes(row.barrel_mm2, section_mm2))
            continue;
        const auto distance = [&](const Row& r) { return std::abs(std::log(section_mm2 / r.barrel_mm2)); };
        if (best == nullptr || distance(row) < distance(*best))
            best = &row;
    }
    if (best == nullptr)
        return std::nullopt;
    const bool in_range = best->least_cable_mm2 < best->barrel_mm2 && section_mm2 <= best->barrel_mm2 * 1.005;
    return Barrel{.barrel_mm2 = best->barrel_mm2,
                  .least_stud = best->least_stud,
                  .usual_stud = best->usual_stud,
                  .greatest_stud = best->greatest_stud,
                  .inner_diameter_m = best->inner_mm / 1000,
                  .outer_diameter_m = best->outer_mm / 1000,
                  .palm_width_m = best->palm_mm / 1000,
                  .strip_length_m = best->strip_mm / 1000,
                  .exact = in_range || std::abs(section_mm2 / best->barrel_mm2 - 1) < 0.005};
}

bool lug_exists(double section_mm2, const base::Fastener& stud) {
    const auto barrel = barrel_for(section_mm2);
    if (!barrel || stud.kind != base::FastenerKind::stud)
        return false;
    constexpr double inch_slack_m = 0.0007; // 5/16 in counts as M8, 3/8 in as M10, #10 as M5
    return stud.diameter_m >= metric_diameter_m(barrel->least_stud) - inch_slack_m &&
           stud.diameter_m <= metric_diameter_m(barrel->greatest_stud) + inch_slack_m;
}

} // namespace stoutloom::physics
