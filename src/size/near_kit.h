// A good kit near a bad one: what can be told where the search was ended by its limits. Room-internal.
#pragma once

#include "size/choices.h"
#include "size/verdict.h"

#include <optional>

namespace stoutloom::size {

/// Sections go up towards the largest until the rules are kept, then each down again as far as they stay
/// kept, the dearest first. Nothing is proven by it but that the kit is good. Nothing: none was found, or
/// ratings, studs or lugs are to be chosen as well and stand in the way.
std::optional<Assignment> good_kit_near(const Choices& choices, Judge& judge, const Assignment& from);

} // namespace stoutloom::size
