// What company costs: factors for cables laced together and for cables in a closed sleeve or conduit.
#include "physics/thermal.h"

#include <algorithm>
#include <array>

namespace stoutloom::physics {
namespace {

struct Step {
    int least_cables;
    double factor;
    std::string_view source;
};
constexpr std::string_view marine = "ABYC E-11 bundling, relative to one cable alone (from memory)";
constexpr std::string_view building = "NEC 310.15(C)(1), stricter here than ABYC E-11";
// The stricter of the two at every count.
constexpr std::array steps = {
    Step{25, 0.40, marine}, Step{21, 0.45, building}, Step{7, 0.50, marine},
    Step{4, 0.60, marine},  Step{2, 0.70, marine},
};

} // namespace

Grouping grouping_factor(int loaded_cables) {
    if (loaded_cables >= 41)
        return {.factor = 0.35, .source = std::string(building)};
    const auto* step = std::find_if(steps.begin(), steps.end(),
                                    [&](const Step& row) { return loaded_cables >= row.least_cables; });
    if (step == steps.end())
        return {.factor = 1, .source = "one cable alone"};
    return {.factor = step->factor, .source = std::string(step->source)};
}

Grouping enclosure_factor(Mounting mounting) {
    if (mounting != Mounting::conduit)
        return {.factor = 1, .source = "open to the air"};
    return {
        .factor = 0.77,
        .source =
            "IEC 60364-5-52: least ratio of conduit on a wall (method B) to clipped direct (method C), two "
            "loaded cables, 1 to 240 mm2"};
}

} // namespace stoutloom::physics
