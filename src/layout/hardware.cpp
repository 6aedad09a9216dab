// A stack is drawn as it is bolted: mounting face, bush, lugs in tightening order, washer, nut, the stud's
// end.
#include "layout/hardware.h"

#include "layout/pen.h"
#include "layout/stroke_path.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout {
namespace {
constexpr double scale = 0.5; // 1 : 2
constexpr double first_level_mm = 4.2;
constexpr double level_pitch_mm = 4.4;
constexpr double plate_mm = 1.7;
constexpr double barrel_mm = 3.2;
constexpr double probe_mm = 2.85; // 2.6 and its outline: an H needs the room

bool threaded(const PlacedStud& stud) {
    return stud.glyph->kind == StudGlyph::Kind::stud;
}
double shank_mm(const PlacedStud& stud) {
    return stud.glyph->diameter_mm > 0 ? std::clamp(stud.glyph->diameter_mm, 3.0, 16.0) * scale : 3.2;
}
double head_half_mm(const PlacedStud& stud) {
    switch (stud.glyph->kind) {
    case StudGlyph::Kind::stud:
        return std::max(shank_mm(stud) * 0.8, 3.0);
    case StudGlyph::Kind::post:
        return 3.6;
    case StudGlyph::Kind::blade:
        return 1.6;
    case StudGlyph::Kind::plug:
        return 2.6;
    case StudGlyph::Kind::splice:
        return 1.4;
    }
    return 3;
}

void settle_levels(PlacedStud& stud) {
    double level = first_level_mm + (stud.inline_device ? level_pitch_mm : 0);
    for (std::size_t i = 0; i < stud.lugs.size(); ++i) {
        PlacedLug& lug = stud.lugs[i];
        if (i == 0) {
            // Parallel strands are broader than the lowest level is high.
            level = std::max(level, lug.half_mm + 2.3);
        } else {
            const PlacedLug& below = stud.lugs[i - 1];
            // Two cables on one side need daylight between them; plates alone need the plain pitch.
            const double apart = below.side == lug.side ? below.half_mm + lug.half_mm + 2.3
                                                        : std::max(below.half_mm, lug.half_mm) + 1.9;
            level += std::max(level_pitch_mm, apart);
        }
        lug.level_mm = snapped(level * 10) / 10;
        const double given =
            lug.glyph->palm_mm > 0 ? lug.glyph->palm_mm : 2 * std::max(lug.glyph->stud_size_mm, 5.0);
        lug.palm_mm =
            threaded(stud) ? std::clamp(given * scale, shank_mm(stud) + 1.6, 15.0) : 2 * head_half_mm(stud);
    }
    double widest = 0;
    for (const PlacedLug& lug : stud.lugs)
        widest = std::max(widest, lug.palm_mm);
    // A small lug's barrel leads out from between palms that are broader than it is long.
    for (PlacedLug& lug : stud.lugs)
        lug.reach_mm = std::max(snapped(lug.palm_mm / 2 + barrel_mm + 0.2), snapped(widest / 2 + 0.75));
}

void settle_risers(PlacedStud& stud) {
    for (const int side : {-1, 1}) {
        double free_from = 0;
        double under_tag = 0; // where its tag begins
        double past_tag = 0;  // where a lead to a tag clears the tag of the one before
        const std::size_t count = stud.lugs.size();
        for (std::size_t k = 0; k < count; ++k) {
            // Nested bends: the plate whose cable turns away first bends closest to the stud.
            PlacedLug& lug = stud.lugs[stud.sinks ? k : count - 1 - k];
            if (lug.side != side)
                continue;
            if (lug.upright) {
                lug.riser_mm = 0;
                continue;
            }
            const double radius = lug.off_sheet ? 2.5 : lug.radius_mm;
            lug.riser_mm = snapped(std::max(lug.reach_mm + radius + 1, free_from + lug.half_mm + 2.2) + 0.2);
            if (stud.past_tags && !lug.off_sheet && past_tag > 0 &&
                lug.riser_mm + lug.half_mm + 2.2 > under_tag)
                lug.riser_mm = std::max(lug.riser_mm, snapped(past_tag + lug.half_mm));
            if (lug.off_sheet) {
                lug.riser_mm = std::max(lug.riser_mm, past_tag);
                under_tag = lug.riser_mm - lug.tag_mm / 2;
                past_tag = snapped(lug.riser_mm + lug.tag_mm / 2 + lug.half_mm + 2.2);
            }
            free_from = lug.riser_mm + lug.half_mm;
        }
    }
}

double caption_width_mm(const PlacedStud& stud, const TextMeasure& measure) {
    return std::max(measure.width_mm(true_minus(stud.glyph->designation), 3.5, Weight::bold),
                    measure.width_mm(stud.glyph->thread, 2.5, Weight::regular));
}
} // namespace

void settle_stack(PlacedStud& stud, const TextMeasure& measure) {
    settle_levels(stud);
    settle_risers(stud);
    stud.core_mm = head_half_mm(stud);
    for (const PlacedLug& lug : stud.lugs)
        stud.core_mm = std::max(stud.core_mm, lug.palm_mm / 2);
    const double top =
        stud.lugs.empty() ? 2.0 + (stud.inline_device ? 4.4 : 0) : stud.lugs.back().level_mm + plate_mm / 2;
    if (threaded(stud))
        stud.tall_mm = top + 0.6 + std::max(0.8 * shank_mm(stud), 2.0) + 1.2;
    else
        stud.tall_mm = std::max(top + 1.6, 5.2);
    // Strands side by side make a barrel broader than nut and stud are high.
    if (!stud.lugs.empty())
        stud.tall_mm = std::max(stud.tall_mm, stud.lugs.back().level_mm + stud.lugs.back().half_mm + 0.6);
    bool left = false;
    bool right = false;
    stud.left_mm = stud.right_mm = stud.core_mm + (stud.lugs.size() > 1 ? 4.0 : 1.5);
    for (const PlacedLug& lug : stud.lugs) {
        if (lug.upright)
            continue;
        double& reach = lug.side < 0 ? stud.left_mm : stud.right_mm;
        reach = std::max(reach, lug.riser_mm + lug.half_mm + 1.5);
        (lug.side < 0 ? left : right) = true;
    }
    if (stud.row == Row::bed || stud.row == Row::raised_bed || stud.inline_device ||
        stud.glyph->designation.empty()) {
        stud.caption_side = 2;
        return;
    }
    const double figures = stud.lugs.size() > 1 ? 3.2 : 0;
    const double wide = stud.core_mm + 1.6 + figures + caption_width_mm(stud, measure) + 1.5;
    const double above = caption_width_mm(stud, measure) / 2 + 1;
    stud.caption_side = !right ? 1 : !left ? -1 : 0;
    if (stud.forced_side != 0)
        stud.caption_side = -stud.forced_side;
    if (stud.caption_side == 1)
        stud.right_mm = std::max(stud.right_mm, wide);
    else if (stud.caption_side == -1)
        stud.left_mm = std::max(stud.left_mm, wide);
    else {
        stud.left_mm = std::max(stud.left_mm, above);
        stud.right_mm = std::max(stud.right_mm, above);
    }
}

Point stud_end(const PlacedStud& stud) {
    return {stud.x_mm, stud.away(stud.tall_mm)};
}

namespace {
double probe_reach_mm(const PlacedStud& stud) {
    return stud.glyph->probe.empty() ? 0 : 2 * probe_mm + 1.0;
}

struct CaptionPlace {
    Text name, thread;
};

CaptionPlace caption_place(const PlacedStud& stud, const TextMeasure& measure) {
    const Lettering bold{.height_mm = 3.5, .weight = Weight::bold};
    const std::string name = true_minus(stud.glyph->designation);
    if (stud.caption_side == 0) {
        const double wide = caption_width_mm(stud, measure);
        const double beyond = stud.tall_mm + probe_reach_mm(stud) + 1.2;
        const double lines = 3.5 + (stud.glyph->thread.empty() ? 0 : 4.2);
        const double top = stud.hanging ? stud.face_mm + beyond : stud.face_mm - beyond - lines;
        const double left = stud.x_mm - wide / 2;
        return {written(measure, {left, top + 3.5}, name, bold),
                written(measure, {left, top + 7.7}, stud.glyph->thread)};
    }
    const double figures = stud.lugs.size() > 1 ? 3.2 : 0;
    const double off = stud.core_mm + 1.6 + figures;
    const Anchor anchor = stud.caption_side > 0 ? Anchor::left : Anchor::right;
    const double x = stud.x_mm + stud.caption_side * off;
    Lettering named = bold;
    named.anchor = anchor;
    // The foot line stands 1.3 from the face, so that it clears the box's outline.
    const double foot =
        stud.hanging ? stud.face_mm + 1.6 + 3.5 : stud.face_mm - 1.5 - (stud.glyph->thread.empty() ? 0 : 4.2);
    return {written(measure, {x, foot}, name, named),
            written(measure, {x, foot + 4.2}, stud.glyph->thread, {.anchor = anchor})};
}
} // namespace

Box caption_box(const PlacedStud& stud, const TextMeasure& measure) {
    const CaptionPlace place = caption_place(stud, measure);
    return place.thread.words.empty() ? place.name.box : cover(place.name.box, place.thread.box);
}

namespace {
/// Half of the level piece at a probe's top and foot: a letter broader than the diamond holds stretches it.
double probe_flat_mm(const std::string& letter, const TextMeasure& measure) {
    const double tail =
        letter.find('Q') == std::string::npos ? 0 : 0.5; // it reaches down to where it narrows
    return std::max(0.0, measure.width_mm(letter, 2.3, Weight::bold) / 2 - 0.95 + tail);
}
} // namespace

std::vector<Box> stack_boxes(const PlacedStud& stud, const TextMeasure& measure) {
    std::vector<Box> boxes;
    // Distances from the face outwards, in this order at every call.
    // NOLINTNEXTLINE(bugprone-easily-swappable-parameters)
    const auto span = [&](double from, double to, double half) {
        const double a = stud.away(from);
        const double b = stud.away(to);
        boxes.push_back({stud.x_mm - half, std::min(a, b), 2 * half, std::abs(a - b)});
    };
    span(0, stud.tall_mm, stud.core_mm + 0.3);
    for (const PlacedLug& lug : stud.lugs) {
        if (lug.upright)
            continue;
        const double y = stud.away(lug.level_mm);
        const double half = std::max(lug.half_mm, plate_mm / 2) + 0.3;
        boxes.push_back(grown(box_around({stud.x_mm, y}, {stud.x_mm + lug.side * lug.reach_mm, y}), 0));
        boxes.back().y_mm -= half;
        boxes.back().height_mm = 2 * half;
        if (stud.lugs.size() > 1)
            boxes.push_back({stud.x_mm - lug.side * (lug.palm_mm / 2 + 2.0) - 1.4, y - 1.4, 2.8, 2.8});
    }
    if (!stud.glyph->probe.empty())
        span(stud.tall_mm + 0.8, stud.tall_mm + 0.8 + 2 * probe_mm,
             probe_mm + 0.3 + probe_flat_mm(stud.glyph->probe, measure));
    if (stud.caption_side != 2)
        boxes.push_back(caption_box(stud, measure));
    return boxes;
}

namespace {
/// A rectangle given by distances from the face and from the axis, each pair in rising order.
// NOLINTNEXTLINE(bugprone-easily-swappable-parameters)
Box standing(const PlacedStud& stud, double from, double to, double left, double right) {
    const double a = stud.away(from);
    const double b = stud.away(to);
    return {stud.x_mm + left, std::min(a, b), right - left, std::abs(a - b)};
}

void draw_lug(Element& to, const PlacedStud& stud, const PlacedLug& lug) {
    const double low = lug.level_mm - plate_mm / 2;
    const double high = lug.level_mm + plate_mm / 2;
    const double shank = shank_mm(stud) / 2;
    const bool small = lug.glyph->fit == LugGlyph::Fit::too_small;
    const double hole = !threaded(stud) || lug.glyph->hole_mm <= 0 ? shank : lug.glyph->hole_mm * scale / 2;
    const double edge = small ? shank * 0.55 : std::max(hole, shank + 0.1);
    const double palm = lug.palm_mm / 2;
    // Palm in section: cut by its own hole, so that a loose lug shows daylight and a small one bites the
    // shank.
    if (edge < palm - 0.3) {
        add(to, rectangle(standing(stud, low, high, -palm, -edge), Paint::ink));
        add(to, rectangle(standing(stud, low, high, edge, palm), Paint::ink));
    } else {
        add(to, rectangle(standing(stud, low, high, -palm, palm), Paint::ink));
    }
    if (small)
        add(to,
            circle({stud.x_mm, stud.away(lug.level_mm)}, palm + 0.6, Paint::none, pen(0.35, Dash::dashed)));
    const double half = std::max(lug.half_mm, 0.7);
    const double from = lug.side < 0 ? -lug.reach_mm : palm - 0.2;
    const double until = lug.side < 0 ? -palm + 0.2 : lug.reach_mm;
    const Box barrel = standing(stud, lug.level_mm - half, lug.level_mm + half, from, until);
    add(to, rectangle(barrel, Paint::white, pen(0.35)));
    for (const double share : {0.36, 0.64}) {
        const double x = barrel.x_mm + share * barrel.width_mm;
        add(to, line({x, barrel.y_mm}, {x, barrel.bottom_mm()}, pen(0.35)));
    }
}

void draw_shank(Element& to, const PlacedStud& stud) {
    const double half = shank_mm(stud) / 2;
    add(to, rectangle(standing(stud, 0, stud.tall_mm, -half, half), Paint::white, pen(0.35)));
    for (const double side : {-1.0, 1.0}) {
        const double x = stud.x_mm + side * half * 0.68;
        add(to, line({x, stud.away(2)}, {x, stud.away(stud.tall_mm)}, pen(0.18)));
    }
}

void draw_bush(Element& to, const PlacedStud& stud) {
    const double half = std::max(shank_mm(stud) * 0.8, 2.6);
    const Box box = standing(stud, 0, 2, -half, half);
    add(to, rectangle(box, Paint::white, pen(0.35)));
    if (stud.glyph->insulated)
        add(to, hatching(box, 1.0, 0.18));
}

void draw_nut(Element& to, const PlacedStud& stud) {
    const double from =
        stud.lugs.empty() ? 2.0 + (stud.inline_device ? 4.2 : 0) : stud.lugs.back().level_mm + plate_mm / 2;
    const double half = std::max(shank_mm(stud) * 0.8, 2.2);
    add(to, rectangle(standing(stud, from, from + 0.6, -half - 0.5, half + 0.5), Paint::white, pen(0.25)));
    const double nut = std::max(0.8 * shank_mm(stud), 2.0);
    add(to, rectangle(standing(stud, from + 0.6, from + 0.6 + nut, -half, half), Paint::white, pen(0.5)));
    for (const double side : {-1.0, 1.0}) {
        const double x = stud.x_mm + side * half * 0.45;
        add(to, line({x, stud.away(from + 0.6)}, {x, stud.away(from + 0.6 + nut)}, pen(0.25)));
    }
}

void draw_head(Element& to, const PlacedStud& stud) {
    const double half = head_half_mm(stud);
    const double tall = stud.tall_mm;
    switch (stud.glyph->kind) {
    case StudGlyph::Kind::stud:
        break;
    case StudGlyph::Kind::post: // taper post of a battery
        add(to, polyline({{stud.x_mm - half, stud.away(0)},
                          {stud.x_mm - half * 0.72, stud.away(tall)},
                          {stud.x_mm + half * 0.72, stud.away(tall)},
                          {stud.x_mm + half, stud.away(0)}},
                         true, Paint::white, pen(0.5)));
        break;
    case StudGlyph::Kind::blade:
    case StudGlyph::Kind::plug:
    case StudGlyph::Kind::splice:
        add(to, rectangle(standing(stud, 0, tall, -half, half), Paint::white, pen(0.35)));
        if (stud.glyph->kind == StudGlyph::Kind::blade)
            add(to, circle({stud.x_mm, stud.away(std::max(tall - 1.4, 2.6))}, 0.5, Paint::white, pen(0.25)));
        break;
    }
}

void draw_figures(Element& to, const PlacedStud& stud, const TextMeasure& measure) {
    const bool several = stud.lugs.size() > 1 || (stud.inline_device && !stud.lugs.empty());
    if (!several)
        return;
    int figure = stud.inline_device ? 2 : 1;
    for (const PlacedLug& lug : stud.lugs) {
        if (!stud.inline_device || stud.lugs.size() > 1) {
            const double x = stud.x_mm - lug.side * (lug.palm_mm / 2 + 2.0);
            add(to, written(measure, {x, stud.away(lug.level_mm) + 1.25}, std::to_string(figure),
                            {.anchor = Anchor::middle}));
        }
        ++figure;
    }
}
} // namespace

void add_probe(Element& to, Point at, const std::string& letter, const TextMeasure& measure) {
    const double flat = probe_flat_mm(letter, measure);
    add(to, polyline({{at.x_mm - flat, at.y_mm - probe_mm},
                      {at.x_mm + flat, at.y_mm - probe_mm},
                      {at.x_mm + flat + probe_mm, at.y_mm},
                      {at.x_mm + flat, at.y_mm + probe_mm},
                      {at.x_mm - flat, at.y_mm + probe_mm},
                      {at.x_mm - flat - probe_mm, at.y_mm}},
                     true, Paint::white, pen(0.35)));
    add(to, written(measure, {at.x_mm, at.y_mm + 1.15}, letter,
                    {.height_mm = 2.3, .weight = Weight::bold, .anchor = Anchor::middle}));
}

Element stack_element(const PlacedStud& stud, const TextMeasure& measure) {
    Element made = element(Role::stack, stud.id);
    made.title = stud.id + (stud.glyph->thread.empty() ? "" : ", " + stud.glyph->thread);
    if (threaded(stud)) {
        draw_shank(made, stud);
        draw_bush(made, stud);
    } else {
        draw_head(made, stud);
    }
    for (const PlacedLug& lug : stud.lugs)
        if (!lug.upright)
            draw_lug(made, stud, lug);
    if (threaded(stud))
        draw_nut(made, stud);
    draw_figures(made, stud, measure);
    if (stud.caption_side != 2) {
        CaptionPlace place = caption_place(stud, measure);
        add(made, std::move(place.name));
        add(made, std::move(place.thread));
    }
    if (!stud.glyph->probe.empty())
        add_probe(made, {stud.x_mm, stud.away(stud.tall_mm + 0.8 + probe_mm)}, stud.glyph->probe, measure);
    seal(made);
    return made;
}

} // namespace stoutloom::layout
