// The search for free places of balloons, labels and flags: its parts, shared by notes.cpp, note_places.cpp
// and note_flags.cpp.
#pragma once

#include "layout/crowd.h"
#include "layout/hardware.h"
#include "layout/notes.h"
#include "layout/pen.h"
#include "layout/stencil.h"

#include <optional>
#include <vector>

namespace stoutloom::layout {

/// Clear distance of two boxes, 0 where they touch.
double gap_between(const Box& a, const Box& b);

struct Spot {
    Point at, foot;
    bool level = true, beside = false;
    double cost = 0;
};

/// The search over one routed sheet.
class NoteSearch {
  public:
    NoteSearch(const Arrangement& all, const Routing& routing, const TextMeasure& measure)
        : all_(all), routing_(routing), measure_(measure) {
        for (std::size_t i = 0; i < routing.obstacles.size(); ++i) {
            solid_.add(routing.obstacles[i].box, solid_clear_mm, i);
            if (routing.obstacles[i].text)
                lettered_.push_back(i);
        }
        for (const Obstacle& obstacle : routing.obstacles)
            no_label_.take(grown(obstacle.box, solid_clear_mm));
        for (const Routed& route : routing.routes) {
            for (const Piece& piece : pieces_of(route)) {
                ways_.push_back(grown(box_around(piece.a, piece.b), piece.half_mm));
                cabled_.add(ways_.back(), widest_clear_mm, pieces_.size());
                no_label_.take(grown(ways_.back(), label_clear_mm));
                pieces_.push_back(piece);
            }
            for (std::size_t i = 1; i + 1 < route.track.size(); ++i) {
                turning_.add(grown({route.track[i].x_mm, route.track[i].y_mm, 0, 0}, route.radius_mm),
                             route.half_mm + widest_clear_mm, turns_.size());
                turns_.push_back({&route, i});
            }
            if (route.tag_end >= 0)
                tags_.push_back(tag_box(route.tag_end == 0 ? route.track.front() : route.track.back(),
                                        -route.tag_side, route.tag_mm));
        }
        for (const PlacedUnit& unit : all.units)
            lowest_mm_ = std::max(lowest_mm_, unit.box.bottom_mm());
        for (const std::vector<Box>& boxes : {ways_, tags_})
            for (const Box& box : boxes)
                lowest_mm_ = std::max(lowest_mm_, box.bottom_mm());
        for (const Box& tag : tags_)
            no_label_.take(grown(tag, 1.2));
        no_label_.close();
    }
    Notes search(Crowding crowding);
    std::size_t ringless() const;

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
        bool meets(const Box& box, double clear_mm) const {
            return meets_bend(box, route->track[corner - 1], route->track[corner], route->track[corner + 1],
                              route->radius_mm, route->half_mm + clear_mm);
        }
    };
    std::vector<Piece> pieces_;
    std::vector<Box> ways_; // of the pieces
    std::vector<Turn> turns_;
    Crowd solid_, cabled_, turning_;
    Stencil no_label_;                  // a sieve before the exact question
    std::vector<std::size_t> lettered_; // obstacles that are words
    std::vector<Box> tags_;
    double lowest_mm_ = 0; // of boxes, ways and tags: what stands lower takes room from the findings
    std::vector<Box> taken_;
    /// Two labels in one line want a gap that no reader takes for a space between words; while many placings
    /// are weighed that does not matter.
    double between_labels_mm_ = 1.2;
    std::vector<IncidentalNote> incidentals_; // placed by now

    void place_incidentals(Notes& kept);
    std::vector<Spot> spots(const Routed& route, bool close) const;
    std::vector<Spot> spots_beside(const Routed& route) const;
    bool free(const Box& box, double to_cable, std::size_t own_cable) const;
    static constexpr double numbered_from = 10; // of what `astray` counts
    const Panel* panel_at(double x_mm) const;
    double lowering(const Box& label) const;
    double astray(const Box& label, const Spot& spot, const Routed& route) const;
    std::optional<CableNote> best(const Routed& route, bool short_label, bool label,
                                  const std::vector<Spot>& from) const;
    std::optional<CableNote> best_afar(const Routed& route, const std::vector<Spot>& on) const;
    CableNote note_for(const Routed& route, int round) const;
    CableNote ring_for(const Routed& route) const;
    void number_doubtful(Notes& kept);
    void polish(Notes& kept);
    bool place_again(Notes& kept, const std::vector<std::size_t>& notes);
    FlagNote flag_for(std::size_t index);
    FlagNote flag_over(std::size_t index, const Notes& kept) const;
    FlagNote flag_afar(std::size_t index) const;
    FlagNote flag_nearby(std::size_t index, const Notes& kept) const;
    bool make_room(Notes& kept, std::size_t index, bool far);
    /// Where a flag may stand: its dot, and the foot of its pole.
    struct Ground {
        Point dot, foot;
        bool far = false; // on a longer leader than usual
    };
    std::vector<Ground> grounds(const FlagGlyph& flag, std::size_t& own_cable, std::size_t& own_stud,
                                Box& own_box) const;
    void ground_parts(const std::string& id, std::vector<Ground>& made, Box& own_box) const;
    FlagNote plant(std::size_t index, const std::vector<Ground>& grounds, std::size_t own_cable,
                   std::size_t own_stud, const Box& own_box, bool far) const;
};

} // namespace stoutloom::layout
