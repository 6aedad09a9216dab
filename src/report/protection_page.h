// The protection of one cable as a time-current plot: its fuse-links' bands, its damage curve, load and
// prospective currents.
#pragma once

#include "layout/papers/sheet.h"
#include "report/papers/voice.h"

#include <optional>
#include <string_view>

namespace stoutloom::report {

/// A cable by its id; by a fuse-link's id the cable on it that may carry least. Nothing where neither is
/// live and known.
std::optional<model::CableIndex> protected_cable(const Checked& checked, std::string_view id);
/// One page, in the language of the title block. The cable has an insulation and a section that the tables
/// know (rated).
layout::Document protection_page(const Checked& checked, model::CableIndex cable,
                                 layout::papers::PaperSize size, const layout::TextMeasure& measure);

/// The same without frame and title block, for a pack.
layout::Page protection_sheet(const Voice& voice, model::CableIndex cable, layout::papers::PaperSize size,
                              const layout::TextMeasure& measure);
/// Of each fuse-link the cable that may carry least; those that a rule complains of first, then the largest.
std::vector<model::CableIndex> protection_worth_a_sheet(const Checked& checked, std::size_t most);

} // namespace stoutloom::report
