// Studs and lugs among the choices: which sizes can be offered, which go together, what the lugs cost.
// Room-internal.
#pragma once

#include "size/choices.h"

#include <optional>
#include <vector>

namespace stoutloom::size {

/// Which choices an end of a cable hangs on.
struct EndChoices {
    std::size_t end = 0;                // end_index
    std::optional<std::size_t> section; // of its cable
    std::optional<std::size_t> stud;    // of the terminal it is on
    std::optional<std::size_t> lug; // of its own lug; without one a lug that is not given goes with the stud
};
/// Every end that hangs on at least one choice.
std::vector<EndChoices> ends_with_choices(const model::Harness& harness, const Choices& choices);

base::Outcome<Choice, NoChoice> stud_choice(const model::Harness& harness, model::TerminalIndex terminal,
                                            const Automatic& automatic);
base::Outcome<Choice, NoChoice> lug_choice(const model::Harness& harness, std::size_t end,
                                           const Automatic& automatic);

/// Whether a lug for the section is to be had: from stock, or of one that is not in stock from the trade.
bool goes_in(const model::Harness& harness, const Option& section, const base::Fastener& lug);

/// What goes together: no section in a lug that the stock lacks, no lug on a stud that it is not made for.
/// Every choice from stock keeps these.
std::vector<Row> stock_rows(const model::Harness& harness, const Choices& choices);
/// Why an assignment cannot be had from stock, about one of these choices; empty if it can.
std::string stock_trouble(const model::Harness& harness, const Choices& choices, const Assignment& assignment,
                          std::size_t about);

/// What a lug costs that depends on two choices, for a search that knows costs of single choices only.
struct LugCost {
    std::size_t section = 0, size = 0;           // choices
    std::vector<std::vector<std::int64_t>> cost; // by option of each
};
/// Adds the price of each lug to the choice it hangs on alone; what hangs on two choices is returned. Nothing
/// is added, and `lugs_priced` stays false, unless every lug that may be chosen has a price.
std::vector<LugCost> price_lugs(const model::Harness& harness, Choices& choices);
std::vector<LugCost> lug_costs(const model::Harness& harness, const Choices& choices);
std::int64_t cost_of(const model::Harness& harness, const Choices& choices, const Assignment& assignment);

} // namespace stoutloom::size
