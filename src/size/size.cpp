#include "size/size.h"

#include "size/account.h"
#include "size/relax.h"
#include "size/solution.h"

#include <fmt/format.h>

namespace stoutloom::size {
namespace {

NoKit no_kit(std::string message) {
    NoKit none;
    none.message = std::move(message);
    return none;
}

/// The search was ended: what is proven all the same.
std::string ended(const SearchProof& proof, bool by_price) {
    const double bound = static_cast<double>(proof.lower_bound) / cost_scale;
    return fmt::format("the search was ended by its limit after {} choices were judged, and no kit near the "
                       "last of them keeps every rule. No kit under {} does: that is proven. Whether a {} "
                       "one does is not known",
                       proof.questions,
                       by_price ? base::shown_number(bound / 100, 2, base::Rounding::down)
                                : base::shown_number(bound / 1e4, 2, base::Rounding::down) + " kg of copper",
                       by_price ? "dearer" : "heavier");
}

} // namespace

base::Outcome<Sizing, NoKit> size_kit(const model::Harness& harness, const SizeOptions& options) {
    const Automatic automatic = options.too_small ? marked_or_too_small(harness) : marked(harness);
    auto choices = choices_of(harness, automatic);
    if (!choices)
        return base::failure(no_kit(choices.error().message));
    if (options.too_small)
        drop_smaller(harness, *choices);
    if (options.failures)
        for (const std::string& part : options.failures->parts)
            if (!model::find_cable(harness, part) && !model::find_device(harness, part))
                return base::failure(no_kit(fmt::format("single failures: the file has no part {}", part)));
    Judge judge(harness, *choices, options.failures);
    const Solution solution = solve_choices(harness, *choices, options.limits, judge);
    if (solution.best)
        return account_of(harness, *choices, solution, options, judge);
    NoKit none;
    none.proven = solution.proof.complete;
    none.proof = solution.proof;
    none.conflicts = solution.conflicts;
    none.more_conflicts = solution.more_conflicts;
    none.standing = solution.standing;
    none.message =
        none.proven ? "no choice from stock clears all rules" : ended(solution.proof, choices->by_price);
    if (none.proven && options.relaxations)
        add_relaxations(harness, *choices, solution, options, none);
    return base::failure(std::move(none));
}

} // namespace stoutloom::size
