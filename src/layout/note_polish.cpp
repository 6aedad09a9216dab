// Places are given one after the other, and who comes first takes what another needs more. When all have one,
// each is asked again among the others, alone and in pairs.
#include "layout/note_search.h"

#include <algorithm>

namespace stoutloom::layout {
namespace {

constexpr double well_placed = 6; // of what places cost: nothing to gain
constexpr double neighbours_mm = 25;
constexpr double worth_moving = 1;
constexpr int most_rounds = 3;

Box around(const CableNote& note) {
    const Box& a = note.label;
    const Box b = grown({note.balloon.x_mm, note.balloon.y_mm, 0, 0}, balloon_radius_mm);
    const double x = std::min(a.x_mm, b.x_mm);
    const double y = std::min(a.y_mm, b.y_mm);
    return {x, y, std::max(a.right_mm(), b.right_mm()) - x, std::max(a.bottom_mm(), b.bottom_mm()) - y};
}

bool whole(const CableNote& note) {
    return note.has_balloon && note.has_label && !note.short_label && !note.again;
}

} // namespace

/// Takes these notes up and places them anew in this order; false, and nothing changed, when that is no
/// better.
bool NoteSearch::place_again(Notes& kept, const std::vector<std::size_t>& notes) {
    std::vector<CableNote> before;
    double cost_before = 0;
    for (const std::size_t i : notes) {
        before.push_back(kept.cables[i]);
        cost_before += kept.cables[i].cost;
        kept.cables[i].has_balloon = kept.cables[i].has_label = false;
    }
    double cost = 0;
    bool good = true;
    for (const std::size_t i : notes) {
        const auto route =
            std::find_if(routing_.routes.begin(), routing_.routes.end(),
                         [&](const Routed& each) { return each.cable == kept.cables[i].cable; });
        taken_ = kept.taken();
        kept.cables[i] = note_for(*route, 1);
        cost += kept.cables[i].cost;
        good = good && whole(kept.cables[i]);
        if (!good || cost > cost_before - worth_moving) {
            good = false;
            break;
        }
    }
    if (!good)
        for (std::size_t k = 0; k < notes.size(); ++k)
            kept.cables[notes[k]] = before[k];
    return good;
}

void NoteSearch::polish(Notes& kept) {
    for (int round = 0; round < most_rounds; ++round) {
        bool better = false;
        for (std::size_t i = 0; i < kept.cables.size(); ++i) {
            if (!whole(kept.cables[i]) || kept.cables[i].cost < well_placed)
                continue;
            better = place_again(kept, {i}) || better;
            for (std::size_t k = 0; k < kept.cables.size(); ++k)
                if (k != i && whole(kept.cables[k]) && kept.cables[i].cost >= well_placed &&
                    gap_between(around(kept.cables[i]), around(kept.cables[k])) < neighbours_mm)
                    better = place_again(kept, {i, k}) || place_again(kept, {k, i}) || better;
        }
        if (!better)
            return;
    }
}

} // namespace stoutloom::layout
