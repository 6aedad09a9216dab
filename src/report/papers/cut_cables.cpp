#include "report/papers/cut_cables.h"

#include "report/papers/id_ranges.h"

#include "physics/conductor.h"
#include "physics/heat_shrink.h"
#include "physics/joint.h"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace stoutloom::report {
namespace {

using layout::papers::EndKind;
using layout::papers::EndShape;

EndKind kind_of(base::FastenerKind kind) {
    switch (kind) {
    case base::FastenerKind::stud:
        return EndKind::ring;
    case base::FastenerKind::taper_post:
        return EndKind::post_clamp;
    case base::FastenerKind::blade:
        return EndKind::blade;
    case base::FastenerKind::plug:
        return EndKind::plug;
    case base::FastenerKind::splice:
        return EndKind::splice;
    }
    return EndKind::ring;
}

/// Width of a blade from its name, "blade 6.3".
double blade_mm(const std::string& name) {
    double wide = 6.3;
    const std::size_t blank = name.rfind(' ');
    if (blank != std::string::npos)
        std::from_chars(name.data() + blank + 1, name.data() + name.size(), wide);
    return wide;
}

// Taper posts across the top: positive 19.5, negative 17.9 (common practice, no source); the clamp's ring
// stands 4 mm round it.
constexpr double positive_post_mm = 19.5, negative_post_mm = 17.9, clamp_wall_mm = 4;

/// The tail of a clamp, receptacle or plug is drawn as the barrel of the cable's own lug.
void set_barrel(EndShape& shape, const std::optional<physics::Barrel>& barrel, double conductor_mm) {
    if (!barrel) { // thinner than any lug, or thicker: about a crimp over the conductor
        shape.barrel_mm = conductor_mm * 1.4 + 0.6;
        shape.barrel_length_mm = std::max(6.0, conductor_mm * 2);
        shape.crimps = 1;
        return;
    }
    shape.barrel_mm = barrel->outer_diameter_m * 1000;
    shape.barrel_length_mm =
        barrel->strip_length_m * 1000 / 1.1; // the strip length holds 10 % over the depth
    shape.crimps = barrel->barrel_mm2 < 16 ? 1 : 2;
}

std::vector<std::string> plain_numbers(std::size_t count) {
    std::vector<std::string> numbers;
    for (std::size_t i = 0; i < count; ++i)
        numbers.push_back(std::to_string(i + 1));
    return numbers;
}

double cut_length_m(const model::Cable& cable, const CutCable& cut) {
    double taken_mm = 0;
    for (const CutEndFigures* end : {&cut.from, &cut.to})
        taken_mm += layout::papers::neck_length_mm(end->shape);
    const double length_m = cable.length_m.value;
    const double allowance_m = std::max(least_cut_allowance_m, length_m * cut_allowance_fraction);
    const double wanted_m = length_m - taken_mm / 1000 + allowance_m;
    // A link shorter than its own lugs still needs copper in both barrels.
    const double least_m = (cut.from.strip_mm + cut.to.strip_mm) / 1000;
    return std::ceil(std::max(wanted_m, least_m) / cut_step_m - 1e-9) * cut_step_m;
}

bool wet_at(const model::Harness& harness, const model::CableEnd& end, const model::Segment& stretch) {
    const auto& zone = harness.device(harness.terminal(end.at).device).zone;
    return harness.zone(stretch.zone).wet || (zone && harness.zone(*zone).wet);
}

/// Heat-shrink for both ends of an insulated cable whose section is known. A contact in its plug bears none
/// on the barrel, only on the cable behind it.
void choose_sleeves(const model::Harness& harness, const std::vector<model::StockSleeve>& stock,
                    CutCable& cut) {
    const model::Cable& cable = harness.cable(cut.cable);
    const double thinner = cable.outer_diameter_m ? 0 : physics::thinner_than_table;
    const auto choose = [&](CutEndFigures& end, bool wet) {
        const bool plug = end.shape.kind == EndKind::plug;
        const double barrel_m = plug ? 0 : end.shape.barrel_mm / 1000, cable_m = cut.outside_mm / 1000;
        end.sleeve_wanted = {
            .thickest_m = std::max(barrel_m, cable_m), .thinnest_m = cable_m * (1 - thinner), .wet = wet};
        end.sleeve = size::sleeve_for(stock, end.sleeve_wanted);
        end.sleeve_m = physics::sleeve_cut_m(
            {.barrel_length_m = plug ? 0 : end.shape.barrel_length_mm / 1000, .cable_diameter_m = cable_m});
    };
    choose(cut.from, wet_at(harness, cable.from, cable.segments.front()));
    choose(cut.to, wet_at(harness, cable.to, cable.segments.back()));
}

} // namespace

CutEndFigures cut_end(const model::Cable& cable, const model::CableEnd& end, bool negative_post) {
    const double section = end.barrel_mm2 ? end.barrel_mm2->value : cable.section_mm2.value;
    const auto conductor = physics::conductor_for(cable.section_mm2.value);
    const auto barrel = physics::barrel_for(section);
    CutEndFigures figures;
    EndShape& shape = figures.shape;
    shape.kind = kind_of(end.lug.kind);
    set_barrel(shape, barrel, conductor ? conductor->conductor_diameter_m * 1000 : 2);
    figures.strip_mm = barrel ? barrel->strip_length_m * 1000 : shape.barrel_length_mm * 1.1;
    switch (shape.kind) {
    case EndKind::ring:
        shape.hole_mm = end.lug.hole_low_m * 1000;
        shape.palm_mm =
            std::max(barrel ? barrel->palm_width_m * 1000 : 0.0, 1.7 * std::max(shape.hole_mm, 4.0));
        break;
    case EndKind::post_clamp:
        shape.hole_mm = negative_post ? negative_post_mm : positive_post_mm;
        shape.palm_mm = shape.hole_mm + 2 * clamp_wall_mm;
        break;
    case EndKind::blade:
        shape.hole_mm = 0;
        shape.palm_mm = blade_mm(end.lug.name) + 1.6;
        break;
    case EndKind::plug:
        shape.hole_mm = 0;
        shape.palm_mm = std::max(8.0, shape.barrel_mm + 3);
        break;
    case EndKind::splice:
        shape.hole_mm = 0;
        shape.palm_mm = shape.barrel_mm;
        break;
    }
    return figures;
}

std::vector<CutCable> cut_cables(const Voice& voice, const std::vector<std::string>& given_numbers) {
    const model::Harness& harness = voice.harness();
    const std::vector<std::string> numbers =
        given_numbers.size() == harness.cables.size() ? given_numbers : plain_numbers(harness.cables.size());
    const std::vector<model::StockSleeve> sleeves = size::sleeves_of(harness);
    std::vector<CutCable> cuts;
    for (std::size_t i = 0; i < harness.cables.size(); ++i) {
        const model::Cable& cable = harness.cables[i];
        if (cable.origin != model::Origin::fresh)
            continue;
        CutCable cut;
        cut.cable = static_cast<model::CableIndex>(i);
        cut.number = numbers[i];
        cut.pieces = std::max(1, cable.parallel);
        cut.section_known = !cable.automatic && cable.section_mm2.value > 0;
        const auto negative = [&](model::TerminalIndex at) {
            return harness.terminal(at).role == model::Role::negative;
        };
        cut.from = cut_end(cable, cable.from, negative(cable.from.at));
        cut.to = cut_end(cable, cable.to, negative(cable.to.at));
        if (const auto conductor = physics::conductor_for(cable.section_mm2.value)) {
            cut.outside_mm = conductor->outer_diameter_m * 1000;
            cut.conductor_mm = conductor->conductor_diameter_m * 1000;
        }
        if (cable.outer_diameter_m)
            cut.outside_mm = cable.outer_diameter_m->value * 1000;
        if (cable.conductor_diameter_m)
            cut.conductor_mm = cable.conductor_diameter_m->value * 1000;
        cut.cut_m = cut_length_m(cable, cut);
        cut.sleeved = cable.build != model::CableBuild::braid;
        if (cut.sleeved && cut.section_known)
            choose_sleeves(harness, sleeves, cut);
        cuts.push_back(cut);
    }
    // As the eye looks for them: W9 before W10, whatever the order in the file.
    std::stable_sort(cuts.begin(), cuts.end(), [&](const CutCable& a, const CutCable& b) {
        return stands_before(harness.cable(a.cable).id, harness.cable(b.cable).id);
    });
    return cuts;
}

} // namespace stoutloom::report
