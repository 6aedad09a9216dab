// Ways for the cables of one sheet: horizontal and vertical pieces, right-angled crossings, nothing through
// anything. Private to this room.
#pragma once

#include "layout/arrangement.h"
#include "layout/stroke_path.h"

#include <optional>
#include <vector>

namespace stoutloom::layout {

/// Something solid. Some let cables pass one way (a bed from above, a zone boundary from the side).
struct Obstacle {
    Box box;
    double clear_mm = 2;
    std::size_t stud = nowhere; // owner, whose own cables may come close
    bool passes_vertical = false, passes_horizontal = false;
    bool text = false;
};
struct Routed {
    std::size_t cable = nowhere;
    Track track;                               // from end 0 to end 1, or the tag
    std::size_t studs[2] = {nowhere, nowhere}; // placed studs at its ends
    int tag_end = -1;                          // end that is on another sheet
    int tag_side = 0;
    double tag_mm = 24; // its width
    double half_mm = 1, radius_mm = 4;
    Box reserved; // where its label would fit; empty width if nowhere
};
struct Routing {
    std::vector<Obstacle> obstacles;
    std::vector<Routed> routes;
    int crossings = 0;
    double cost = 0;
    std::size_t weighed = 0; // ways looked at: how much work it was
    int cut = 0;             // cables whose way was given up for a tag at each end
    std::string stuck;       // the cable that found no way, when there are no routes
};
struct LabelBox {
    double width_mm = 48, height_mm = 14.5;
};

/// Straight piece of a routed cable with how much room its ends want from a crossing.
struct Piece {
    Point a, b;
    double half_mm = 1;
    double keep_a_mm = 3, keep_b_mm = 3;
    std::size_t cable = nowhere, stud_a = nowhere, stud_b = nowhere; // stud when the piece ends on a lug
    bool level() const { return a.y_mm == b.y_mm; }
};
/// The piece that ends at `track[at]`, at > 0.
Piece piece_of(const Routed& route, const Track& track, std::size_t at);
std::vector<Piece> pieces_of(const Routed& route);
/// Whether a box meets one of the track's bends.
bool meets_bends(const Track& track, double radius_mm, double half_mm, const Box& box);
/// Whether a feed runs along under the unit row, or a return over it.
bool on_wrong_side(const Arrangement& all, const RunGlyph& run, const Track& track);
/// Whether a way leaves a device in the line on the side that faces away from where it leads.
bool runs_round(const Arrangement& all, const Routed& route);
/// Whether the ways of two cables cross.
bool cross(const Routed& a, const Routed& b);
/// Obstacles of a placed sheet: boxes, stacks, beds, boundaries, off-sheet leads.
std::vector<Obstacle> obstacles_of(const Arrangement& all, const TextMeasure& measure);
/// Track of a control lead from its lug up to its tag.
Track off_sheet_track(const Arrangement& all, const PlacedStud& stud, const PlacedLug& lug,
                      const TextMeasure& measure);

enum class Cutting { never, when_stuck };
/// Whether a tag takes its place at its stud before the longer ways between studs are laid, or after.
enum class TagsFirst { no, yes };
/// No routes, and `stuck` told, when a cable finds no way between the heights given; with
/// `Cutting::when_stuck` such a cable gets a stub with a tag at each end instead.
Routing route_sheet(const Arrangement& arrangement, const std::vector<LabelBox>& labels,
                    const TextMeasure& measure, Cutting cutting, TagsFirst tags_first);
/// The same ways, and then what crosses or has no room for its label taken up and laid anew; nothing when
/// that mends nothing.
std::optional<Routing> mended_routes(const Arrangement& arrangement, const std::vector<LabelBox>& labels,
                                     const TextMeasure& measure, Cutting cutting);

} // namespace stoutloom::layout
