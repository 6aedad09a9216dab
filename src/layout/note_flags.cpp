// Where flags and the paths nobody drew on purpose find their places.
#include "layout/devices.h"
#include "layout/hardware.h"
#include "layout/note_search.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout {

namespace {
constexpr double poles_off_mm[] = {5, 7, 9, 12, 15, 19, 23, 27, 3, 4};
/// Nearer or farther only where nothing else is free.
bool unusual(double off_mm) {
    return off_mm < 5 || off_mm > 15;
}
} // namespace

/// On the body of a unit or a bed.
void NoteSearch::ground_parts(const std::string& id, std::vector<Ground>& made, Box& own_box) const {
    const auto along_top = [&](const Box& box, double inset_mm) {
        own_box = grown(box, 0.1);
        for (double x = box.x_mm + inset_mm; x < box.right_mm() - inset_mm + 1; x += 2)
            made.push_back({{x, box.y_mm}, {x, box.y_mm}});
    };
    const auto along_sides = [&](const Box& box) {
        for (double y = box.y_mm + 3; y < box.bottom_mm() - 2; y += 2)
            for (const double off : poles_off_mm) {
                made.push_back({{box.right_mm(), y}, {snapped(box.right_mm() + off), y}, unusual(off)});
                made.push_back({{box.x_mm, y}, {snapped(box.x_mm - off), y}, unusual(off)});
            }
    };
    for (const PlacedUnit& unit : all_.units) {
        if (unit.glyph->id != id)
            continue;
        if (unit.upper) {
            // On the body between the two studs, or on an end of the plinth.
            const Box body{unit.box.x_mm + 9.5, all_.upper_mm - 6.4, unit.box.width_mm - 19, 4.4};
            along_top(body, 0.5);
            const Box plinth{unit.box.x_mm + 1, all_.upper_mm, unit.box.width_mm - 2, 3};
            along_sides({plinth.x_mm, plinth.y_mm - 1.5, plinth.width_mm, 6});
            own_box = {plinth.x_mm, body.y_mm, plinth.width_mm, plinth.bottom_mm() - body.y_mm};
        } else if (unit.bar != PlacedUnit::Bar::none) {
            const Box bar = bar_box(unit);
            along_top(bar, 3);
            const double y = bar.y_mm + bar.height_mm / 2;
            for (const double off : poles_off_mm) {
                made.push_back({{bar.right_mm(), y}, {snapped(bar.right_mm() + off), y}, true});
                made.push_back({{bar.x_mm, y}, {snapped(bar.x_mm - off), y}, true});
            }
        } else {
            along_top(unit.box, 3);
            along_sides(unit.box);
        }
    }
    for (const PlacedBed& bed : all_.beds)
        if (bed.glyph->id == id)
            along_top(bed.box(), 3);
}

// Both are answers, told apart by name at the one call.
// NOLINTNEXTLINE(bugprone-easily-swappable-parameters)
std::vector<NoteSearch::Ground> NoteSearch::grounds(const FlagGlyph& flag, std::size_t& own_cable,
                                                    std::size_t& own_stud, Box& own_box) const {
    std::vector<Ground> made;
    // A pole cannot stand on what is upright: it stands beside it on a leader.
    const auto beside = [&](Point dot, double half_mm, bool last_resort = false) {
        for (const double off : poles_off_mm)
            for (const double side : {1.0, -1.0})
                made.push_back({dot,
                                {snapped(dot.x_mm + side * (half_mm + off)), dot.y_mm},
                                last_resort || unusual(off)});
    };
    for (const Routed& route : routing_.routes) {
        if (all_.content->cables[route.cable].id != flag.subject)
            continue;
        own_cable = route.cable;
        for (const Piece& piece : pieces_of(route)) {
            const double length =
                std::abs(piece.a.x_mm - piece.b.x_mm) + std::abs(piece.a.y_mm - piece.b.y_mm);
            // All bend: where the one ends and the other begins.
            if (!piece.level() && length <= piece.keep_a_mm + piece.keep_b_mm)
                beside({piece.a.x_mm, snapped((piece.a.y_mm + piece.b.y_mm) / 2)}, route.half_mm, true);
            for (double at = 3; at < length - 2; at += 2) {
                const double share = at / length;
                const Point dot{snapped(piece.a.x_mm + (piece.b.x_mm - piece.a.x_mm) * share),
                                snapped(piece.a.y_mm + (piece.b.y_mm - piece.a.y_mm) * share)};
                if (piece.level())
                    made.push_back({{dot.x_mm, piece.a.y_mm}, {dot.x_mm, piece.a.y_mm}});
                else if (at > piece.keep_a_mm && at < length - piece.keep_b_mm)
                    beside({piece.a.x_mm, dot.y_mm}, route.half_mm);
            }
        }
    }
    for (const IncidentalNote& note : incidentals_)
        if (all_.content->incidentals[note.path].id == flag.subject) {
            own_box = grown(box_around(note.top, note.foot), 1.0);
            for (double y = note.top.y_mm + 4; y < note.foot.y_mm - 2; y += 2) {
                made.push_back({{note.top.x_mm, y}, {note.top.x_mm, y}});
                beside({note.top.x_mm, y}, 0.5);
            }
        }
    // On a sheet without its subject the flag may hang on what stands for it.
    const std::string& subject = made.empty() && !flag.instead.empty() ? flag.instead : flag.subject;
    for (std::size_t s = 0; s < all_.studs.size(); ++s)
        if (all_.studs[s].id == subject) {
            own_stud = s;
            const Point end = stud_end(all_.studs[s]);
            own_box = grown({end.x_mm, end.y_mm, 0, 0}, 8);
            // Low on the end, where figures of a full stack stand beside its middle.
            for (const double below_mm : {1.0, 0.0}) {
                const Point dot{end.x_mm, all_.studs[s].away(all_.studs[s].tall_mm - below_mm)};
                if (below_mm > 0)
                    made.push_back({dot, dot});
                beside(dot, all_.studs[s].core_mm);
            }
        }
    ground_parts(subject, made, own_box);
    return made;
}

// Both name a part of the sheet; the one call has them in this order.
// NOLINTNEXTLINE(bugprone-easily-swappable-parameters)
FlagNote NoteSearch::plant(std::size_t index, const std::vector<Ground>& grounds, std::size_t own_cable,
                           std::size_t own_stud, const Box& own_box, bool far) const {
    FlagNote note;
    note.flag = index;
    note.here = !grounds.empty();
    const auto line_free = [&](const Box& line, bool leader) {
        if (solid_.any(line, [&](std::size_t i) {
                const Obstacle& obstacle = routing_.obstacles[i];
                // As a cable may, a leader may pass a zone's boundary.
                const bool boundary = leader && far && obstacle.box.width_mm == 0;
                // It starts in its own stack, but not through its words, the figures beside the plates or the
                // probe mark beyond the stud's end.
                if (own_stud != nowhere && obstacle.stud == own_stud) {
                    const PlacedStud& stud = all_.studs[own_stud];
                    const double end = stud_end(stud).y_mm;
                    const bool beyond =
                        stud.hanging ? obstacle.box.y_mm > end : obstacle.box.bottom_mm() < end;
                    return (beyond || obstacle.text ||
                            (obstacle.box.width_mm < 3 && obstacle.box.height_mm < 3)) &&
                           overlaps(line, obstacle.box, 0.2);
                }
                return !boundary && overlaps(line, obstacle.box, 0.8) &&
                       !overlaps(obstacle.box, own_box, -0.3);
            }))
            return false;
        if (cabled_.any(line, [&](std::size_t i) {
                return pieces_[i].cable != own_cable && overlaps(line, ways_[i], 0.8);
            }))
            return false;
        for (const Box& tag : tags_)
            if (overlaps(line, tag, 0.8))
                return false;
        return std::none_of(taken_.begin(), taken_.end(),
                            [&](const Box& other) { return overlaps(line, other, 0.8); });
    };
    const double wide = flag_width_mm(all_.content->flags[index]);
    double least = 1e9;
    for (const Ground& ground : grounds) {
        const double aside = std::abs(ground.foot.x_mm - ground.dot.x_mm);
        if (ground.far && !far)
            continue;
        // Only where the leader leads out of the part can it be seen to start there.
        if (aside > 0 && aside + 10 < least &&
            !line_free(grown(box_around({ground.dot.x_mm + (ground.foot.x_mm > ground.dot.x_mm ? 1.2 : -1.2),
                                         ground.dot.y_mm},
                                        ground.foot),
                             0.25),
                       true))
            continue;
        const Point foot = ground.foot;
        const auto consider = [&](double tall, bool left, bool down) {
            const double cost = tall + (left ? 2 : 0) + (aside > 0 ? aside + 4 : 0) + (down ? 8 : 0);
            if (cost >= least)
                return false;
            const Box box{left ? foot.x_mm - wide : foot.x_mm,
                          down ? foot.y_mm + tall - flag_height_mm : foot.y_mm - tall, wide, flag_height_mm};
            const double from = aside > 0 ? 0 : down ? -1.2 : 1.2;
            const Box pole = grown(
                box_around({foot.x_mm, foot.y_mm - from}, {foot.x_mm, down ? box.y_mm : box.bottom_mm()}),
                0.25);
            if (!free(box, 1.2, nowhere) || !line_free(pole, false))
                return true;
            least = cost;
            note.placed = true;
            note.dot = ground.dot;
            note.foot = foot;
            note.box = box;
            note.to_left = left;
            return true;
        };
        // It hangs down only where it cannot stand, and not through what it tells about.
        for (const bool down : {false, true}) {
            if (down && (!far || (aside == 0 && own_cable == nowhere)))
                break;
            for (double tall = aside > 0 ? 6.5 : 9.0; tall < 44; tall += far ? 0.5 : 1.0)
                for (const bool left : {false, true})
                    if (!consider(tall, left, down))
                        break;
        }
    }
    return note;
}

FlagNote NoteSearch::flag_for(std::size_t index) {
    const FlagGlyph& flag = all_.content->flags[index];
    std::size_t own_cable = nowhere;
    std::size_t own_stud = nowhere;
    Box own_box;
    const std::vector<Ground> all = grounds(flag, own_cable, own_stud, own_box);
    // The pole of a flag on an incidental path stands in its line.
    for (const IncidentalNote& path : incidentals_)
        if (all_.content->incidentals[path.path].id == flag.subject)
            std::erase_if(taken_, [&](const Box& box) {
                return box.x_mm < path.top.x_mm && box.right_mm() > path.top.x_mm && box.width_mm < 1;
            });
    return plant(index, all, own_cable, own_stud, own_box, false);
}

/// Over another flag of the same part, on its pole.
FlagNote NoteSearch::flag_over(std::size_t index, const Notes& kept) const {
    constexpr double between_mm = 2;
    FlagNote note;
    note.flag = index;
    note.here = true;
    const std::vector<FlagGlyph>& flags = all_.content->flags;
    const double wide = flag_width_mm(flags[index]);
    for (const FlagNote& under : kept.flags) {
        if (!under.placed || flags[under.flag].subject != flags[index].subject)
            continue;
        for (const bool left : {under.to_left, !under.to_left}) {
            const Box box{left ? under.foot.x_mm - wide : under.foot.x_mm,
                          under.box.y_mm - between_mm - flag_height_mm, wide, flag_height_mm};
            if (!free(box, 1.2, nowhere))
                continue;
            note = under;
            note.flag = index;
            note.box = box;
            note.to_left = left;
            return note;
        }
    }
    return note;
}

/// On a longer leader, into the next zone if need be.
FlagNote NoteSearch::flag_afar(std::size_t index) const {
    std::size_t own_cable = nowhere;
    std::size_t own_stud = nowhere;
    Box own_box;
    const std::vector<Ground> all = grounds(all_.content->flags[index], own_cable, own_stud, own_box);
    return plant(index, all, own_cable, own_stud, own_box, true);
}

/// About what is shut in: a stud's flag on the part it belongs to, a cable's on its label.
FlagNote NoteSearch::flag_nearby(std::size_t index, const Notes& kept) const {
    FlagNote note;
    note.flag = index;
    const FlagGlyph& flag = all_.content->flags[index];
    for (const PlacedStud& stud : all_.studs) {
        if (note.placed || (stud.id != flag.subject && stud.id != flag.instead))
            continue;
        std::vector<Ground> grounds;
        Box own_box;
        ground_parts(stud.owner, grounds, own_box);
        note = plant(index, grounds, nowhere, nowhere, own_box, true);
    }
    for (const CableNote& told : kept.cables) {
        if (note.placed || !told.has_label || all_.content->cables[told.cable].id != flag.subject)
            continue;
        std::vector<Ground> grounds;
        const Box label = grown(told.label, 1.3); // the dot keeps off the words
        for (double x = label.x_mm + 2; x < label.right_mm() - 1; x += 2)
            grounds.push_back({{x, label.y_mm}, {x, label.y_mm}});
        for (double y = label.y_mm + 3; y < label.bottom_mm() - 2; y += 2)
            for (const double off : poles_off_mm) {
                grounds.push_back({{label.right_mm(), y}, {snapped(label.right_mm() + off), y}});
                grounds.push_back({{label.x_mm, y}, {snapped(label.x_mm - off), y}});
            }
        note = plant(index, grounds, nowhere, nowhere, {}, true);
    }
    note.here = true;
    return note;
}

/// The last flag found no place: the balloon and label of a cable close by are put elsewhere, if both then
/// stand. `far`: the flag also on a longer leader, and the balloon beside its cable. Whether that was so.
bool NoteSearch::make_room(Notes& kept, std::size_t index, bool far) {
    std::size_t own_cable = nowhere;
    std::size_t own_stud = nowhere;
    Box own_box;
    const std::vector<Ground> all = grounds(all_.content->flags[index], own_cable, own_stud, own_box);
    constexpr double close_mm = 30;
    constexpr std::ptrdiff_t most_beside = 12;
    std::optional<Notes> best_moved;
    double least = 1e9;
    for (std::size_t i = 0; i < kept.cables.size(); ++i) {
        const CableNote& note = kept.cables[i];
        const bool near = std::any_of(all.begin(), all.end(), [&](const Ground& ground) {
            return overlaps(note.label, grown({ground.foot.x_mm, ground.foot.y_mm, 0, 0}, close_mm));
        });
        if (!note.has_label || !note.has_balloon || note.short_label || note.again || !near)
            continue;
        const auto route = std::find_if(routing_.routes.begin(), routing_.routes.end(),
                                        [&](const Routed& each) { return each.cable == note.cable; });
        const auto weigh = [&](Notes tried) {
            const CableNote& now = tried.cables[i];
            if (!tried.flags.back().placed || !now.has_label || !now.has_balloon || now.short_label ||
                (now.beside && !note.beside && !far) || now.doubt >= least)
                return;
            least = now.doubt;
            best_moved = std::move(tried);
        };
        Notes tried = kept;
        tried.cables[i] = CableNote{};
        taken_ = tried.taken();
        tried.flags.back() = plant(index, all, own_cable, own_stud, own_box, far);
        if (tried.flags.back().placed) {
            taken_ = tried.taken();
            tried.cables[i] = note_for(*route, 1);
            weigh(std::move(tried));
        }
        // A label that says whose it is may stay where the balloon alone goes elsewhere.
        if (!far || !note.numbered || best_moved)
            continue;
        Notes bare = kept;
        bare.cables[i].has_balloon = false;
        taken_ = bare.taken();
        std::vector<Spot> rings = spots(*route, false);
        const std::vector<Spot> more = spots_beside(*route);
        rings.insert(rings.end(), more.begin(),
                     more.begin() + std::min<std::ptrdiff_t>(most_beside, std::ssize(more)));
        for (const Spot& ring : rings) {
            Notes other = kept;
            CableNote& now = other.cables[i];
            now.balloon = ring.at;
            now.foot = ring.foot;
            now.beside = ring.beside;
            now.doubt += ring.cost;
            if (now.doubt >= least)
                continue;
            taken_ = other.taken();
            other.flags.back() = plant(index, all, own_cable, own_stud, own_box, far);
            weigh(std::move(other));
        }
    }
    if (best_moved)
        kept = std::move(*best_moved);
    taken_ = kept.taken();
    return best_moved.has_value();
}

void NoteSearch::place_incidentals(Notes& kept) {
    std::vector<Box> solid = tags_;
    for (const Obstacle& obstacle : routing_.obstacles)
        solid.push_back(obstacle.box);
    for (const Box& way : ways_)
        solid.push_back(grown(way, 0.9));
    for (std::size_t i = 0; i < all_.content->incidentals.size(); ++i) {
        std::vector<Box> taken = solid;
        taken.insert(taken.end(), taken_.begin(), taken_.end());
        if (const auto placed = place_incidental(all_, i, taken, measure_)) {
            kept.incidentals.push_back(*placed);
            incidentals_.push_back(*placed);
            taken_ = kept.taken();
        }
    }
}

} // namespace stoutloom::layout
