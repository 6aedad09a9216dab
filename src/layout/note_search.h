// The search behind `place_notes`. Private to its files: labels and balloons in notes.cpp, flags in
// flag_notes.cpp.
#pragma once

#include "layout/crowd.h"
#include "layout/notes.h"
#include "layout/stencil.h"

#include <optional>
#include <vector>

namespace stoutloom::layout {

struct Spot {
    Point at, foot;
    bool level = true, beside = false;
    double cost = 0;
};

/// How a flag flies from its dot.
enum class FlagWay { up, down, beside };
struct FlagDot {
    Point at;
    std::vector<FlagWay> ways;
    int side = 0; // beside: -1 to the left only, 1 to the right only
};
/// What a flag tells about, where it may be planted, and what its pole may therefore touch.
struct FlagSubject {
    std::vector<FlagDot> dots;
    std::size_t cable = nowhere, stud = nowhere;
    Box box;
};

/// Places for balloons, labels and flags on one sheet.
class NoteSearch {
  public:
    NoteSearch(const Arrangement& all, const Routing& routing, const TextMeasure& measure);
    Notes search();

  private:
    static constexpr double solid_clear_mm = 1.1;
    static constexpr double label_clear_mm = 1.5;
    const Arrangement& all_;
    const Routing& routing_;
    const TextMeasure& measure_;
    static constexpr double widest_clear_mm = 1.8;
    struct Turn {
        const Routed* route;
        std::size_t corner;
        bool meets(const Box& box, double clear_mm) const;
    };
    std::vector<Piece> pieces_;
    std::vector<Box> ways_; // of the pieces
    std::vector<Turn> turns_;
    Crowd solid_, cabled_, turning_;
    Stencil no_label_; // a sieve before the exact question
    std::vector<Box> tags_;
    std::vector<Box> taken_;
    std::vector<IncidentalNote> incidentals_; // placed by now

    void place_incidentals(Notes& kept);
    std::vector<Spot> spots(const Routed& route, bool close) const;
    std::vector<Spot> spots_beside(const Routed& route) const;
    bool free(const Box& box, double to_cable, std::size_t own_cable) const;
    static constexpr double numbered_from = 10; // of what `astray` counts
    double astray(const Box& label, const Spot& spot, const Routed& route) const;
    std::optional<CableNote> best(const Routed& route, bool short_label, bool label,
                                  const std::vector<Spot>& from) const;
    CableNote note_for(const Routed& route, int round) const;
    CableNote ring_for(const Routed& route) const;
    FlagNote flag_for(std::size_t index);
    FlagSubject subject_of(const FlagGlyph& flag) const;
    void mark_cable(const FlagGlyph& flag, FlagSubject& subject) const;
    /// `under`: below it and beside it is room for flags too.
    static void mark_box(const Box& box, bool under, FlagSubject& subject);
    bool pole_free(const Box& pole, const FlagSubject& subject) const;
};

} // namespace stoutloom::layout
