// Where a flag stands: on a pole over what it tells about, or where no pole finds room hung under it or set
// beside it.
#include "layout/devices.h"
#include "layout/hardware.h"
#include "layout/note_search.h"
#include "layout/pen.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace stoutloom::layout {

namespace {
constexpr double edge_mm = 1.2; // of a pole, left off at its dot
/// A flag that stands is found at once; the others only where none stands.
constexpr double not_upright = 9;

std::vector<Point> along(Point a, Point b, double from, double short_of) {
    std::vector<Point> made;
    const double length = std::abs(a.x_mm - b.x_mm) + std::abs(a.y_mm - b.y_mm);
    for (double at = from; at < length - short_of; at += 2)
        made.push_back({a.x_mm + (b.x_mm - a.x_mm) * at / length, a.y_mm + (b.y_mm - a.y_mm) * at / length});
    return made;
}

/// The flag on a pole of that length: its box, and where the pole ends on it.
FlagNote flown(FlagNote note, FlagWay way, bool left, double pole_mm, double wide_mm) {
    const Point dot = note.dot;
    note.to_left = left;
    const double x = left ? dot.x_mm - wide_mm : dot.x_mm;
    switch (way) {
    case FlagWay::up:
        note.box = {x, dot.y_mm - pole_mm, wide_mm, flag_height_mm};
        note.mast = {dot.x_mm, note.box.y_mm};
        break;
    case FlagWay::down:
        note.box = {x, dot.y_mm + pole_mm - flag_height_mm, wide_mm, flag_height_mm};
        note.mast = {dot.x_mm, note.box.bottom_mm()};
        break;
    case FlagWay::beside:
        note.mast = {dot.x_mm + (left ? -pole_mm : pole_mm), dot.y_mm};
        note.box = {left ? note.mast.x_mm - wide_mm : note.mast.x_mm, dot.y_mm - flag_height_mm / 2, wide_mm,
                    flag_height_mm};
        break;
    }
    return note;
}

/// The pole from a little off its dot to the flag.
Box pole_of(const FlagNote& note, FlagWay way) {
    Point from = note.dot;
    Point to = note.mast;
    if (way == FlagWay::up) {
        from.y_mm -= edge_mm;
        to.y_mm = note.box.bottom_mm();
    } else if (way == FlagWay::down) {
        from.y_mm += edge_mm;
        to.y_mm = note.box.y_mm;
    } else {
        from.x_mm += note.to_left ? -edge_mm : edge_mm;
    }
    return grown(box_around(from, to), 0.25);
}
} // namespace

void NoteSearch::mark_cable(const FlagGlyph& flag, FlagSubject& subject) const {
    for (const Routed& route : routing_.routes) {
        if (all_.content->cables[route.cable].id != flag.subject)
            continue;
        subject.cable = route.cable;
        for (const Piece& piece : pieces_of(route)) {
            const std::vector<Point> dots = along(piece.a, piece.b, 3, 2);
            if (piece.level()) {
                for (const Point& dot : dots)
                    subject.dots.push_back({{snapped(dot.x_mm), dot.y_mm}, {FlagWay::up, FlagWay::down}});
            } else {
                for (const Point& dot : dots)
                    subject.dots.push_back({dot, {FlagWay::beside}});
            }
        }
    }
}

void NoteSearch::mark_box(const Box& box, bool under, FlagSubject& subject) {
    subject.box = grown(box, 0.1);
    for (double x = box.x_mm + 3; x < box.right_mm() - 2; x += 2) {
        subject.dots.push_back({{x, box.y_mm}, {FlagWay::up}});
        if (under)
            subject.dots.push_back({{x, box.bottom_mm()}, {FlagWay::down}});
    }
    for (double y = box.y_mm + 3.5; under && y < box.bottom_mm() - 3; y += 2) {
        subject.dots.push_back({{box.x_mm, y}, {FlagWay::beside}, -1});
        subject.dots.push_back({{box.right_mm(), y}, {FlagWay::beside}, 1});
    }
}

FlagSubject NoteSearch::subject_of(const FlagGlyph& flag) const {
    FlagSubject made;
    mark_cable(flag, made);
    for (const IncidentalNote& note : incidentals_)
        if (all_.content->incidentals[note.path].id == flag.subject) {
            made.box = grown(box_around(note.top, note.foot), 1.0);
            for (double y = note.top.y_mm + 4; y < note.foot.y_mm - 2; y += 2)
                made.dots.push_back({{note.top.x_mm, y}, {FlagWay::up}});
        }
    // On a sheet without its subject the flag may hang on what stands for it.
    const std::string& subject = made.dots.empty() && !flag.instead.empty() ? flag.instead : flag.subject;
    for (std::size_t s = 0; s < all_.studs.size(); ++s)
        if (all_.studs[s].id == subject) {
            made.stud = s;
            const Point end = stud_end(all_.studs[s]);
            made.box = grown({end.x_mm, end.y_mm, 0, 0}, 8);
            made.dots.push_back({{end.x_mm, all_.studs[s].away(all_.studs[s].tall_mm - 1)}, {FlagWay::up}});
        }
    for (const PlacedUnit& unit : all_.units)
        if (unit.glyph->id == subject) {
            const bool bar = unit.bar != PlacedUnit::Bar::none;
            mark_box(unit.upper ? Box{unit.box.x_mm, all_.upper_mm, unit.box.width_mm, 3}
                     : bar      ? bar_box(unit)
                                : unit.box,
                     !bar, made);
        }
    for (const PlacedBed& bed : all_.beds)
        if (bed.glyph->id == subject)
            mark_box(bed.box(), false, made);
    return made;
}

bool NoteSearch::pole_free(const Box& pole, const FlagSubject& subject) const {
    if (solid_.any(pole, [&](std::size_t i) {
            const Obstacle& obstacle = routing_.obstacles[i];
            return overlaps(pole, obstacle.box, 0.8) &&
                   !(subject.stud != nowhere && obstacle.stud == subject.stud) &&
                   !overlaps(obstacle.box, subject.box, -0.3);
        }))
        return false;
    if (cabled_.any(pole, [&](std::size_t i) {
            return pieces_[i].cable != subject.cable && overlaps(pole, ways_[i], 0.8);
        }))
        return false;
    for (const Box& tag : tags_)
        if (overlaps(pole, tag, 0.8))
            return false;
    return std::none_of(taken_.begin(), taken_.end(),
                        [&](const Box& other) { return overlaps(pole, other, 0.8); });
}

FlagNote NoteSearch::flag_for(std::size_t index) {
    const FlagGlyph& flag = all_.content->flags[index];
    FlagNote least_note;
    least_note.flag = index;
    const FlagSubject subject = subject_of(flag);
    // The pole of a flag on an incidental path stands in its line.
    for (const IncidentalNote& path : incidentals_)
        if (all_.content->incidentals[path.path].id == flag.subject)
            std::erase_if(taken_, [&](const Box& box) {
                return box.x_mm < path.top.x_mm && box.right_mm() > path.top.x_mm && box.width_mm < 1;
            });
    const double wide = flag_width_mm(flag);
    double least = 1e9;
    for (const FlagDot& dot : subject.dots)
        for (const FlagWay way : dot.ways) {
            const double longest = way == FlagWay::up ? 44 : way == FlagWay::down ? 30 : 16;
            for (double pole = way == FlagWay::beside ? 4 : 9; pole < longest; pole += 1)
                for (const bool left : {false, true}) {
                    if ((dot.side < 0 && !left) || (dot.side > 0 && left))
                        continue;
                    const double cost = pole + (left ? 2 : 0) + (way == FlagWay::up ? 0 : not_upright);
                    if (cost >= least)
                        break;
                    FlagNote note = least_note;
                    note.dot = dot.at;
                    note = flown(note, way, left, pole, wide);
                    if (!free(note.box, 1.2, nowhere) || !pole_free(pole_of(note, way), subject))
                        continue;
                    least = cost;
                    note.placed = true;
                    least_note = note;
                }
        }
    return least_note;
}

} // namespace stoutloom::layout
