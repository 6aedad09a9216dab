// What a cable must go round.
#include "layout/devices.h"
#include "layout/hardware.h"
#include "layout/pen.h"
#include "layout/route.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout {

Piece piece_of(const Routed& route, const Track& track, std::size_t at) {
    Piece piece{track[at - 1],   track[at],   route.half_mm, route.radius_mm,
                route.radius_mm, route.cable, nowhere,       nowhere};
    if (at == 1) {
        piece.keep_a_mm = 2;
        piece.stud_a = route.studs[0];
    }
    if (at + 1 == track.size()) {
        piece.keep_b_mm = 2;
        piece.stud_b = route.studs[1];
    }
    return piece;
}

std::vector<Piece> pieces_of(const Routed& route) {
    std::vector<Piece> made;
    made.reserve(route.track.size());
    for (std::size_t i = 1; i < route.track.size(); ++i)
        made.push_back(piece_of(route, route.track, i));
    return made;
}

bool meets_bends(const Track& track, double radius_mm, double half_mm, const Box& box) {
    for (std::size_t i = 1; i + 1 < track.size(); ++i)
        if (meets_bend(box, track[i - 1], track[i], track[i + 1], radius_mm, half_mm))
            return true;
    return false;
}

bool on_wrong_side(const Arrangement& all, const RunGlyph& run, const Track& track) {
    constexpr double along_mm = 12; // a step on the way to a stud does not count
    for (std::size_t i = 1; i < track.size(); ++i) {
        const bool level = track[i].y_mm == track[i - 1].y_mm;
        if (!level || std::abs(track[i].x_mm - track[i - 1].x_mm) < along_mm)
            continue;
        if (run.flow == Flow::feed ? track[i].y_mm > all.row_mm + all.row_height_mm
                                   : run.flow == Flow::back && track[i].y_mm < all.row_mm)
            return true;
    }
    return false;
}

bool runs_round(const Arrangement& all, const Routed& route) {
    constexpr double round_mm = 6; // further back than a lead bends anyway
    for (int end = 0; end < 2; ++end) {
        if (route.studs[end] == nowhere || route.track.size() < 2)
            continue;
        const double here = (end == 0 ? route.track.front() : route.track.back()).x_mm;
        const double there = (end == 0 ? route.track.back() : route.track.front()).x_mm;
        if ((there - here) * all.studs[route.studs[end]].forced_side < -round_mm)
            return true;
    }
    return false;
}

Track off_sheet_track(const Arrangement& all, const PlacedStud& stud, const PlacedLug& lug,
                      const TextMeasure& measure) {
    const Point from = lug.upright ? stud_end(stud) : stud.lug_end(lug);
    // The tag stands over everything of its stack, so that its width meets nothing.
    double top = stud.face_mm - stud.tall_mm;
    for (const Box& box : stack_boxes(stud, measure))
        top = std::min(top, box.y_mm);
    std::size_t order = 0;
    for (const PlacedLug& other : stud.lugs)
        if (other.off_sheet && other.side == lug.side && other.riser_mm < lug.riser_mm)
            ++order;
    const double x = stud.riser_x(lug);
    const double y = snapped(
        std::max(all.sky_mm + tag_height_mm + 4, top - 3 - static_cast<double>(order) * (tag_height_mm + 5)));
    if (lug.upright)
        return {from, {x, y}};
    return {from, {x, from.y_mm}, {x, y}};
}

namespace {
void block_studs(std::vector<Obstacle>& made, const Arrangement& all, const TextMeasure& measure) {
    for (std::size_t s = 0; s < all.studs.size(); ++s) {
        const PlacedStud& stud = all.studs[s];
        for (const Box& box : stack_boxes(stud, measure))
            made.push_back({box, 1.8, s});
        made.back().text = stud.caption_side != 2; // the caption comes last
        for (const PlacedLug& lug : stud.lugs) {
            if (!lug.off_sheet)
                continue;
            const Track track = off_sheet_track(all, stud, lug, measure);
            for (std::size_t i = 1; i < track.size(); ++i)
                made.push_back({grown(box_around(track[i - 1], track[i]), lug.half_mm), 1.6, s});
            made.push_back({tag_box(track.back(), 0, lug.tag_mm), 2, nowhere});
        }
        if (stud.row == Row::bed || stud.row == Row::raised_bed) {
            std::string words = stud.glyph->designation + "  " + stud.glyph->thread;
            const double half = measure.width_mm(words, 2.5, Weight::bold) / 2 + 0.5;
            made.push_back({{stud.x_mm - half, stud.face_mm + 2.5, 2 * half, 4}, 1.5, nowhere});
        }
    }
}
} // namespace

bool stands_free(const Arrangement& all, const TextMeasure& measure) {
    struct Thing {
        Box box;
        std::string owner;
    };
    std::vector<Thing> things;
    for (const PlacedUnit& unit : all.units) {
        if (unit.upper)
            for (const Box& box :
                 inline_boxes(unit, all.studs[unit.studs[0]], all.studs[unit.studs[1]], measure))
                things.push_back({box, unit.glyph->id});
        else
            for (const Box& box : unit_boxes(unit))
                things.push_back({box, unit.glyph->id});
        for (const Box& box : seat_boxes(unit, all))
            things.push_back({box, unit.glyph->id});
    }
    for (const PlacedStud& stud : all.studs) {
        // Where the head of the sheet is near, one tag over another has no room.
        std::vector<Box> tags;
        for (const PlacedLug& lug : stud.lugs)
            if (lug.off_sheet) {
                const Box tag = tag_box(off_sheet_track(all, stud, lug, measure).back(), 0, lug.tag_mm);
                for (const Box& other : tags)
                    if (overlaps(tag, other, 0.9))
                        return false;
                tags.push_back(tag);
            }
        // A stack stands on its own part, but its neighbours there are strangers to it.
        for (const Box& box : stack_boxes(stud, measure))
            things.push_back({grown(box, -0.2), stud.owner + "\n" + stud.id});
        for (const PlacedLug& lug : stud.lugs)
            if (lug.off_sheet) {
                const Track track = off_sheet_track(all, stud, lug, measure);
                const Box tag = tag_box(track.back(), 0, lug.tag_mm);
                // Too near the head of the sheet, the tag sinks into its own stack.
                for (const Box& box : stack_boxes(stud, measure))
                    if (overlaps(tag, box, 0.4))
                        return false;
                things.push_back({tag, stud.owner + "\n" + stud.id});
                if (track.back().y_mm - tag_height_mm - 3 < all.top_mm + 9)
                    return false;
            }
    }
    for (const PlacedBed& bed : all.beds)
        for (const PlacedStud& stud : all.studs)
            if (stud.owner != bed.glyph->id)
                for (const Box& box : stack_boxes(stud, measure))
                    if (overlaps(box, bed.box(), 0.9))
                        return false;
    const Box inside{all.left_mm, all.top_mm + 10, all.right_mm - all.left_mm,
                     all.bottom_mm - all.top_mm - 11};
    for (const Thing& thing : things)
        if (thing.box.x_mm < inside.x_mm || thing.box.right_mm() > inside.right_mm() ||
            thing.box.y_mm < inside.y_mm || thing.box.bottom_mm() > inside.bottom_mm())
            return false;
    const auto related = [](const std::string& a, const std::string& b) {
        return a == b || a.rfind(b + "\n", 0) == 0 || b.rfind(a + "\n", 0) == 0;
    };
    for (std::size_t i = 0; i < things.size(); ++i)
        for (std::size_t k = i + 1; k < things.size(); ++k)
            if (!related(things[i].owner, things[k].owner) && overlaps(things[i].box, things[k].box, 0.9))
                return false;
    return true;
}

std::vector<Obstacle> obstacles_of(const Arrangement& all, const TextMeasure& measure) {
    std::vector<Obstacle> made;
    for (const PlacedUnit& unit : all.units) {
        if (unit.upper) {
            for (const Box& box :
                 inline_boxes(unit, all.studs[unit.studs[0]], all.studs[unit.studs[1]], measure))
                made.push_back({box, 2.0, unit.studs[0]});
            for (std::size_t i = 0; i <= unit.lines.size(); ++i)
                made[made.size() - 1 - i].text = true;
            continue;
        }
        if (unit.bar != PlacedUnit::Bar::none) {
            made.push_back({grown(bar_box(unit), 0.35), 1.5});
            made.push_back({unit_boxes(unit).back(), 1.5});
            made.back().text = true;
            continue;
        }
        // 3 beside a box; along its top and foot the lowest lug level decides, 2 for the broadest cable.
        Box sides = unit.box;
        sides.y_mm += 1.2;
        sides.height_mm -= 2.4;
        made.push_back({sides, 3.0, nowhere, false, true});
        made.push_back({unit.box, 1.9, nowhere, true, false});
        const std::vector<Box> seat = seat_boxes(unit, all);
        for (std::size_t i = 0; i < seat.size(); ++i)
            made.push_back({seat[i], i == 0 ? 2.0 : 1.0, nowhere, false, i == 1});
    }
    block_studs(made, all, measure);
    for (const PlacedBed& bed : all.beds) {
        Box box = bed.box();
        box.height_mm += 2.5;
        box.y_mm -= 0.5;
        made.push_back({box, 1.2, nowhere, true, false});
    }
    for (const Panel& panel : all.share.panels)
        for (const double x : {panel.left_mm, panel.right_mm})
            made.push_back({{x, all.top_mm, 0, all.bottom_mm - all.top_mm}, 1.0, nowhere, false, true});
    // Outer limits: the head with its volt line above, the panels' foot below.
    made.push_back({{0, 0, all.size.width_mm, all.sky_mm - 0.5}, 1.0});
    made.push_back({{0, all.bottom_mm - 1, all.size.width_mm, 200}, 1.0});
    made.push_back({{0, 0, all.left_mm, all.size.height_mm}, 1.5});
    made.push_back({{all.right_mm, 0, 100, all.size.height_mm}, 1.5});
    return made;
}

} // namespace stoutloom::layout
