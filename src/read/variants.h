// Several kits in one file: what each variant makes of it.
#pragma once

#include "read/form.h"

#include <string>
#include <vector>

namespace stoutloom::read {

/// Indices of the <variant> nodes, in file order.
std::vector<std::uint32_t> variants_of(const Form& form);
/// The form with one variant's parts in place of those with their ids, and its further parts added; no
/// <variant> is left. Complains of a <without> that names nothing.
Form with_variant(const Form& form, std::uint32_t variant, Complaints& complaints);

} // namespace stoutloom::read
