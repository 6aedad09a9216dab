// The two lists that every paper prints: what may hurt, and what this program is silent about.
#include "report/report.h"

namespace stoutloom::report {

const std::vector<std::string>& cautions() {
    static const std::vector<std::string> list = {
        ("A battery drives over a thousand amperes through a spanner. Take its negative lead off first and "
         "put it back last; no rings, watches or loose tools."),
        "Fit nothing while an error stands in this check.",
        ("These are computed figures. They are as good as the file: measure lengths and the air temperature "
         "of each zone on the hottest day, and measure volts after fitting."),
        ("Local codes, the vehicle's or vessel's own rules and the makers' data come before anything printed "
         "here; have the work done or passed by someone licensed for it where that is asked."),
        ("Keep heavy cables clear of exhaust, fuel lines, sharp edges and moving parts; support them, guard "
         "them where they pass metal, and boot every live stud that is not behind a fuse-link."),
        "Tighten each nut to the torque of the part's maker, and again after the first heat.",
    };
    return list;
}

const std::vector<std::string>& not_checked() {
    static const std::vector<std::string> list = {
        "chafing, vibration, bend radius, support and the route's clearance from hot or moving parts",
        "what follows when two parts fail at once",
        "other conditions than the duties listed (in each all-day one, every choice of what is on was asked)",
        "alternating ripple, voltage leaps on loss of the battery, radio interference",
        "corrosion, water, and whether joints are as clean and tight as assumed",
        "belts, brackets and the engine's power to drive the unit",
        "whether bought parts keep the figures of their standard",
    };
    return list;
}

} // namespace stoutloom::report
