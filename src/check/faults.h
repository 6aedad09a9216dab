// What each single failure does, told by consequence: one part opened in each duty, as built and at the worst
// of ageing and tolerance, then every rule that has a meaning then asked again (failure_rules.h).
//
// A consequence is told only where the failure makes it: what is over its limit in the healthy kit is told by
// its own rule. One that a worse one explains is left out: a dead consumer has no lost volts. Failures with
// the same consequences (a fuse-link and the cables in series with it) are one entry.
#pragma once

#include "model/harness.h"
#include "solve/failures.h"

#include <string>
#include <vector>

namespace stoutloom::check {

struct Facts;

enum class Harm { incidental, overheats, overvoltage, load_dump, lost_sense, part, link_opens, limit, dead };
/// How bad it is: a fault need not be survived in comfort, but nothing may burn.
enum class Grave { nothing, told, burns }; // burns: past its limit with no fuse-link that stops it
/// One thing that a failure does, in the duty where it is worst.
struct Consequence {
    Harm harm = Harm::dead;
    std::string subject; // what suffers
    std::string duty;
    double value = 0, limit = 0; // in `unit`; 0 where there is none
    double ratio = 0;            // value over limit: ranks
    std::string words; // "X9 \"Throttle cable\" carries 31.2 A in duty cranking, 6.3 times what it stands"
    std::string rule = {}; // the rule whose limit it is; empty where none has one
    std::string unit = {}; // "A", "V", "s"
    std::string cure = {}; // harm `limit`: the rule's
    Grave weight = Grave::nothing;
    bool at_worst = false; // only with ageing and tolerance
};
struct FaultTold {
    std::vector<std::string> failed; // ids, file order
    std::string what;     // "W1 or the nut of X1 comes off", "F1, W1 or W2 opens", "the seat of M1 is lost"
    bool one_run = false; // of a cable, not all of it
    /// The loss of this part alone does all the harm that is told here: "W3". Then it is no finding of its
    /// own.
    std::string like = {};
    std::vector<Consequence> consequences;
    Grave grave = Grave::nothing;
    base::Span span; // of the first failed part
};
struct Faults {
    std::vector<FaultTold> told;       // gravest first, then by the greatest ratio, then file order
    std::vector<std::string> harmless; // whose loss does nothing that is told: "W1", "the nut of X1"
    std::vector<std::string> unsolved; // "W3 in duty rated: why"
    std::vector<std::string> asked;    // every id, once
    bool complete() const { return unsolved.empty(); }
};
/// Every cable, run of parallel cables, fuse-link, contact, shunt, shared battery post, seat, nut of several
/// lugs and metal at a stud of a mass lost in every duty that has a healthy answer.
Faults faults_of(const Facts& facts);
/// The consequences in short: those of one kind are one phrase, the worst in full and the others by name;
/// what goes dead stands last and together.
std::vector<std::string> condensed(const FaultTold& told);

enum class DirtyKind {
    lug,
    nut,
    seat,
    metal
}; // one lug; all under a loose nut; a unit's seat; a mass at a stud
/// A joint gone to ten times its resistance, in the duty that warms it most.
struct DirtyTold {
    DirtyKind kind = DirtyKind::lug;
    std::string cable, at; // "W1", "G1.B+": the end that heats; under a nut the hottest; else no cable
    std::string duty;
    double current_a = 0, heat_w = 0, healthy_heat_w = 0, meter_v = 0, healthy_meter_v = 0;
};
constexpr double dirty_factor = 10;
/// By heat, the greatest first. Joints that stay under a tenth of a watt are left out.
std::vector<DirtyTold> dirty_joints_of(const Facts& facts);

} // namespace stoutloom::check
