// Landings whose studs or lugs are chosen: which sizes can be bolted up wrongly whatever the sections are.
// Room-internal.
#pragma once

#include "check/facts.h"
#include "size/choices.h"

#include <string>
#include <vector>

namespace stoutloom::size {

/// The choices that a landing hangs on: studs of it, lugs of its ends, sections of its cables (of two cables
/// to one place, only alike ones may change places).
struct LandingChoices {
    std::vector<std::size_t> fittings, sections;
};
LandingChoices landing_choices(const check::LandingVerdict& landing, const Choices& choices);

/// Boxes of sizes with which a landing can be bolted up wrongly, whatever the sections; none for a landing
/// whose finding the file accepts, or with more than `most_tried` combinations of sizes: those are left to
/// the check of each choice.
std::vector<Row> landing_rows(const model::Harness& harness, const Choices& choices,
                              const std::vector<check::LandingVerdict>& landings);

} // namespace stoutloom::size
