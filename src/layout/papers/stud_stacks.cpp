#include "layout/papers/stud_stacks.h"

#include "layout/papers/cut_list.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout::papers {
namespace {

constexpr double card_gap_mm = 3.5, pad_mm = 1.8, least_facts_mm = 33, most_facts_mm = 58, head_mm = 6.4,
                 over_nut_mm = 2, face_mm = 3, bush_mm = 3, number_mm = 5, stub_mm = 7, tick_mm = 4.6,
                 fact_gap_mm = 1.1, torque_pitch_mm = 6.0, tallest_stack_mm = 92, least_pitch_mm = 4.2;
constexpr double pitch_mm = line_pitch * text_height_mm;

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
/// Left of the facts, for the words beside the plates.
double label_room_mm(const StudCard& card, double card_wide, double facts) {
    return card_wide - 2 * pad_mm - facts - 3 - number_mm - widest_palm_mm(card) - stub_mm - 1.6;
}

/// The facts take what the plates' words leave: few lines make a low card.
double facts_mm(const StudCard& card, double card_wide, const TextMeasure& measure) {
    double words = 0;
    for (const StackPlate& plate : card.plates)
        words = std::max(words, longest_piece_mm(plate.words, text_height_mm, Weight::regular, measure));
    return std::clamp(label_room_mm(card, card_wide, 0) - words - 0.5, least_facts_mm, most_facts_mm);
}

/// Distance of two levels: the thickest plate, or two lines of words where one does not hold them.
double level_pitch_mm(const StudCard& card, double card_wide, const TextMeasure& measure) {
    double pitch = 5.4;
    for (const StackPlate& plate : card.plates) {
        const double room = label_room_mm(card, card_wide, facts_mm(card, card_wide, measure));
        const auto lines = wrapped(plate.words, {.width_mm = room}, measure);
        // Beside a single plate there is room above and below.
        const double words = card.plates.size() > 1 ? lines_height_mm(lines.size(), text_height_mm) + 2.9 : 0;
        pitch = std::max({pitch, plate.thickness_mm + 2.2, words});
    }
    // A stud with far too many lugs still has to stand on one page: the levels close up, a line of words
    // each.
    const double room = tallest_stack_mm / std::max(1.0, static_cast<double>(card.plates.size()));
    return std::min(pitch, std::max(least_pitch_mm, room));
}

/// From the stud's end down to the underside of the face.
double stack_height_mm(const StudCard& card, double pitch) {
    return over_nut_mm + nut_mm(card) + washer_mm(card) + pitch * static_cast<double>(card.plates.size()) +
           bush_mm + face_mm;
}

std::vector<std::string> torque_lines(const StudCard& card, double wide, const TextMeasure& measure) {
    return wrapped(card.torque,
                   {.width_mm = wide - tick_mm - 2, .height_mm = strong_height_mm, .weight = Weight::bold},
                   measure);
}

/// Beside the tick box stands the torque, or the first fact where there is none.
double fact_width_mm(const StudCard& card, std::size_t fact, double wide) {
    return card.torque.empty() && fact == 0 ? wide - tick_mm - 2 : wide;
}

double facts_height_mm(const StudCard& card, double wide, const TextMeasure& measure) {
    double tall = torque_pitch_mm * static_cast<double>(torque_lines(card, wide, measure).size());
    for (std::size_t i = 0; i < card.facts.size(); ++i)
        tall += pitch_mm *
                    static_cast<double>(
                        wrapped(card.facts[i], {.width_mm = fact_width_mm(card, i, wide)}, measure).size()) +
                fact_gap_mm;
    return tall;
}

double card_height_mm(const StudCard& card, double card_wide, const TextMeasure& measure) {
    const double stack = stack_height_mm(card, level_pitch_mm(card, card_wide, measure));
    return 2 * pad_mm +
           std::max(head_mm + stack, facts_height_mm(card, facts_mm(card, card_wide, measure), measure));
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

void draw_plate(Pen& pen, const StudCard& card, const StackPlate& plate, Point middle, double thickest_mm) {
    const double thickness = std::min(plate.thickness_mm, thickest_mm), top = middle.y_mm - thickness / 2,
                 hole = plate.hole_mm / 2, palm = plate.palm_mm / 2;
    const Outline solid{.width_mm = 0, .fill = Paint::ink};
    pen.box({middle.x_mm - palm, top, palm - hole, thickness}, solid);
    pen.box({middle.x_mm + hole, top, palm - hole + 2.4, thickness}, solid);
    draw_cable_stub(pen, plate, {middle.x_mm + palm + 2.4, middle.y_mm});
    if (plate.too_small)
        pen.circle(middle, card.diameter_mm * 0.75 + 1.5, {.width_mm = medium_mm, .dash = Dash::dashed});
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
    const double half = 1.05 * d + 1.6, roof = top - 4.6;
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

void draw_stack(Pen& pen, const StudCard& card, const Box& area, double pitch) {
    const double wide = widest_palm_mm(card), spare = area.height_mm - stack_height_mm(card, pitch);
    const StackPlace at{.centre_mm = area.x_mm + number_mm + wide / 2,
                        .face_mm = area.bottom_mm() - face_mm - std::max(0.0, spare / 2)};
    const double stack = pitch * static_cast<double>(card.plates.size());
    const double foot = at.face_mm - bush_mm, plates_top = foot - stack;
    draw_face(pen, card, at);
    draw_shank(pen, card, at, plates_top - washer_mm(card) - nut_mm(card) - over_nut_mm);
    double middle = foot - pitch / 2;
    const double label = at.centre_mm + wide / 2 + stub_mm + 1.6;
    for (const StackPlate& plate : card.plates) {
        draw_plate(pen, card, plate, {at.centre_mm, middle}, pitch - 1.2);
        const Measured room{.width_mm = area.right_mm() - label};
        auto lines = wrapped(plate.words, room, pen.measure());
        if (card.plates.size() > 1 && lines_height_mm(lines.size(), text_height_mm) > pitch - 1)
            lines = {shortened(plate.words, room, pen.measure())};
        const double tall = lines_height_mm(lines.size(), text_height_mm);
        pen.lines({.at = {label, middle - tall / 2 + text_height_mm}, .words = {}}, lines);
        middle -= pitch;
    }
    if (!card.post)
        draw_nut(pen, card, at, plates_top);
}

void draw_facts(Pen& pen, const StudCard& card, const Box& area) {
    double y = area.y_mm;
    for (const std::string& line : torque_lines(card, area.width_mm, pen.measure())) {
        pen.text({.at = {area.x_mm, y + strong_height_mm},
                  .words = line,
                  .height_mm = strong_height_mm,
                  .weight = Weight::bold});
        y += torque_pitch_mm;
    }
    for (std::size_t i = 0; i < card.facts.size(); ++i)
        y = pen.lines(
                {.at = {area.x_mm, y + text_height_mm}, .words = {}},
                wrapped(card.facts[i], {.width_mm = fact_width_mm(card, i, area.width_mm)}, pen.measure())) -
            text_height_mm + fact_gap_mm;
    pen.box({area.right_mm() - tick_mm, area.y_mm, tick_mm, tick_mm}, {.width_mm = thin_mm});
}

void draw_card(Page& page, const StudCard& card, const Box& place, const TextMeasure& measure) {
    Pen pen(card.id, Role::stack, measure);
    pen.told(card.designation, card.desc);
    pen.box(place, {.width_mm = rule_mm});
    const Box inside = grown(place, -pad_mm);
    const double facts = facts_mm(card, place.width_mm, measure);
    const double left = inside.width_mm - facts - 3;
    const Box head = pen.text({.at = {inside.x_mm, inside.y_mm + strong_height_mm},
                               .words = card.designation,
                               .height_mm = strong_height_mm,
                               .weight = Weight::bold});
    const Box size = pen.text({.at = {head.right_mm() + 2.5, inside.y_mm + strong_height_mm},
                               .words = card.size,
                               .weight = Weight::bold});
    pen.text(
        {.at = {size.right_mm() + 2.5, inside.y_mm + strong_height_mm},
         .words = shortened(card.name, {.width_mm = inside.x_mm + left - size.right_mm() - 2.5}, measure)});
    draw_stack(pen, card, {inside.x_mm, inside.y_mm + head_mm, left, inside.height_mm - head_mm},
               level_pitch_mm(card, place.width_mm, measure));
    draw_facts(pen, card, {inside.right_mm() - facts, inside.y_mm, facts, inside.height_mm});
    pen.put_on(page);
}

} // namespace

std::vector<Page> build_stud_stacks(const StacksContent& content, PaperSize size,
                                    const TextMeasure& measure) {
    PaperFlow flow({.sheet = {.size = size, .portrait = false},
                    .id = "stud-stacks",
                    .heading = {.words = content.heading,
                                .remark = content.remark,
                                .keep_free_mm = print_check_width_mm(content.print_check, measure) + 6},
                    .continued = content.continued},
                   measure);
    const auto head = [&content](PaperFlow& page) {
        Pen pen(page.next_id("print-check"), Role::rule_line, page.measure());
        draw_print_check(pen, {.at = {page.content().right_mm() - 52, page.content().y_mm + 5.2},
                               .words = content.print_check});
        const auto lines = wrapped(content.common, {.width_mm = page.content().width_mm}, page.measure());
        pen.lines({.at = {page.content().x_mm, page.y_mm() + text_height_mm}, .words = {}}, lines);
        pen.put_on(page.page());
        return lines_height_mm(lines.size(), text_height_mm) + 2;
    };
    flow.set_head(head);
    flow.draw_head();
    const double wide = (flow.content().width_mm - card_gap_mm) / 2;
    for (std::size_t i = 0; i < content.cards.size(); i += 2) {
        double tall = card_height_mm(content.cards[i], wide, measure);
        if (i + 1 < content.cards.size())
            tall = std::max(tall, card_height_mm(content.cards[i + 1], wide, measure));
        flow.need(tall);
        for (std::size_t k = 0; k < 2 && i + k < content.cards.size(); ++k)
            draw_card(flow.page(), content.cards[i + k],
                      {flow.content().x_mm + static_cast<double>(k) * (wide + card_gap_mm), flow.y_mm(), wide,
                       tall},
                      measure);
        flow.advance(tall + card_gap_mm);
    }
    flow.drop_head();
    for (const TableBlock& table : content.tables)
        flow.table(table);
    if (!content.remarks.empty())
        flow.advance(1.5);
    for (const std::string& remark : content.remarks)
        flow.paragraph(remark);
    return flow.done();
}

} // namespace stoutloom::layout::papers
