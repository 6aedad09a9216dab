// What else may be switched on in a duty when something fails. Room-internal.
#pragma once

#include "check/facts.h"

#include <string>
#include <vector>

namespace stoutloom::check {

struct Choice {
    std::vector<model::DeviceIndex> running; // consumers, file order
    std::string words;                       // " with everything on"
};
/// Everything on that may be, all of it off, and up to six choices that are the worst of some cable while all
/// is whole (those of the most cables first); each once and none that is the duty's own.
std::vector<Choice> other_choices(const model::Harness& harness, const CombinedDuty& combined);

} // namespace stoutloom::check
