// Long lists of names, told shortly.
#pragma once

#include "report/papers/voice.h"

namespace stoutloom::report {

/// "W1 to W9, W12, X3": names of one stem and rising numbers together, three or more in a row as a range. The
/// stems stand in the order in which they first come; what has no number stays where its stem is.
std::string id_ranges(const Voice& voice, const std::vector<std::string>& ids);
/// In lists that are looked up: by stem, then by number as it counts, W9 before W10.
bool stands_before(const std::string& a, const std::string& b);
/// The cables in that order, as on the cut list, whatever the file's own.
std::vector<std::size_t> cables_to_look_up(const model::Harness& harness);
/// The parts between ", ".
std::vector<std::string> parted(const std::string& list);

} // namespace stoutloom::report
