#include "layout/papers/stack_drawing.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout::papers {
namespace {

constexpr double over_nut_mm = 2, face_mm = 2.4, bush_mm = 2, number_mm = 4.4, stub_mm = 5.6,
                 boot_roof_mm = 4.6;

double nut_mm(const StudCard& card) {
    return card.post ? 0 : 0.8 * card.diameter_mm;
}
double washer_mm(const StudCard& card) {
    return card.post ? 0 : std::max(1.0, 0.2 * card.diameter_mm);
}
double widest_palm_mm(const StudCard& card) {
    double wide = card.post ? card.diameter_mm : 2.2 * card.diameter_mm;
    for (const StackPlate& plate : card.plates)
        wide = std::max(wide, plate.palm_mm);
    return wide;
}
/// How far a boot rises over the stud's end: its roof is a curve of three quarters of its height.
double over_stud_mm(const StudCard& card) {
    return card.booted && !card.post ? 0.75 * boot_roof_mm - over_nut_mm : 0;
}
struct StackPlace {
    double centre_mm, face_mm; // middle of the stud, top of the face
};

void draw_face(Pen& pen, const StudCard& card, const StackPlace& at) {
    const double half = widest_palm_mm(card) / 2;
    const Box face{at.centre_mm - half, at.face_mm, 2 * half, face_mm};
    pen.hatch(face, {.pitch_mm = 1.4, .width_mm = hair_mm});
    pen.line({face.x_mm, face.y_mm}, {face.right_mm(), face.y_mm}, medium_mm);
    if (card.post)
        return;
    const double bush = 0.9 * card.diameter_mm;
    const Box box{at.centre_mm - bush, at.face_mm - bush_mm, 2 * bush, bush_mm};
    pen.box(box, {.width_mm = thin_mm, .fill = Paint::white});
    if (card.insulated)
        pen.hatch(box, {.pitch_mm = 0.9, .width_mm = hair_mm, .falling = true});
}

void draw_shank(Pen& pen, const StudCard& card, const StackPlace& at, double top) {
    const double half = card.diameter_mm / 2;
    if (card.post) { // taper 1 : 9, narrower at the top
        const double slope = (at.face_mm - top) / 18;
        pen.polygon({{at.centre_mm - half + slope, top},
                     {at.centre_mm + half - slope, top},
                     {at.centre_mm + half, at.face_mm},
                     {at.centre_mm - half, at.face_mm}},
                    {.width_mm = thin_mm, .fill = Paint::white});
        return;
    }
    const double chamfer = half * 0.25;
    pen.polygon({{at.centre_mm - half, at.face_mm},
                 {at.centre_mm - half, top + chamfer},
                 {at.centre_mm - half + chamfer, top},
                 {at.centre_mm + half - chamfer, top},
                 {at.centre_mm + half, top + chamfer},
                 {at.centre_mm + half, at.face_mm}},
                {.width_mm = thin_mm, .fill = Paint::white});
    for (const double side : {-0.84, 0.84}) // root of the thread
        pen.line({at.centre_mm + side * half, top + chamfer}, {at.centre_mm + side * half, at.face_mm},
                 hair_mm);
}

void draw_cable_stub(Pen& pen, const StackPlate& plate, Point at) {
    if (plate.outside_mm <= 0)
        return;
    const double half = std::min(1.9, 0.5 + plate.outside_mm / 12);
    const bool feed = plate.flow == Flow::feed, back = plate.flow == Flow::back;
    pen.box({at.x_mm, at.y_mm - half, stub_mm - 2.4, 2 * half}, {.width_mm = thin_mm,
                                                                 .fill = feed   ? Paint::feed_core
                                                                         : back ? Paint::return_core
                                                                                : Paint::control,
                                                                 .paint = feed   ? Paint::feed_edge
                                                                          : back ? Paint::return_edge
                                                                                 : Paint::ink});
}

/// Dashed ring with oblique strokes outside round a failing joint: round one plate, or drawn out from the
/// topmost to the lowest.
void draw_failing(Pen& pen, const StudCard& card, Point top, Point foot) {
    constexpr double stroke_mm = 1.3, stroke_pitch_mm = 1.7, pi = 3.141592653589793;
    const double radius = (card.post ? 0.5 : 0.75) * card.diameter_mm + 1.5, straight = foot.y_mm - top.y_mm;
    const double round = 2 * pi * radius + 2 * straight;
    const auto count = static_cast<int>(round / stroke_pitch_mm);
    // A point of the ring by its way along it, clockwise from the lower left, and the direction outwards.
    const auto at = [&](double way) {
        double angle = 0;
        Point point;
        if (way < straight) {
            angle = pi;
            point = {foot.x_mm - radius, foot.y_mm - way};
        } else if (way -= straight; way < pi * radius) {
            angle = pi + way / radius;
            point = {top.x_mm + radius * std::cos(angle), top.y_mm + radius * std::sin(angle)};
        } else if (way -= pi * radius; way < straight) {
            point = {top.x_mm + radius, top.y_mm + way};
        } else {
            angle = (way - straight) / radius;
            point = {foot.x_mm + radius * std::cos(angle), foot.y_mm + radius * std::sin(angle)};
        }
        return std::pair{point, angle};
    };
    std::vector<PathPiece> ring;
    constexpr int pieces =
        96; // of the outline: straight between, no longer than half a millimetre on a stud of M12
    ring.reserve(pieces);
    for (int i = 0; i < pieces; ++i)
        ring.push_back({.kind = i == 0 ? PathPiece::Kind::move : PathPiece::Kind::line,
                        .to = at(round * i / pieces).first,
                        .control1 = {},
                        .control2 = {}});
    pen.path(ring, true, {.width_mm = 1.2, .paint = Paint::white});
    pen.path(std::move(ring), true, {.width_mm = medium_mm, .dash = Dash::dashed});
    for (int i = 0; i < count; ++i) {
        const auto [from, outwards] = at(round * (i + 0.5) / count);
        const double slanted = outwards + pi / 4;
        pen.line({from.x_mm + 0.3 * std::cos(outwards), from.y_mm + 0.3 * std::sin(outwards)},
                 {from.x_mm + stroke_mm * std::cos(slanted), from.y_mm + stroke_mm * std::sin(slanted)},
                 thin_mm);
    }
}

void draw_plate(Pen& pen, const StudCard& card, const StackPlate& plate, Point middle, double thickest_mm) {
    const double thickness = std::min(plate.thickness_mm, thickest_mm), top = middle.y_mm - thickness / 2,
                 hole = plate.hole_mm / 2, palm = plate.palm_mm / 2;
    const Outline solid{.width_mm = 0, .fill = Paint::ink};
    pen.box({middle.x_mm - palm, top, palm - hole, thickness}, solid);
    pen.box({middle.x_mm + hole, top, palm - hole + 2.4, thickness}, solid);
    draw_cable_stub(pen, plate, {middle.x_mm + palm + 2.4, middle.y_mm});
    pen.text({.at = {middle.x_mm - widest_palm_mm(card) / 2 - 1.6, middle.y_mm + text_height_mm / 2},
              .words = plate.number,
              .weight = Weight::bold,
              .anchor = Anchor::right});
}

void draw_nut(Pen& pen, const StudCard& card, const StackPlace& at, double foot) {
    const double d = card.diameter_mm, washer = washer_mm(card), nut = nut_mm(card);
    pen.box({at.centre_mm - 1.05 * d, foot - washer, 2.1 * d, washer},
            {.width_mm = thin_mm, .fill = Paint::white});
    const double top = foot - washer - nut;
    pen.box({at.centre_mm - 0.9 * d, top, 1.8 * d, nut}, {.width_mm = thin_mm, .fill = Paint::white});
    for (const double side : {-0.45, 0.45})
        pen.line({at.centre_mm + side * d, top}, {at.centre_mm + side * d, foot - washer}, thin_mm);
    if (!card.booted)
        return;
    const double half = 1.05 * d + 1.6, roof = top - boot_roof_mm;
    pen.path(
        {{.kind = PathPiece::Kind::move, .to = {at.centre_mm - half, foot}, .control1 = {}, .control2 = {}},
         {.kind = PathPiece::Kind::line, .to = {at.centre_mm - half, top}, .control1 = {}, .control2 = {}},
         {.kind = PathPiece::Kind::curve,
          .to = {at.centre_mm + half, top},
          .control1 = {at.centre_mm - half, roof},
          .control2 = {at.centre_mm + half, roof}},
         {.kind = PathPiece::Kind::line, .to = {at.centre_mm + half, foot}, .control1 = {}, .control2 = {}}},
        false, {.width_mm = thin_mm, .dash = Dash::dashed});
}

} // namespace

double drawn_mm(const StudCard& card) {
    return number_mm + widest_palm_mm(card) + stub_mm + 1.6;
}

double stack_height_mm(const StudCard& card, double pitch_mm) {
    return over_stud_mm(card) + over_nut_mm + nut_mm(card) + washer_mm(card) +
           pitch_mm * static_cast<double>(card.plates.size()) + bush_mm + face_mm;
}

void draw_stack(Pen& pen, const StudCard& card, const Box& area, const StackLook& look) {
    const double pitch = look.pitch_mm, wide = widest_palm_mm(card),
                 spare = area.height_mm - stack_height_mm(card, pitch);
    const StackPlace at{.centre_mm = area.x_mm + number_mm + wide / 2,
                        .face_mm = area.bottom_mm() - face_mm - std::max(0.0, spare / 2)};
    const double stack = pitch * static_cast<double>(card.plates.size());
    const double foot = at.face_mm - bush_mm, plates_top = foot - stack;
    draw_face(pen, card, at);
    draw_shank(pen, card, at, plates_top - washer_mm(card) - nut_mm(card) - over_nut_mm);
    double middle = foot - pitch / 2;
    const double label = at.centre_mm + wide / 2 + stub_mm + 1.6;
    for (std::size_t i = 0; i < card.plates.size(); ++i) {
        draw_plate(pen, card, card.plates[i], {at.centre_mm, middle}, pitch - 1.2);
        if (i < look.words.size()) {
            const double tall = lines_height_mm(look.words[i].size(), text_height_mm);
            pen.lines({.at = {label, middle - tall / 2 + text_height_mm}, .words = {}}, look.words[i]);
        }
        middle -= pitch;
    }
    if (!card.post)
        draw_nut(pen, card, at, plates_top);
    // Last, over plates and nut: it is not lost among their lines.
    for (std::size_t i = 0; i < card.plates.size() && !card.failing; ++i)
        if (const Point plate{at.centre_mm, foot - pitch * (static_cast<double>(i) + 0.5)};
            card.plates[i].failing)
            draw_failing(pen, card, plate, plate);
    if (card.failing && !card.plates.empty())
        draw_failing(pen, card, {at.centre_mm, plates_top + pitch / 2}, {at.centre_mm, foot - pitch / 2});
}

} // namespace stoutloom::layout::papers
