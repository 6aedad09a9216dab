// What to buy of each kind of cable and in which order to cut it, so that the longest piece never falls
// short.
#pragma once

#include "layout/papers/cut_list.h"
#include "report/papers/cut_cables.h"

namespace stoutloom::report {

/// Cables that come off one reel: same section, colour, insulation and build.
struct ReelKind {
    std::string words;                 // "70 mm² RD, class C, 125 °C"
    std::vector<const CutCable*> cuts; // file order
    double total_m = 0;                // of all pieces
    double step_m = 1;                 // what it is bought in: whole metres, in a US file whole feet
};
/// By section, as a shop lists them; one section's in the order in which the file first uses them.
std::vector<ReelKind> reel_kinds(const Voice& voice, const std::vector<CutCable>& cuts);

/// Lengths to buy, whole steps, at most this much in one: a usual drum.
constexpr double longest_reel_m = 50;
struct BoughtLength {
    double length_m = 0;
    std::vector<std::pair<const CutCable*, double>> pieces; // the longest first
};
/// Longest piece first onto the first length with room (first fit decreasing).
std::vector<BoughtLength> bought_lengths(const ReelKind& kind);

std::vector<layout::papers::Reel> reel_plan(const Voice& voice, const std::vector<CutCable>& cuts);

} // namespace stoutloom::report
