// The least change of stud and lug sizes that keys a landing, found by trying the sizes on sale.
#pragma once

#include "check/keying.h"

#include <optional>
#include <string>
#include <vector>

namespace stoutloom::check {

/// One stud of another size, with the lugs that belong on it; or, where the stud stays, lugs that fit it.
struct StudChange {
    model::TerminalIndex stud{};
    base::Fastener to;
    bool lugs_only = false;
    std::vector<model::CableIndex> lugs; // cables whose lug there changes
};
struct KeyingCure {
    std::vector<StudChange> changes;
    std::string sentence; // "order G1.B- as M10 and put M10 lugs on W3"
};

/// Fewest changed studs first, then the least change of diameters, then file order; at most three studs. A
/// lug of the new size must exist for its cable's section (the file's stock of lugs where it lists some, DIN
/// 46235 otherwise). Nothing where no such change keys the landing.
std::optional<KeyingCure> keying_cure(const model::Harness& harness, const LandingVerdict& landing);
/// The harness with the change made.
model::Harness with_change(const model::Harness& harness, const KeyingCure& cure);

} // namespace stoutloom::check
