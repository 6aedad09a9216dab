// Paths nobody drew on purpose take what room is left: a line of dots between two beds with its name.
#include "layout/notes.h"
#include "layout/pen.h"

#include <algorithm>

namespace stoutloom::layout {
namespace {

const PlacedBed* bed_of(const Arrangement& all, const std::string& address) {
    const std::string id = address.substr(0, address.find('.'));
    const auto at = std::find_if(all.beds.begin(), all.beds.end(),
                                 [&](const PlacedBed& bed) { return bed.glyph->id == id; });
    return at == all.beds.end() ? nullptr : &*at;
}

} // namespace

std::optional<IncidentalNote> place_incidental(const Arrangement& all, std::size_t index,
                                               const std::vector<Box>& taken, const TextMeasure& measure) {
    const IncidentalGlyph& path = all.content->incidentals[index];
    const PlacedBed* a = bed_of(all, path.from);
    const PlacedBed* b = bed_of(all, path.to);
    if (a == nullptr || b == nullptr || a == b)
        return std::nullopt;
    if (a->top_mm > b->top_mm)
        std::swap(a, b);
    const double low = std::max(a->left_mm, b->left_mm) + 4;
    const double high = std::min(a->right_mm, b->right_mm) - 4;
    const double width = measure.width_mm(path.name, 2.5, Weight::regular);
    const auto free = [&](const Box& box, double clear) {
        return std::none_of(taken.begin(), taken.end(),
                            [&](const Box& other) { return overlaps(box, other, clear); });
    };
    for (double x = high; x > low; x -= 1) {
        const Box way{x - 0.4, a->top_mm + a->height_mm + 2.7, 0.8,
                      b->top_mm - a->top_mm - a->height_mm - 3.9};
        if (way.height_mm < 6 || !free(way, 0.6))
            continue;
        for (const double y : {way.y_mm + way.height_mm / 2 + 1, way.y_mm + 4, way.bottom_mm() - 2})
            for (const double left : {x - 2 - width, x + 2}) {
                const Box words{left, y - 2.5, width, 3.4};
                if (!free(words, 1) || words.x_mm < all.left_mm + 2 || words.right_mm() > all.right_mm - 2)
                    continue;
                return IncidentalNote{
                    index, {x, a->top_mm + a->height_mm}, {x, b->top_mm - 0.5}, {left, y}, words};
            }
    }
    return std::nullopt;
}

Element incidental_element(const IncidentalGlyph& path, const IncidentalNote& note,
                           const TextMeasure& measure) {
    Element made = element(Role::furniture, path.id);
    made.title = path.id + ", " + path.name;
    add(made, line(note.top, note.foot, pen(0.35, Dash::dots)));
    add(made, written(measure, note.words_at, path.name));
    seal(made);
    return made;
}

} // namespace stoutloom::layout
