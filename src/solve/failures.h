// Every single failure of a duty, one at a time: a cable or joint come off, a fuse-link open, a contact that
// does not close; and every joint gone bad. What then carries the current, what goes dead, who loses the
// battery.
//
// One factor of the healthy network serves all of them: an opened branch is one more port that gives back
// what the branch took (a rank-one update). A branch that lies on no loop carries nothing and changes nothing
// when it opens. Cables keep their healthy temperatures, so a current that moves to a thinner cable is told a
// little too great, never too small. For the new temperatures re-solve with operating_point and the same part
// in its Variation.
#pragma once

#include "base/outcome.h"
#include "model/harness.h"
#include "solve/solve.h"

#include <optional>
#include <vector>

namespace stoutloom::solve {

/// What fails: a cable (either of its joints open is the same), or a fuse-link, switch, shunt or relay
/// contact.
struct Failure {
    std::optional<model::CableIndex> cable;
    std::optional<model::DeviceIndex> device;
};

struct FailureResult {
    Failure failure;
    std::vector<double> cable_a;      // by CableIndex
    std::vector<double> incidental_a; // by IncidentalIndex
    std::vector<double> contact_a;    // by DeviceIndex: through a fuse-link, contact or shunt; 0 for others
    std::vector<model::DeviceIndex> dead; // run when healthy, now under half their volts (starter: a third)
    std::vector<model::DeviceIndex> lost_battery; // turning units cut off from every battery: load dump
    std::vector<model::DeviceIndex>
        lost_sense;       // units whose sense point hangs loose; makers differ in what follows
    double highest_v = 0; // greatest volts across a running consumer
    std::optional<model::DeviceIndex> highest_at;
    std::optional<Unsolved> unsolved; // then the currents above are empty: cannot be told
};

struct FailureSweep {
    OperatingPoint healthy;
    std::vector<FailureResult> results; // cables in order, then devices
    std::size_t without_effect = 0;     // failures on no loop
};
base::Outcome<FailureSweep, Unsolved> single_failures(const model::Harness& harness, const model::Duty& duty,
                                                      const Variation& variation = {});

/// A bolted joint gone to `factor` times its resistance.
struct DirtyJointResult {
    model::CableIndex cable{};
    int end = 0;          // 0 from, 1 to: the end that heats
    double joint_ohm = 0; // dirty, one run of the cable
    double current_a = 0; // whole cable, with the dirty joint in it
    double heat_w = 0;    // in the joints of this end, all runs together
    double meter_v = 0;   // magnitude, stud to cable end: what a meter shows; crimp included
    double healthy_meter_v = 0;
    std::optional<Unsolved> unsolved;
};
/// Every cable end in turn, from one factor of the healthy network.
base::Outcome<std::vector<DirtyJointResult>, Unsolved> dirty_joints(const model::Harness& harness,
                                                                    const model::Duty& duty,
                                                                    double factor = 10,
                                                                    const Variation& variation = {});

} // namespace stoutloom::solve
