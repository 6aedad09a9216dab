// Every single failure of a duty, one at a time: a cable or joint come off, a fuse-link open, a contact that
// does not close; and every joint gone bad. What then carries the current, what goes dead, who loses the
// battery.
//
// One factor of the healthy network serves all of them: an opened branch is one more port that gives back
// what the branch took (a rank-one update). A branch that lies on no loop carries nothing and changes nothing
// when it opens. The currents are told with every cable at its healthy temperature, so one that moves to a
// thinner cable is told a little too great, never too small. The whole point (`point`) has the cables whose
// current has changed at the temperature which that brings, so that lost volts are not told too small.
// For the settled temperatures re-solve with operating_point and the same part in its Variation.
#pragma once

#include "base/outcome.h"
#include "model/harness.h"
#include "solve/solve.h"

#include <optional>
#include <vector>

namespace stoutloom::solve {

/// What fails, one of these: a cable (either of its joints open is the same) or one of its parallel runs; a
/// fuse-link, switch, shunt or relay contact; a battery (a post lost, its lugs still together), where that is
/// more than the loss of one cable; the nut of a stud with several lugs, which then are off and apart; the
/// metal of a mass at a stud, whose lugs stay together; the seat of a unit on the mass that it stands on.
struct Failure {
    std::optional<model::CableIndex> cable;
    std::optional<model::DeviceIndex> device;
    bool one_run = false; // of the cable
    std::optional<model::TerminalIndex> nut = {};
    std::optional<model::TerminalIndex> metal = {};
    std::optional<model::DeviceIndex> seat = {};
};
/// Whether a cable has a lug on that stud.
bool is_bolted_to(const model::Cable& cable, model::TerminalIndex stud);
/// A failure is blamed only for what it makes clearly worse: a current this much above the healthy one.
constexpr double clearly_more = 1.05;

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
    OperatingPoint point;             // the whole of it, see above; empty where left out
    std::optional<Unsolved> unsolved; // then the currents above are empty: cannot be told
};

struct FailureSweep {
    OperatingPoint healthy;
    std::vector<FailureResult> results; // in the order of failures_of
    std::size_t without_effect = 0;     // failures on no loop
};
/// Cables, one run of each parallel one, devices, seats, nuts, metal; each in file order.
std::vector<Failure> failures_of(const model::Harness& harness);
base::Outcome<FailureSweep, Unsolved> single_failures(const model::Harness& harness, const model::Duty& duty,
                                                      const Variation& variation = {});
/// The same from an answer already had. Precondition: `healthy` is operating_point's own for these. It is
/// quicker without the points.
enum class Points { told, left_out };
base::Outcome<FailureSweep, Unsolved> single_failures(const model::Harness& harness, const model::Duty& duty,
                                                      const Variation& variation,
                                                      const OperatingPoint& healthy,
                                                      Points points = Points::told);

/// A joint gone to `factor` times its resistance: one lug's, those of all lugs under a loose nut, the metal
/// of a mass at a stud, the seat of a unit.
struct DirtyJointResult {
    model::CableIndex cable{}; // of a lug; under a nut the one that heats most
    int end = 0;               // 0 from, 1 to: the end that heats
    std::optional<model::TerminalIndex> nut = {}, metal = {};
    std::optional<model::DeviceIndex> seat = {};
    bool is_lug() const { return !metal && !seat; }
    double joint_ohm = 0; // dirty, one run of the cable
    double current_a = 0; // whole cable, with the dirty joint in it
    double heat_w = 0;    // in the joints of this end, all runs together; under a nut of all its lugs
    double healthy_heat_w = 0;
    double meter_v = 0; // magnitude, stud to cable end: what a meter shows; crimp included. Else stud or case
                        // to metal
    double healthy_meter_v = 0;
    std::optional<Unsolved> unsolved = {};
};
/// Every cable end in turn, then every seat, nut of several lugs and metal at a stud, from one factor of the
/// healthy network.
base::Outcome<std::vector<DirtyJointResult>, Unsolved> dirty_joints(const model::Harness& harness,
                                                                    const model::Duty& duty,
                                                                    double factor = 10,
                                                                    const Variation& variation = {});
/// The same from an answer already had, as above.
base::Outcome<std::vector<DirtyJointResult>, Unsolved> dirty_joints(const model::Harness& harness,
                                                                    const model::Duty& duty, double factor,
                                                                    const Variation& variation,
                                                                    const OperatingPoint& healthy);

} // namespace stoutloom::solve
