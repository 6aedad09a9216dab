// Operating points of the network: what really flows in one duty, at running temperature.
//
// Direct current, steady. Nodes are electrical nodes (terminals of a post are one node); node 0 is the
// reference, the negative terminal of the first battery. A cable is one branch: two crimps, two bolted
// joints, and copper whose resistance follows its own temperature. Conventional current, positive from `from`
// to `to`.
#pragma once

#include "base/outcome.h"
#include "model/harness.h"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace stoutloom::solve {

/// What is different from the file as written: one fault, one combination, one set of tolerances.
struct Rewired {
    model::CableIndex cable;
    int end; // 0 from, 1 to
    model::TerminalIndex now_at;
};
struct DirtyJoint {
    model::CableIndex cable;
    int end;
    double factor; // on the bolted joint's resistance
};
struct Variation {
    std::vector<model::CableIndex> opened_cables;
    std::vector<model::DeviceIndex>
        opened_devices; // fuse-link, switch, shunt, relay contact; a mass: its metal
    std::vector<model::DeviceIndex> opened_seats;   // units that no longer touch the mass they stand on
    std::vector<model::TerminalIndex> opened_metal; // studs that no longer meet the metal of their mass
    std::vector<Rewired> rewired;
    std::vector<DirtyJoint> dirty_joints;
    std::optional<std::vector<model::DeviceIndex>> running; // exactly these consumers, whatever the duty says
    bool worst = false; // joints at end of life, lengths and set points at their tolerance, aged battery
    /// With `worst`: the other end of the charging unit's tolerance, set points low and a battery that takes
    /// little.
    bool weak_supply = false;
};

/// Nothing different but the worst of ageing and tolerance.
inline Variation at_worst() {
    Variation worst;
    worst.worst = true;
    return worst;
}
/// The same with the charging unit at the low end: what the battery and the consumers get at least.
inline Variation at_least_charge() {
    Variation least = at_worst();
    least.weak_supply = true;
    return least;
}

enum class Regime {
    regulating, // generator holds its set point
    ceiling,    // generator at its greatest current; battery at its acceptance
    idle,       // source gives nothing (generator below set point of others); consumer dead
    free        // battery by its EMF and resistance; consumer as asked
};

struct CableState {
    double current_a = 0;             // whole cable, all parallel runs
    double drop_v = 0;                // stud to stud, joints included, sign of the current
    double copper_drop_v = 0;         // conductor alone
    double end_drop_v[2] = {0, 0};    // crimp and joint at each end
    double conductor_degc = 0;        // hottest point, heat along the copper and hot studs included
    double resistance_ohm = 0;        // stud to stud at running temperature
    std::vector<double> segment_degc; // hottest point of each stretch
    bool runaway = false;             // no steady temperature exists: it burns
};
struct DeviceState {
    double current_a =
        0; // sources: out of the positive terminal; consumers: drawn; two-terminal parts: first to second
    double volts_v = 0; // across it: positive minus negative, or first minus second
    Regime regime = Regime::free;
    bool running = false; // consumer on, generator turning, contact closed
};

struct Solved; // room-internal

struct OperatingPoint {
    std::vector<double> terminal_v;             // by TerminalIndex, against the reference; NaN where floating
    std::vector<CableState> cables;             // by CableIndex
    std::vector<DeviceState> devices;           // by DeviceIndex
    std::vector<double> incidental_a;           // by IncidentalIndex
    std::vector<model::TerminalIndex> floating; // no conducting path to the reference
    std::vector<model::DeviceIndex>
        collapsed; // loads whose own current breaks their volts down below their fold
    int thermal_rounds = 0, regime_changes = 0; // effort, for the record
    std::shared_ptr<const Solved> solved = {};  // what faults of this very answer start from; may be empty
};

/// No operating point: which parts disagree and why. Never returned as an answer.
struct Unsolved {
    std::string message;               // one sentence for the report
    std::vector<std::string> subjects; // ids that disagree
};

/// Solves one duty. Currents and temperatures are iterated to a fixed point (1e-6 relative).
base::Outcome<OperatingPoint, Unsolved>
operating_point(const model::Harness& harness, const model::Duty& duty, const Variation& variation = {});

/// An open SPICE deck of the same network at the final resistances, so that anyone can check the solution.
/// Node names and a comment line per element tell which part of the file it is; a `.control` block prints
/// every node at full precision and ends with `quit 0`.
base::Outcome<std::string, Unsolved> spice_deck(const model::Harness& harness, const model::Duty& duty,
                                                const Variation& variation = {});
/// The deck's node name of a terminal: "n7", "0" for the reference.
std::string deck_node_name(const model::Harness& harness, const model::Duty& duty,
                           model::TerminalIndex terminal, const Variation& variation = {});

} // namespace stoutloom::solve
