// Cables as strokes: true width by section, quarter-curve bends, halo, chevrons. Private to this room.
#pragma once

#include "layout/diagram.h"
#include "layout/scene.h"

#include <vector>

namespace stoutloom::layout {

using Track = std::vector<Point>; // horizontal and vertical pieces only

/// 0.40 * sqrt(section), at least 0.5, at most 4.4: the bare conductor at about 1 : 2.8 (drawing language,
/// section 4).
double strand_width_mm(const RunGlyph& run);
/// Half of all strands side by side with their gaps.
double half_width_mm(const RunGlyph& run);
double bend_radius_mm(const RunGlyph& run);
bool is_clamped(const RunGlyph& run);

double track_length_mm(const Track& track);
int track_bends(const Track& track);
Shape rounded(const Track& track, double radius_mm, const Stroke& stroke);
/// Halo, edge, core, cross bars, chevrons in painting order. `quiet` boxes (balloons, labels) get no chevron.
Element cable_element(const RunGlyph& run, const Track& track, const std::vector<Box>& quiet);
/// Oblique strokes beside a failing cable where the band is free of `taken`.
void add_sleeve(Element& to, const RunGlyph& run, const Track& track, const std::vector<Box>& taken);

} // namespace stoutloom::layout
