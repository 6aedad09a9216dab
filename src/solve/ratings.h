// What each cable of a harness may carry all day: the thermal model over its whole route, and for a boat the
// regulation's own table as well.
#pragma once

#include "model/harness.h"
#include "physics/thermal.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stoutloom::solve {

struct SegmentRating {
    physics::Stretch stretch;
    double ampacity_a; // one conductor of the cable, this stretch without its neighbours, before the margin
};
/// The regulation's figure at the stretch where it is least, all parallel runs.
struct TableRating {
    double usable_a = 0;
    std::size_t stretch = 0;
    std::string source; // row, column and factors
};
struct CableRating {
    std::vector<SegmentRating> segments; // as Cable::segments
    std::size_t hottest = 0;             // the stretch that rules
    double ampacity_a = 0;               // whole cable (all parallel runs), before the margin
    double model_usable_a = 0;           // after the installed-condition margin
    std::optional<TableRating> table;    // boat profile
    double usable_a = 0;                 // the lesser of the two
    bool by_table() const { return table && table->usable_a < model_usable_a; }
};
/// The route counts as a whole (physics/along.h): a short hot stretch gives heat to its neighbours, an end at
/// a stud of known temperature (`stud-temperature`) takes that. A cable whose stud or air is at its class may
/// carry nothing. Grouping counts every cable of the loom that carries load in any duty, the careful side of
/// the practice that leaves out those under 30 % of what they could carry alone.
CableRating cable_rating(const model::Harness& harness, model::CableIndex cable);

/// One end of one conductor: crimp and bolted joint as built, and at the end of their life (never better than
/// what the file says was measured).
struct EndFigures {
    double crimp_ohm, joint_ohm;
    double aged_crimp_ohm, aged_joint_ohm;
    std::string_view crimp_source, joint_source;
};
EndFigures end_figures(const model::Harness& harness, model::CableIndex cable, int which); // 0 from, 1 to

} // namespace stoutloom::solve
