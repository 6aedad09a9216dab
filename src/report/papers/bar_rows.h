// Drops over the feeds and returns of local bars: what a fitter measures where a kit is spread over several
// bars.
#pragma once

#include "report/papers/measured_rows.h"

#include <vector>

namespace stoutloom::report {

/// A row for each stretch from one bar to the next, or from a battery to its first bar, that two consumers or
/// more share and that none of the loops tells. Probes stand on the studs at the stretch's ends.
///   accepted: as much more than expected as the tightest consumer behind has to spare, in proportion, so
///   that with every stretch at its limit none of them gets too little; and at most twice what is expected,
///   or 0.05 V more where that is less: a joint that loses more is loose or dirty (common practice, no
///   source).
std::vector<MeasuredRow> bar_rows(const Voice& voice, const check::SolvedDuty& solved,
                                  const std::vector<MeasuredLoop>& loops);

} // namespace stoutloom::report
