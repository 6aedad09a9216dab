// The search likes what stands high: it leaves the foot for findings. What is left over when those have their
// room is shared above and below.
#include "layout/centring.h"

#include "layout/devices.h"
#include "layout/hardware.h"
#include "layout/pen.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout {
namespace {

constexpr double worth_moving_mm = 4;

/// Everything by the same distance, so that what was free of each other stays so.
void move_down(PlacedSheet& sheet, double by_mm) {
    const auto point = [&](Point& at) { at.y_mm += by_mm; };
    const auto box = [&](Box& at) { at.y_mm += by_mm; };
    Arrangement& all = sheet.arrangement;
    all.sky_mm += by_mm;
    all.row_mm += by_mm;
    all.upper_mm += by_mm;
    for (PlacedUnit& unit : all.units)
        box(unit.box);
    for (PlacedStud& stud : all.studs)
        stud.face_mm += by_mm;
    for (Obstacle& obstacle : sheet.routing.obstacles)
        box(obstacle.box);
    for (Routed& route : sheet.routing.routes) {
        std::for_each(route.track.begin(), route.track.end(), point);
        box(route.reserved);
    }
    for (CableNote& note : sheet.notes.cables) {
        point(note.balloon);
        point(note.foot);
        box(note.label);
    }
    for (FlagNote& note : sheet.notes.flags) {
        point(note.dot);
        point(note.foot);
        box(note.box);
    }
}

} // namespace

Reach reach_of(const PlacedSheet& sheet, const TextMeasure& measure) {
    const Arrangement& all = sheet.arrangement;
    Reach reach{all.bottom_mm, all.top_mm};
    const auto take = [&](const Box& box) {
        reach.high_mm = std::min(reach.high_mm, box.y_mm);
        reach.low_mm = std::max(reach.low_mm, box.bottom_mm());
    };
    for (const PlacedUnit& unit : all.units) {
        for (const Box& box : unit_boxes(unit))
            take(box);
        if (unit.upper)
            for (const Box& box :
                 inline_boxes(unit, all.studs[unit.studs[0]], all.studs[unit.studs[1]], measure))
                take(box);
    }
    for (const PlacedStud& stud : all.studs) {
        for (const Box& box : stack_boxes(stud, measure))
            take(box);
        for (const PlacedLug& lug : stud.lugs)
            if (lug.off_sheet)
                take(tag_box(off_sheet_track(all, stud, lug, measure).back(), 0, lug.tag_mm));
    }
    for (const PlacedBed& bed : all.beds)
        take(grown(bed.box(), 3));
    for (const Routed& route : sheet.routing.routes) {
        for (const Point& point : route.track)
            take(grown({point.x_mm, point.y_mm, 0, 0}, route.half_mm + 1));
        if (route.tag_end >= 0)
            take(tag_box(route.tag_end == 0 ? route.track.front() : route.track.back(), -route.tag_side,
                         route.tag_mm));
    }
    for (const Box& box : sheet.notes.taken())
        take(box);
    return reach;
}

void centre(PlacedSheet& sheet, const TextMeasure& measure) {
    if (!sheet.arrangement.beds.empty() || !sheet.list.rows.empty())
        return;
    const Reach reach = reach_of(sheet, measure);
    const double over = reach.high_mm - sheet.arrangement.sky_mm;
    const double under = sheet.arrangement.bottom_mm - reach.low_mm;
    const double down_mm = snapped((under - over) / 2);
    if (std::abs(down_mm) >= worth_moving_mm)
        move_down(sheet, down_mm);
}

} // namespace stoutloom::layout
