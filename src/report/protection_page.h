// The protection of one cable as a time-current plot: its fuse-links' bands, its damage curve, load and
// prospective currents.
#pragma once

#include "layout/papers/sheet.h"
#include "report/report.h"

#include <optional>
#include <string_view>

namespace stoutloom::report {

/// A cable by its id; by a fuse-link's id the cable on it that may carry least. Nothing where neither is
/// live and known.
std::optional<model::CableIndex> protected_cable(const Checked& checked, std::string_view id);
/// One page, in English. The cable has an insulation and a section that the tables know (rated).
layout::Document protection_page(const Checked& checked, model::CableIndex cable,
                                 layout::papers::PaperSize size, const layout::TextMeasure& measure);

} // namespace stoutloom::report
