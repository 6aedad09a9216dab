// Everything the rules may know, computed once: solved duties, ratings, topology, keying.
#pragma once

#include "base/outcome.h"
#include "check/faults.h"
#include "check/keying.h"
#include "check/paths.h"
#include "model/harness.h"
#include "physics/shorttime.h"
#include "solve/ratings.h"
#include "solve/shorts.h"
#include "solve/solve.h"
#include "solve/worst_case.h"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace stoutloom::check {

/// One duty, solved or not. `point` is empty when `unsolved` says why.
struct SolvedDuty {
    model::DutyIndex duty{};
    std::optional<solve::OperatingPoint> point;
    std::optional<solve::Unsolved> unsolved;
};

/// A continuous duty over every choice of what is switched on; empty `worst` when `unsolved` says why.
struct CombinedDuty {
    model::DutyIndex duty{};
    std::optional<solve::WorstCombination> worst;
    std::optional<solve::Unsolved> unsolved;
};

/// The continuous duty in which a cable is worst off, by temperature, as written or with another choice of
/// what is switched on.
struct WorstDuty {
    std::optional<model::DutyIndex> duty;
    double current_a = 0; // magnitude
    double temperature_degc = 0;
    std::optional<double> drop_v;                           // magnitude; nothing for another choice
    bool runaway = false;                                   // no steady temperature exists
    std::optional<std::vector<model::DeviceIndex>> running; // the choice, where it is not the duty's own
};

struct Facts {
    const model::Harness* harness = nullptr;
    solve::Variation variation;         // what of it is not as written
    std::vector<SolvedDuty> duties;     // by DutyIndex
    std::vector<CombinedDuty> combined; // continuous duties that were solved and leave a choice
    /// Key on, engine stopped, before the first turn: where a lead to an exciter is to be judged.
    std::optional<solve::OperatingPoint> key_on;
    std::vector<solve::CableRating> ratings; // by CableIndex
    std::vector<WorstDuty> worst;            // by CableIndex, continuous duties
    Topology topology;
    std::vector<LandingVerdict> landings;
    /// What every source drives into a short circuit; never empty after gather.
    std::shared_ptr<const base::Outcome<solve::ShortCurrents, solve::Unsolved>> shorts;
    /// Where times to harm are remembered from kit to kit; empty: each is worked out anew.
    std::shared_ptr<physics::HarmTimes> harm_times;
    std::shared_ptr<const Faults> faults; // every single failure; empty where nobody asked
    /// The same kit at the worst of ageing and tolerance (solve::Variation::worst): joints at the end of
    /// their life, lengths and set points at their tolerance, batteries on their careful side. Its own
    /// `at_worst` is empty. Its `worst` counts what `at_least_charge` does to a cable as well.
    std::shared_ptr<const Facts> at_worst;
    /// The same again with set points at the bottom of their tolerance: what batteries and consumers get at
    /// least. Empty without a charging unit. Rules are asked of all three, see judge_one.
    std::shared_ptr<const Facts> at_least_charge;
};

/// The worst cases that there are: at_worst, at_least_charge.
std::vector<const Facts*> worst_cases(const Facts& facts);

/// Solves every duty, rates every cable, follows every path and decides every landing. The harness must
/// outlive the facts. Never fails: what could not be had is recorded as such.
/// `Depth::healthy` leaves the single failures out: sizing asks thousands of times.
enum class Depth { healthy, with_faults };
Facts gather(const model::Harness& harness, Depth depth = Depth::with_faults);

/// The worst duty of every cable.
std::vector<WorstDuty> worst_of(const model::Harness& harness, const std::vector<SolvedDuty>& duties,
                                const std::vector<CombinedDuty>& combined);
/// Key on, engine stopped, before the first turn.
model::Duty key_on_duty();

/// The worse of a cable's `worst` with and without ageing and tolerance.
const WorstDuty& worst_duty(const Facts& facts, model::CableIndex cable);

/// What a wrong assembly of a landing would do, from the rewired network: short circuits, reversed or dead
/// parts, a unit without its battery, cables without protection. Fills `consequence` and `harmful`.
void add_consequence(const model::Harness& harness, const Facts& facts, WrongAssembly& wrong);

/// Continuous duties that were solved, and those of limited duration.
bool is_continuous(const model::Duty& duty);
bool engine_running(const model::Duty& duty);

} // namespace stoutloom::check
