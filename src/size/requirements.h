// What a good kit must keep, in the form a proof needs: drops between terminals, currents a wire may carry.
// Room-internal.
//
// Each requirement repeats a rule of check/ in part: it may ask less than the rule, never more, since a proof
// that goes by it calls choices bad. tests/property/size_bounds_test.cpp holds the two together on random
// kits.
#pragma once

#include "check/facts.h"
#include "model/harness.h"
#include "size/choices.h"

#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace stoutloom::size {

/// The volts lost on one or two ways together are at most a limit: in each of the duties, or (where a rule
/// judges only the duty in which most is lost) in one of them, namely one that may lose most on the
/// `ranked_by` ways.
struct DropRequirement {
    std::string why; // "charging-drop G1, feed and return together"
    std::vector<std::pair<model::TerminalIndex, model::TerminalIndex>> ways;
    std::vector<std::size_t> duties;
    double limit_v = 0;
    bool in_heaviest_only = false;
    std::vector<std::pair<model::TerminalIndex, model::TerminalIndex>> ranked_by;
    /// Kept as well where the limit holds on one of these instead.
    std::vector<std::pair<model::TerminalIndex, model::TerminalIndex>> instead = {};
};
/// A ground that closes a loop: thin, it carries no more of other units' current than the limit (rule
/// return-loop), in every duty.
struct ThinGround {
    std::size_t cable = 0;
    double limit_a = 0; // over what the units at its own ends draw
    std::vector<model::DeviceIndex> own;
};

/// A cable of the return side: what is thin is told by the thickest of them.
struct ReturnCable {
    std::size_t cable = 0;
    std::vector<double> sections_mm2; // all runs together, by option
};

struct Requirements {
    std::vector<DropRequirement> drops;
    std::vector<ThinGround> grounds;
    std::vector<ReturnCable> returns; // where there are such grounds
};
/// Rule and subject of findings that stand whatever is chosen.
using StandingNames = std::set<std::pair<std::string, std::string>>;
/// `standing`: they ask nothing. Null: not known, so the rules that may be among them ask nothing.
Requirements requirements_of(const check::Facts& facts, const Choices& choices,
                             const StandingNames* standing);

/// Whether an acceptance of the file covers a rule's finding about a subject, so that it does not count.
bool accepted(const model::Harness& harness, std::string_view rule, std::string_view subject);

} // namespace stoutloom::size
