// The figures of one cable of the quick calculation, shared by its text and its JSON.
#pragma once

#include "report/cable_card.h"

#include <vector>

namespace stoutloom::report {

struct CableFigures {
    physics::Stretch stretch;
    std::optional<physics::HeatPath> path; // at the current asked for; empty: none asked, or no steady state
    std::optional<physics::HeatPath> at_class; // at the ampacity; empty: the ambient is at the class already
    std::string runaway;                       // why there is no steady temperature
    double ampacity_a = 0, usable_a = 0;
    std::optional<double> resistance_ohm, drop_v;
    bool heat_holds = false, drop_holds = true;
    bool carries() const { return heat_holds && drop_holds; }
};
base::Outcome<CableFigures, NoCable> cable_figures(const CableQuestion& question, double section_mm2);

/// Everything the text needs: the question, the chosen cable, why it was chosen, what stands beside it.
struct CableCard {
    const CableQuestion* question;
    const CableFigures* figures;
    std::string proposal; // "smallest in metric stock 25 mm2, in gauge stock 4 AWG"; empty: given
    std::vector<CableFigures> neighbours; // rising section, the chosen one among them
    std::vector<std::string> assumptions;
};
std::string cable_card_text(const CableCard& card);

} // namespace stoutloom::report
