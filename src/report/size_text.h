// `stoutloom size`: what was chosen from stock and why, as text and as JSON.
#pragma once

#include "base/source.h"
#include "size/other_kits.h"

#include <string>

namespace stoutloom::report {

/// One sized file: the answer, or why there is none.
struct Sized {
    const base::SourceText* source = nullptr;
    const model::Harness* harness = nullptr; // as the file has it
    const size::Sizing* sizing = nullptr;    // one of these two
    const size::NoKit* none = nullptr;
    std::vector<size::OtherKit> others{}; // that writing this kit's choice also sets values of
};

/// Choices with the binding rule and the next smaller size, copper, proof, what stands whatever is chosen,
/// sensitivity; for an impossible kit the conflicting rules and what would free it. Masses and loads rounded
/// up, margins down.
std::string size_text(const Sized& sized);
std::string size_json(const Sized& sized);

/// One document as it is, several as an array.
std::string json_list(const std::vector<std::string>& documents);

} // namespace stoutloom::report
