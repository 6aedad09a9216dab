// Room-internal: what goes wrong, as JSON text: ways back, single failures, joints gone dirty, prospective
// currents.
#pragma once

#include "report/report.h"

#include <string>

namespace stoutloom::report {

/// By what each unit's current comes home.
std::string returns_json(const Checked& checked);
/// Null where the failures were not asked for.
std::string failures_json(const Checked& checked);
std::string dirty_joints_json(const Checked& checked);
/// Empty lists and the reason where a section is beyond the tables.
std::string prospective_json(const Checked& checked);

} // namespace stoutloom::report
