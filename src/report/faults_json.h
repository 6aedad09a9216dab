// Room-internal: what goes wrong, as JSON: ways back, single failures, joints gone dirty, prospective
// currents.
#pragma once

#include "report/report.h"

#include <nlohmann/json.hpp>

namespace stoutloom::report {

/// By what each unit's current comes home.
nlohmann::ordered_json returns_json(const Checked& checked);
/// Null where the failures were not asked for.
nlohmann::ordered_json failures_json(const Checked& checked);
nlohmann::ordered_json dirty_joints_json(const Checked& checked);
/// Null, with the reason, where a section is beyond the tables.
nlohmann::ordered_json prospective_json(const Checked& checked);

} // namespace stoutloom::report
