// Tightening torques by place and stud. The maker's figure for the actual part always beats these.
#include "physics/joint.h"

#include <algorithm>
#include <array>

namespace stoutloom::physics {
namespace {

struct Row {
    StudPlace place;
    std::string_view stud;
    double low, typical, high;
    std::string_view source;
};
constexpr std::string_view battery_a = "battery maker's table, stud form (read)";
constexpr std::string_view battery_b = "second battery maker's table (read)";
constexpr std::string_view service = "service manuals (from memory)";
constexpr std::string_view bars = "bus-bar and switch makers (from memory, doubtful)";
constexpr std::string_view holders = "fuse-holder makers (from memory)";
constexpr std::string_view bolts =
    "steel bolt 8.8 dry, VDI 2230 (from memory); weld nut in sheet: the low end";
constexpr std::string_view castings =
    "practice for aluminium castings (from memory, doubtful); thread engaged 2 d";
constexpr std::string_view apparatus_source = "IEC 60947-1 table 4 column III (from memory)";

constexpr std::array rows = {
    Row{StudPlace::battery, "M6", 4.5, 5.4, 6.3, battery_a},
    Row{StudPlace::battery, "M8", 6.6, 7.5, 8.5, battery_a},
    Row{StudPlace::battery, "M10", 10.4, 11.7, 13.0, battery_a},
    Row{StudPlace::battery, "3/8 in", 12.0, 14.4, 16.9, battery_a},
    Row{StudPlace::battery, "5/16 in", 11.0, 11.5, 12.0, battery_b},
    Row{StudPlace::battery, "post", 5.6, 6.5, 7.9, "two battery makers' tables, M6 bolt of the clamp (read)"},
    Row{StudPlace::generator_output, "M6", 5.0, 7.0, 9.0, service},
    Row{StudPlace::generator_output, "M8", 10.0, 13.0, 16.0, service},
    Row{StudPlace::generator_small, "M4", 1.6, 1.9, 2.3, service},
    Row{StudPlace::generator_small, "M5", 2.7, 3.2, 4.0, service},
    Row{StudPlace::starter_main, "M8", 8.0, 10.0, 13.0, service},
    Row{StudPlace::starter_main, "M10", 14.0, 17.0, 20.0, service},
    Row{StudPlace::starter_control, "M5", 2.0, 2.7, 4.0, service},
    Row{StudPlace::fuse_strip_30, "M5", 3.5, 4.5, 5.5, holders},
    Row{StudPlace::fuse_strip_51, "M8", 9.0, 12.0, 15.0,
        "fuse-holder makers (from memory, doubtful; some ask 20)"},
    Row{StudPlace::bus_bar, "#10", 2.3, 2.6, 2.8, bars},
    Row{StudPlace::bus_bar, "M6", 5.1, 6.0, 6.8, bars},
    Row{StudPlace::bus_bar, "1/4 in", 5.1, 6.0, 6.8, bars},
    Row{StudPlace::bus_bar, "M8", 9.0, 11.0, 15.8, bars},
    Row{StudPlace::bus_bar, "5/16 in", 9.0, 11.0, 15.8, bars},
    Row{StudPlace::bus_bar, "M10", 13.5, 15.8, 19.0, bars},
    Row{StudPlace::bus_bar, "3/8 in", 13.5, 15.8, 19.0, bars},
    Row{StudPlace::ground_steel, "M5", 4.5, 5.5, 6.0, bolts},
    Row{StudPlace::ground_steel, "M6", 8.0, 9.5, 10.0, bolts},
    Row{StudPlace::ground_steel, "M8", 20.0, 23.0, 25.0, bolts},
    Row{StudPlace::ground_steel, "M10", 38.0, 46.0, 50.0, bolts},
    Row{StudPlace::ground_steel, "M12", 70.0, 79.0, 86.0, bolts},
    Row{StudPlace::ground_aluminium, "M8", 15.0, 18.0, 22.0, castings},
    // The standard gives one figure; 10 % either way is what a workshop wrench holds.
    Row{StudPlace::apparatus, "M4", 1.08, 1.2, 1.32, apparatus_source},
    Row{StudPlace::apparatus, "M5", 1.8, 2.0, 2.2, apparatus_source},
    Row{StudPlace::apparatus, "M6", 2.7, 3.0, 3.3, apparatus_source},
    Row{StudPlace::apparatus, "M8", 5.4, 6.0, 6.6, apparatus_source},
    Row{StudPlace::apparatus, "M10", 9.0, 10.0, 11.0, apparatus_source},
    Row{StudPlace::apparatus, "M12", 12.6, 14.0, 15.4, apparatus_source},
};

} // namespace

std::optional<Torque> tightening_torque(StudPlace place, const base::Fastener& stud) {
    const auto* row = std::find_if(rows.begin(), rows.end(),
                                   [&](const Row& r) { return r.place == place && r.stud == stud.name; });
    if (row == rows.end())
        return std::nullopt;
    return Torque{row->low, row->typical, row->high, row->source};
}

} // namespace stoutloom::physics
