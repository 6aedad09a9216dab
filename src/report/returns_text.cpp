// The report's table of ways back: by what each unit's current really comes home.
#include "check/returns.h"
#include "report/text_tables.h"
#include "report/words.h"

#include <fmt/format.h>

#include <cmath>

namespace stoutloom::report {
namespace {

using base::Rounding;
using base::shown;
using base::shown_up;

std::string share(double fraction, Rounding rounding) {
    return fraction < 5e-5 ? "-" : shown(fraction * 100, fraction < 0.0995 ? 1 : 0, rounding, "%");
}

std::string ways(const model::Harness& harness, const check::ReturnShare& told) {
    std::vector<std::string> ids;
    for (const model::CableIndex cable : told.cables)
        ids.push_back(harness.cable(cable).id);
    for (const model::IncidentalIndex path : told.incidentals)
        ids.push_back(harness.incidentals[model::at(path)].id);
    return joined(ids, " ");
}

} // namespace

std::string return_table(const Checked& checked) {
    const model::Harness& harness = *checked.harness;
    Table table({{"unit"},
                 {"duty"},
                 {"current", true},
                 {"copper", true},
                 {"metal", true},
                 {"stray", true},
                 {"over battery -", true},
                 {"by way of"}});
    for (const check::ReturnShare& told : check::return_shares(*checked.facts))
        table.row({harness.device(told.unit).id, harness.duty(told.duty).id,
                   shown_up(told.current_a, told.current_a < 10 ? 1 : 0, "A"),
                   share(told.copper_fraction, Rounding::down), share(told.mass_fraction, Rounding::nearest),
                   share(told.incidental_fraction, Rounding::up),
                   told.shift_v == 0 ? "-" : shown_up(std::abs(told.shift_v), 2, "V"), ways(harness, told)});
    return table.empty() ? std::string() : table.text("  ");
}

} // namespace stoutloom::report
