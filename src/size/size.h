// Chooses from stock the least copper (or the least price) that clears every rule in every duty, and proves
// it.
#pragma once

#include "base/outcome.h"
#include "check/check.h"
#include "model/harness.h"
#include "size/choices.h"
#include "size/explain.h"
#include "size/search.h"
#include "size/verdict.h"

#include <string>
#include <vector>

namespace stoutloom::size {

/// Work for what would free an impossible kit: choices judged, and pairs of cables tried, in all.
struct RelaxLimits {
    std::int64_t questions = 300, pairs = 300;
};
struct SizeOptions {
    bool too_small = false;  // also choose anew what the check finds too small (never smaller than it is)
    bool sensitivity = true; // say what a metre, ten degrees, one consumer more would do
    bool relaxations = true; // an impossible kit: say what would free it
    SearchLimits limits;
    RelaxLimits relaxing = {};
    std::optional<FailuresAsked> failures = std::nullopt; // single failures that the kit has to stand as well
};

/// One figure of a rule against its limit.
struct Figure {
    std::string rule, subject, duty, unit;
    double computed = 0, limit = 0;
    std::string message;
};
/// One size that was chosen: a cable's, a fuse-link's, a stud's, a lug's.
struct Chosen {
    ChoiceKind kind = ChoiceKind::section;
    std::string id;
    std::string text, order_code; // "70 mm2"
    double value = 0;
    std::string before;                // what the file said; empty: auto
    std::vector<std::string> left_out; // sizes the stock cannot end in its lugs
    /// The next smaller size in stock and what it would break; no text: there is none, or cost does not ask
    /// for it.
    std::string smaller_text;
    std::vector<Figure> smaller_breaks; // the binding rule first
    /// The binding rule's figure as chosen: how much is left.
    std::vector<Figure> binding;
    double copper_kg = 0;
    base::Span span; // of the value in the file
};
/// A lug that goes on a chosen cable or a chosen stud, as the file's stock lists it.
struct LugToOrder {
    std::string cable, at, text, order_code; // "W1", "G1.B+", "35 mm2 M8", "LG-35-8"
    int count = 1;
};
/// What would happen to the chosen kit if something grew.
struct Sensitivity {
    std::string what; // "W1 one metre longer"
    bool holds = true;
    std::string breaks; // the first rule that then fails, with its message
};
struct Standing {
    std::string rule, subject, message;
};

struct Sizing {
    std::vector<Chosen> chosen;
    std::vector<LugToOrder> lugs; // where the file's stock lists lugs
    Assignment assignment;
    model::Harness harness; // with the choice written in
    double copper_kg = 0;   // of the chosen cables
    bool by_price = false;
    bool lugs_priced = false;  // the price of the lugs is in it
    std::string lugs_unpriced; // by price without lugs: why
    double price = 0;
    bool proven = false; // false: a limit ended the search; nothing cheaper than `lower_bound` exists
    SearchProof proof;
    ExplainEffort effort;
    std::vector<Standing> standing;    // findings that stand whatever is chosen
    std::vector<std::string> unneeded; // acceptances of the file that cover nothing with this choice
    std::vector<Sensitivity> sensitivity;
    std::string stock;
};

/// A change that would free an impossible kit, and what it would then take.
struct Relaxation {
    std::string what; // "W4 as two in parallel"
    double copper_kg = 0;
    std::vector<std::string> brings; // findings that it adds and that sizes do not cure: "keyed-landing F1"
};
/// Rules with their subject that no choice keeps together; one of them less, and a choice keeps the rest of
/// them.
using Conflict = std::vector<std::string>;
struct NoKit {
    std::string message;
    bool proven = false;             // false: the search was ended by its limits
    std::vector<Conflict> conflicts; // without a rule in common; each has to be mended
    bool more_conflicts = false;     // there are others besides
    std::vector<Relaxation> relaxations;
    bool relaxing_ended = false; // by its limit of work: what is not told may still exist
    std::vector<Standing> standing;
    SearchProof proof;
};

base::Outcome<Sizing, NoKit> size_kit(const model::Harness& harness, const SizeOptions& options = {});

} // namespace stoutloom::size
