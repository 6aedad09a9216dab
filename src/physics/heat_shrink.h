// Heat-shrink over a lug's barrel: the sizes on general sale, which of them fit, and how much to cut off.
#pragma once

#include <span>

namespace stoutloom::physics {

/// One size of tube by its two bores, m.
struct ShrinkTube {
    double expanded_m;  // as sold, at least
    double recovered_m; // shrunk with nothing in it, at most
    bool lined;         // with adhesive inside, which seals
};

/// Rising by bore, the plain ones first. Plain: the 2:1 series in inches, 1/8 to 3 in, as AMS-DTL-23053/5 has
/// it and a public data sheet lists it in mm. Lined, 3:1: the metric series 3/1 to 39/13 mm; in inches 1/8 to
/// 1 1/2 in to a third. Of the lined ones 24/8 was read in a public size guide, the rest is from
/// memory.
std::span<const ShrinkTube> metric_shrink_tubes();
std::span<const ShrinkTube> us_shrink_tubes();

/// What one sleeve lies on, m.
struct Covered {
    double thickest_m; // must pass through it before shrinking: barrel or cable
    double thinnest_m; // must be gripped by it after shrinking
};
/// Whether a tube fits: it shrinks by a fifth at least on the thickest (so it goes on easily and gets its
/// wall), and would shrink a tenth further on the thinnest (so it grips). A public size guide for such tube.
bool fits(const ShrinkTube& tube, const Covered& covered);
/// The narrowest tube that goes on easily and the widest shrunk bore that grips: whatever lies beyond fits.
/// Its bores are rounded to 0.1 mm to the safe side.
ShrinkTube tube_wanted(const Covered& covered);
constexpr double least_shrinking = 0.20, least_shrink_left = 0.10;

/// Tables give a cable's greatest outside diameter; the one in hand may be this much thinner: common
/// practice, no source.
constexpr double thinner_than_table = 0.10;

/// How much to cut off for a barrel of that length, m: it covers the barrel and reaches onto the insulation
/// one and a half cable diameters, 20 mm at least (common practice, no source), and shrinks along its length
/// by 15 % at most (a public guide has 5 to 15 %); rounded up to 5 mm.
struct SleeveOver {
    double barrel_length_m, cable_diameter_m;
};
double sleeve_cut_m(const SleeveOver& over);

} // namespace stoutloom::physics
