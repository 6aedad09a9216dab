// Balloons, labels and flags: where each finds a free place beside what it tells about, and how it looks.
// Private to this room.
#pragma once

#include "layout/arrangement.h"
#include "layout/route.h"

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

namespace stoutloom::layout {

struct CableNote {
    std::size_t cable = nowhere;
    bool has_balloon = false, has_label = false, short_label = false;
    Point balloon;
    Point foot; // where the leader of a balloon beside its cable starts
    bool beside = false;
    Box label;
    bool again = false;    // second stub of a cut cable: the label stands at the first
    bool numbered = false; // the label begins with the cable's number, where it could be taken for another's
    double doubt = 0;      // how easily it could
    double cost = 0;       // of its places
};
struct FlagNote {
    std::size_t flag = nowhere; // in the content
    bool here = false;          // the sheet shows something it could hang on
    bool placed = false;
    Point dot;
    Point foot; // of the pole: the dot, or beside it where the pole cannot stand on it
    Box box;
    bool to_left = false;
};
/// A path nobody drew on purpose, between two beds of the sheet.
struct IncidentalNote {
    std::size_t path = nowhere; // in the content
    Point top, foot, words_at;
    Box words;
};
struct Notes {
    std::vector<IncidentalNote> incidentals;
    std::vector<CableNote> cables;
    std::vector<FlagNote> flags;
    std::vector<Box> taken() const;
    std::size_t without_label() const;
    std::size_t without_balloon() const;
    std::size_t short_labels() const;
};

LabelBox label_size(const RunGlyph& run, bool short_label, const TextMeasure& measure, bool numbered = false);
std::optional<IncidentalNote> place_incidental(const Arrangement& all, std::size_t index,
                                               const std::vector<Box>& taken, const TextMeasure& measure);
Element incidental_element(const IncidentalGlyph& path, const IncidentalNote& note,
                           const TextMeasure& measure);
/// Where a flag finds no place: left out while many placings are weighed, or a label moved for it.
enum class Crowding { leave_out, make_room };
/// Ways at which no balloon could stand even if nothing else were written.
std::size_t without_ring_room(const Arrangement& arrangement, const Routing& routing,
                              const TextMeasure& measure);
Notes place_notes(const Arrangement& arrangement, const Routing& routing, const TextMeasure& measure,
                  Crowding crowding);

Element balloon_element(const RunGlyph& run, const CableNote& note, const TextMeasure& measure);
Element label_element(const RunGlyph& run, const CableNote& note, const TextMeasure& measure);
/// Gauge with its figure; `at`: left, middle of its box. Returns how far right it reaches.
double add_gauge(Element& to, Point at, const Gauge& gauge, const std::string& figure,
                 const TextMeasure& measure);
/// Flag alone, its box's left top corner at `corner`.
void add_flag(Element& to, Point corner, const FlagGlyph& flag, bool to_left, const TextMeasure& measure);
/// With its pole and the dot on what it tells about.
void add_planted_flag(Element& to, const FlagNote& note, const FlagGlyph& flag, const TextMeasure& measure);
/// Longer numbers stand on longer flags.
inline double flag_width_mm(const FlagGlyph& flag) {
    return 9.8 + 3.2 * (static_cast<double>(std::max<std::size_t>(flag.number.size(), 1)) - 1);
}
constexpr double flag_height_mm = 6;
constexpr double balloon_radius_mm = 4;

} // namespace stoutloom::layout
