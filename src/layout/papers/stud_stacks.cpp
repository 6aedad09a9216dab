#include "layout/papers/stud_stacks.h"

#include "layout/papers/cut_list.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace stoutloom::layout::papers {
namespace {

constexpr double card_gap_mm = 3, pad_mm = 1.6, least_facts_mm = 44, most_facts_mm = 70,
                 wide_facts_share = 0.46, narrow_facts_share = 0.345, head_mm = 5.8, over_nut_mm = 2,
                 face_mm = 2.4, bush_mm = 2, number_mm = 4.4, stub_mm = 5.6, tick_mm = 4.6, fact_gap_mm = 0.8,
                 torque_pitch_mm = 5.9, tallest_stack_mm = 92, least_pitch_mm = 4.2;
constexpr double pitch_mm = line_pitch * text_height_mm;
constexpr std::size_t most_passed_rows = 3;

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
/// Number, palm and cable stub: the stack as drawn, without words.
double drawn_mm(const StudCard& card) {
    return number_mm + widest_palm_mm(card) + stub_mm + 1.6;
}

/// How one card is divided: stack, words beside its plates, seen from above (several lugs only), facts.
struct CardPlan {
    std::vector<FanLug> lugs; // of the view from above; empty: none
    LugPlan plan;
    double words_mm = 30, pitch_mm = 5.4, facts_mm = least_facts_mm;
    std::vector<std::string> facts;
    std::vector<std::string> name; // beside the designation, or in lines under it
    bool name_below = false;
};

/// Width of the longer half of a plate's words, each in one line.
double half_words_mm(const StackPlate& plate, const TextMeasure& measure) {
    double widest = 0;
    for (std::size_t from = 0; from < plate.words.size();) {
        const std::size_t end = std::min(plate.words.find(' ', from), plate.words.size());
        widest = std::max(
            widest, measure.width_mm(plate.words.substr(from, end - from), text_height_mm, Weight::regular));
        from = end + 1;
    }
    return widest;
}

/// Two lugs or more: how they lie to each other must be shown. One lug beside a tab lies opposite to it.
bool has_fan(const StudCard& card) {
    return std::count_if(card.plates.begin(), card.plates.end(),
                         [](const StackPlate& plate) { return plate.outside_mm > 0; }) > 1;
}

std::vector<std::string> plate_lines(const StackPlate& plate, double room, const TextMeasure& measure) {
    std::vector<std::string> lines;
    for (std::size_t from = 0; from < plate.words.size();) {
        const std::size_t end = std::min(plate.words.find(' ', from), plate.words.size());
        const std::string half = plate.words.substr(from, end - from);
        // A half that is too long for its line goes on in the next.
        for (std::string& line :
             wrapped(soft_where_needed(half, {.width_mm = room}, measure), {.width_mm = room}, measure))
            lines.push_back(std::move(line));
        from = end + 1;
    }
    if (lines.size() == 2 && measure.width_mm(plate.words, text_height_mm, Weight::regular) <= room)
        return {plate.words};
    return lines;
}

/// Distance of two levels: the thickest plate, or the words of a plate in their lines.
double level_pitch_mm(const StudCard& card, double words_mm, const TextMeasure& measure) {
    double pitch = 5.4;
    for (const StackPlate& plate : card.plates) {
        const auto lines = plate_lines(plate, words_mm, measure);
        // Beside a single plate there is room above and below.
        const double words = card.plates.size() > 1 ? lines_height_mm(lines.size(), text_height_mm) + 2.9 : 0;
        pitch = std::max({pitch, plate.thickness_mm + 2.2, words});
    }
    return pitch;
}

void set_name(CardPlan& plan, const StudCard& card, double room, const TextMeasure& measure) {
    const double beside = room - measure.width_mm(card.designation, strong_height_mm, Weight::bold) - 5 -
                          measure.width_mm(card.size, text_height_mm, Weight::bold);
    plan.name = wrapped(card.name, {.width_mm = std::max(4.0, beside)}, measure);
    plan.name_below = plan.name.size() > 1;
    if (plan.name_below)
        plan.name = wrapped(card.name, {.width_mm = room}, measure);
}

double head_height_mm(const CardPlan& plan) {
    return head_mm + (plan.name_below ? pitch_mm * static_cast<double>(plan.name.size()) : 0);
}

/// A single lug: half the sheet's width, the facts in the same column on every card.
CardPlan single_plan(const StudCard& card, double card_wide, const TextMeasure& measure) {
    CardPlan plan;
    plan.facts = card.facts;
    const double inside = card_wide - 2 * pad_mm;
    // A line for the cable and one for where it goes, though both might find room in one.
    double two_lines = 10;
    for (const StackPlate& plate : card.plates)
        two_lines = std::max(two_lines, half_words_mm(plate, measure));
    // Two places for the facts, so that they stand in columns: near where broad lugs leave no more room.
    for (const double share : {wide_facts_share, narrow_facts_share}) {
        plan.facts_mm = inside * share;
        plan.words_mm = std::min(inside - plan.facts_mm - 3 - drawn_mm(card), two_lines + 0.5);
        if (plan.words_mm >= two_lines + 0.5)
            break;
    }
    plan.pitch_mm = level_pitch_mm(card, plan.words_mm, measure);
    set_name(plan, card, inside - plan.facts_mm - 3, measure);
    return plan;
}

/// Several lugs: the whole width, with the view from above between stack and facts.
CardPlan several_plan(const StudCard& card, const StacksContent& content, double card_wide,
                      const TextMeasure& measure) {
    CardPlan plan;
    for (const StackPlate& plate : card.plates)
        plan.lugs.push_back({.end = plate.end,
                             .outside_mm = plate.outside_mm,
                             .flow = plate.flow,
                             .words = plate.tag,
                             .towards = plate.towards});
    plan.plan = lay_plan(plan.lugs, card.diameter_mm, measure);
    plan.facts = card.facts;
    if (!plan.plan.fan.clears)
        plan.facts.push_back(content.plan_crowded);
    else if (!plan.plan.fan.gaps.empty())
        plan.facts.push_back(content.plan_fact);
    const double inside = card_wide - 2 * pad_mm;
    // Two lines a plate, unless that makes the stack taller than a page: then one.
    double two_lines = 0, one_line = 0;
    for (const StackPlate& plate : card.plates) {
        two_lines = std::max(two_lines, half_words_mm(plate, measure));
        one_line = std::max(one_line, measure.width_mm(plate.words, text_height_mm, Weight::regular));
    }
    const double most = inside - drawn_mm(card) - plan.plan.bounds.width_mm - least_facts_mm - 10;
    plan.words_mm = std::min(most, two_lines + 0.5);
    plan.pitch_mm = level_pitch_mm(card, plan.words_mm, measure);
    if (plan.pitch_mm * static_cast<double>(card.plates.size()) > tallest_stack_mm) {
        plan.words_mm = std::min(most, one_line + 0.5);
        plan.pitch_mm = std::max(least_pitch_mm, tallest_stack_mm / static_cast<double>(card.plates.size()));
    }
    plan.facts_mm = std::clamp(inside - drawn_mm(card) - plan.words_mm - plan.plan.bounds.width_mm - 10,
                               least_facts_mm, most_facts_mm);
    // Over the stack: beside it begins the view from above with its caption.
    set_name(plan, card, drawn_mm(card) + plan.words_mm, measure);
    return plan;
}

CardPlan plan_of(const StudCard& card, const StacksContent& content, double card_wide,
                 const TextMeasure& measure) {
    return has_fan(card) ? several_plan(card, content, card_wide, measure)
                         : single_plan(card, card_wide, measure);
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

double facts_height_mm(const StudCard& card, const CardPlan& plan, const TextMeasure& measure) {
    const double wide = plan.facts_mm;
    double tall = torque_pitch_mm * static_cast<double>(torque_lines(card, wide, measure).size());
    for (std::size_t i = 0; i < plan.facts.size(); ++i)
        tall += pitch_mm *
                    static_cast<double>(
                        wrapped(plan.facts[i], {.width_mm = fact_width_mm(card, i, wide)}, measure).size()) +
                (i + 1 < plan.facts.size() ? fact_gap_mm : 0);
    return tall;
}

double card_height_mm(const StudCard& card, const CardPlan& plan, const TextMeasure& measure) {
    double drawn = stack_height_mm(card, plan.pitch_mm);
    if (!plan.lugs.empty())
        drawn = std::max(drawn, plan.plan.bounds.height_mm + 2);
    return 2 * pad_mm + std::max(head_height_mm(plan) + drawn, facts_height_mm(card, plan, measure));
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

void draw_stack(Pen& pen, const StudCard& card, const Box& area, const CardPlan& plan) {
    const double pitch = plan.pitch_mm, wide = widest_palm_mm(card),
                 spare = area.height_mm - stack_height_mm(card, pitch);
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
        const auto lines = plate_lines(plate, plan.words_mm, pen.measure());
        const double tall = lines_height_mm(lines.size(), text_height_mm);
        pen.lines({.at = {label, middle - tall / 2 + text_height_mm}, .words = {}}, lines);
        middle -= pitch;
    }
    if (!card.post)
        draw_nut(pen, card, at, plates_top);
}

void draw_facts(Pen& pen, const StudCard& card, const std::vector<std::string>& facts, const Box& area) {
    double y = area.y_mm;
    for (const std::string& line : torque_lines(card, area.width_mm, pen.measure())) {
        pen.text({.at = {area.x_mm, y + strong_height_mm},
                  .words = line,
                  .height_mm = strong_height_mm,
                  .weight = Weight::bold});
        y += torque_pitch_mm;
    }
    for (std::size_t i = 0; i < facts.size(); ++i)
        y = pen.lines({.at = {area.x_mm, y + text_height_mm}, .words = {}},
                      wrapped(facts[i], {.width_mm = fact_width_mm(card, i, area.width_mm)}, pen.measure())) -
            text_height_mm + fact_gap_mm;
    pen.box({area.right_mm() - tick_mm, area.y_mm, tick_mm, tick_mm}, {.width_mm = thin_mm});
}

/// Between stack and facts, in the middle of what is left; its caption under it at the card's foot.
void draw_seen_from_above(Pen& pen, const StudCard& card, const CardPlan& plan, const Box& area,
                          const std::string& caption) {
    const Box& bounds = plan.plan.bounds;
    const Point centre{area.x_mm + (area.width_mm - bounds.width_mm) / 2 - bounds.x_mm,
                       area.y_mm + (area.height_mm - bounds.height_mm) / 2 - bounds.y_mm};
    draw_plan(pen, plan.lugs, plan.plan, {.centre = centre, .diameter_mm = card.diameter_mm});
    pen.text({.at = {std::max(area.x_mm, centre.x_mm - pen.width_mm(caption, text_height_mm) / 2),
                     area.y_mm - head_mm + strong_height_mm},
              .words = caption});
}

void draw_head(Pen& pen, const StudCard& card, const CardPlan& plan, Point top_left) {
    const double line = top_left.y_mm + strong_height_mm;
    const Box head = pen.text({.at = {top_left.x_mm, line},
                               .words = card.designation,
                               .height_mm = strong_height_mm,
                               .weight = Weight::bold});
    const Box size =
        pen.text({.at = {head.right_mm() + 2.5, line}, .words = card.size, .weight = Weight::bold});
    pen.lines({.at = plan.name_below ? Point{top_left.x_mm, line + pitch_mm + 0.6}
                                     : Point{size.right_mm() + 2.5, line},
               .words = {}},
              plan.name);
}

struct CardOnSheet {
    const StudCard* card;
    CardPlan plan;
};

void draw_card(Page& page, const CardOnSheet& what, const Box& place, const StacksContent& content,
               const TextMeasure& measure) {
    const StudCard& card = *what.card;
    const CardPlan& plan = what.plan;
    Pen pen(card.id, Role::stack, measure);
    pen.told(card.designation, card.desc);
    pen.box(place, {.width_mm = rule_mm});
    const Box inside = grown(place, -pad_mm);
    draw_head(pen, card, plan, {inside.x_mm, inside.y_mm});
    const double head = head_height_mm(plan), stack = drawn_mm(card) + plan.words_mm;
    draw_stack(pen, card, {inside.x_mm, inside.y_mm + head, stack, inside.height_mm - head}, plan);
    if (!plan.lugs.empty())
        draw_seen_from_above(pen, card, plan,
                             {inside.x_mm + stack + 3, inside.y_mm + head,
                              inside.width_mm - stack - plan.facts_mm - 7, inside.height_mm - head},
                             content.plan_caption);
    draw_facts(pen, card, plan.facts,
               {inside.right_mm() - plan.facts_mm, inside.y_mm, plan.facts_mm, inside.height_mm});
    pen.put_on(page);
}

/// Cards side by side: two of single lugs, or one of several. A single one that waits for its neighbour lets
/// those of several lugs pass, so that no place stays empty.
std::vector<std::vector<CardOnSheet>> rows_of(const StacksContent& content, double wide, double half,
                                              const TextMeasure& measure) {
    std::vector<std::vector<CardOnSheet>> rows;
    std::vector<CardOnSheet> waiting;
    for (const StudCard& card : content.cards) {
        if (has_fan(card)) {
            rows.push_back({{&card, plan_of(card, content, wide, measure)}});
            continue;
        }
        waiting.push_back({&card, plan_of(card, content, half, measure)});
        if (waiting.size() == 2)
            rows.push_back(std::exchange(waiting, {}));
    }
    if (!waiting.empty())
        rows.push_back(std::move(waiting));
    return rows;
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
    const double half = (flow.content().width_mm - card_gap_mm) / 2;
    auto rows = rows_of(content, flow.content().width_mm, half, measure);
    const auto height = [&](const std::vector<CardOnSheet>& row) {
        double tall = 0;
        for (const CardOnSheet& card : row)
            tall = std::max(tall, card_height_mm(*card.card, card.plan, measure));
        return tall;
    };
    while (!rows.empty()) {
        // A low row may pass a high one that has no room left on the sheet.
        const auto near = rows.begin() + static_cast<long>(std::min(rows.size(), most_passed_rows + 1));
        auto next =
            std::find_if(rows.begin(), near, [&](const auto& row) { return height(row) <= flow.left_mm(); });
        if (next == near)
            next = rows.begin();
        const double tall = height(*next);
        flow.need(tall);
        for (std::size_t k = 0; k < next->size(); ++k) {
            const CardOnSheet& card = (*next)[k];
            draw_card(flow.page(), card,
                      {flow.content().x_mm + static_cast<double>(k) * (half + card_gap_mm), flow.y_mm(),
                       card.plan.lugs.empty() ? half : flow.content().width_mm, tall},
                      content, measure);
        }
        flow.advance(tall + card_gap_mm);
        rows.erase(next);
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
