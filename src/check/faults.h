// What each single failure does, told by consequence: one part opened in each duty, then the limits asked
// again.
//
// A consequence is told only where the failure makes it: what is over its limit in the healthy kit is told by
// its own rule. Failures with the same consequences (a fuse-link and the cables in series with it) are one
// entry.
#pragma once

#include "model/harness.h"
#include "solve/failures.h"

#include <string>
#include <vector>

namespace stoutloom::check {

struct Facts;

enum class Harm { incidental, overheats, overvoltage, load_dump, lost_sense, part, link_opens, dead };
/// One thing that a failure does, in the duty where it is worst.
struct Consequence {
    Harm harm = Harm::dead;
    std::string subject; // what suffers
    std::string duty;
    double value = 0, limit = 0; // A, V or degC; 0 where there is none
    double ratio = 0;            // value over limit: ranks
    std::string words; // "X9 \"Throttle cable\" carries 31.2 A in duty cranking, 6.3 times what it stands"
};
/// How bad it is: a fault need not be survived in comfort, but nothing may burn.
enum class Grave { nothing, told, burns }; // burns: past its limit with no fuse-link that stops it
struct FaultTold {
    std::vector<std::string> failed; // ids, file order
    std::string what;                // "W1 comes off", "F1, W1 or W2 opens"
    std::vector<Consequence> consequences;
    Grave grave = Grave::nothing;
    base::Span span; // of the first failed part
};
struct Faults {
    std::vector<FaultTold> told;       // gravest first, then by the greatest ratio, then file order
    std::vector<std::string> harmless; // ids whose loss does nothing that is told
    std::vector<std::string> unsolved; // "W3 in duty rated: why"
    std::vector<std::string> asked;    // every id
    bool complete() const { return unsolved.empty(); }
};
/// Every cable, fuse-link, contact and shunt opened in every duty that has a healthy answer.
Faults faults_of(const Facts& facts);

/// A joint gone to ten times its resistance, in the duty that warms it most.
struct DirtyTold {
    std::string cable, at; // "W1", "G1.B+": the end that heats
    std::string duty;
    double current_a = 0, heat_w = 0, healthy_heat_w = 0, meter_v = 0, healthy_meter_v = 0;
};
constexpr double dirty_factor = 10;
/// By heat, the greatest first. Joints that stay under a tenth of a watt are left out.
std::vector<DirtyTold> dirty_joints_of(const Facts& facts);

} // namespace stoutloom::check
