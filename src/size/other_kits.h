// What the choice made for one kit does to the other kits of the same file: values that several kits share
// stand once in the file, so writing them for one writes them for all.
#pragma once

#include "size/size.h"

#include <string>
#include <vector>

namespace stoutloom::size {

struct OtherKit {
    std::string variant;
    std::vector<std::string> shared; // "W2", "F1": its values too are written
    bool good = false; // with them it keeps every rule, or sizes can be found for the rest of it
    std::string state; // how it stands then, in words
};

/// The chosen values that this kit has too. `others` are of the file as it was.
std::vector<std::string> shared_values(const Sizing& sizing, const model::Harness& other);
/// How a kit stands, read from the file as it would be written.
OtherKit state_of(const model::Harness& written, std::vector<std::string> shared);

} // namespace stoutloom::size
