#include "layout/papers/stud_stacks.h"

#include "layout/papers/cut_list.h"
#include "layout/papers/stack_drawing.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <utility>

namespace stoutloom::layout::papers {
namespace {

constexpr double card_gap_mm = 3.4, pad_mm = 1.6, least_facts_mm = 44, most_facts_mm = 70,
                 wide_facts_share = 0.46, narrow_facts_share = 0.345, head_mm = 5.8, tick_mm = 4.6,
                 fact_gap_mm = 0.8, torque_pitch_mm = 5.9, tallest_stack_mm = 92, least_pitch_mm = 4.2,
                 alike_pitch_mm = 4.9, alike_tick_mm = 3.8, caption_apart_mm = 3;
constexpr double pitch_mm = line_pitch * text_height_mm;
constexpr std::size_t most_passed_rows = 3;

/// How one card is divided: stack, words beside its plates, seen from above (several lugs only), facts.
struct CardPlan {
    std::vector<FanLug> lugs; // of the view from above; empty: none
    LugPlan plan;
    double words_mm = 30, pitch_mm = 5.4, facts_mm = least_facts_mm;
    bool caption_beside = false; // of the view from above: left of it, else over it
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

/// Width of the rows of studs made alike: designation, lug and tick box.
double alike_wide_mm(const StudCard& card, const TextMeasure& measure) {
    double name = 0, words = 0;
    for (const AlikeStud& stud : card.alike) {
        name = std::max(name, measure.width_mm(stud.designation, text_height_mm, Weight::bold));
        words = std::max(words, measure.width_mm(stud.words, text_height_mm, Weight::regular));
    }
    return name + 2.5 + words + 2.5 + alike_tick_mm;
}

/// Studs made alike: the facts across the card under its head, then the stack once and a row for each stud.
CardPlan alike_plan(const StudCard& card, double card_wide, const TextMeasure& measure) {
    CardPlan plan;
    plan.facts = card.facts;
    plan.facts_mm = card_wide - 2 * pad_mm;
    plan.words_mm = std::min(alike_wide_mm(card, measure), plan.facts_mm - drawn_mm(card) - 2);
    set_name(plan, card, plan.facts_mm - measure.width_mm(card.torque, strong_height_mm, Weight::bold) - 4,
             measure);
    return plan;
}

/// A line for the cable and one for where it goes, though both might find room in one.
double two_lines_mm(const StudCard& card, const TextMeasure& measure) {
    double wide = 10;
    for (const StackPlate& plate : card.plates)
        wide = std::max(wide, half_words_mm(plate, measure));
    return wide + 0.5;
}

/// The widest column for the facts that a single lug with its words leaves.
double facts_column_mm(const StudCard& card, double card_wide, const TextMeasure& measure) {
    const double inside = card_wide - 2 * pad_mm;
    return std::clamp(inside - drawn_mm(card) - two_lines_mm(card, measure) - 3, inside * narrow_facts_share,
                      inside * wide_facts_share);
}

/// Of a card and of the column of its facts.
struct Widths {
    double card_mm, facts_mm;
};

/// A single lug: half the sheet's width.
CardPlan single_plan(const StudCard& card, const Widths& widths, const TextMeasure& measure) {
    CardPlan plan;
    plan.facts = card.facts;
    const double inside = widths.card_mm - 2 * pad_mm;
    plan.facts_mm = widths.facts_mm;
    plan.words_mm = std::min(inside - plan.facts_mm - 3 - drawn_mm(card), two_lines_mm(card, measure));
    plan.pitch_mm = level_pitch_mm(card, plan.words_mm, measure);
    set_name(plan, card, inside - plan.facts_mm - 3, measure);
    return plan;
}

/// Between stack and facts.
double seen_from_above_mm(const StudCard& card, const CardPlan& plan, double inside_mm) {
    return inside_mm - drawn_mm(card) - plan.words_mm - plan.facts_mm - 7;
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
    plan.caption_beside = seen_from_above_mm(card, plan, inside) >=
                          plan.plan.bounds.width_mm + caption_apart_mm +
                              measure.width_mm(content.plan_caption, text_height_mm, Weight::regular);
    // Over the stack: beside it begins the view from above with its caption.
    set_name(plan, card, drawn_mm(card) + plan.words_mm, measure);
    return plan;
}

std::vector<std::string> torque_lines(const StudCard& card, double wide, const TextMeasure& measure) {
    return wrapped(card.torque,
                   {.width_mm = wide - tick_mm - 2, .height_mm = strong_height_mm, .weight = Weight::bold},
                   measure);
}

/// Beside the tick box stands the torque, or the first fact where there is none.
double fact_width_mm(const StudCard& card, std::size_t fact, double wide) {
    return card.alike.empty() && card.torque.empty() && fact == 0 ? wide - tick_mm - 2 : wide;
}

double lines_of_facts_mm(const StudCard& card, const CardPlan& plan, const TextMeasure& measure) {
    const double wide = plan.facts_mm;
    double tall = 0;
    for (std::size_t i = 0; i < plan.facts.size(); ++i)
        tall += pitch_mm *
                    static_cast<double>(
                        wrapped(plan.facts[i], {.width_mm = fact_width_mm(card, i, wide)}, measure).size()) +
                (i + 1 < plan.facts.size() ? fact_gap_mm : 0);
    return tall;
}

double facts_height_mm(const StudCard& card, const CardPlan& plan, const TextMeasure& measure) {
    return torque_pitch_mm * static_cast<double>(torque_lines(card, plan.facts_mm, measure).size()) +
           lines_of_facts_mm(card, plan, measure);
}

double card_height_mm(const StudCard& card, const CardPlan& plan, const TextMeasure& measure) {
    double drawn = stack_height_mm(card, plan.pitch_mm);
    if (!card.alike.empty())
        return 2 * pad_mm + head_height_mm(plan) + lines_of_facts_mm(card, plan, measure) + fact_gap_mm +
               std::max(drawn, alike_pitch_mm * static_cast<double>(card.alike.size()));
    if (!plan.lugs.empty())
        drawn = std::max(drawn, plan.plan.bounds.height_mm + 2 - (plan.caption_beside ? head_mm : 0));
    return 2 * pad_mm + std::max(head_height_mm(plan) + drawn, facts_height_mm(card, plan, measure));
}

/// Returns where the next line would stand.
double draw_lines_of_facts(Pen& pen, const StudCard& card, const CardPlan& plan, Point top_left) {
    double y = top_left.y_mm;
    for (std::size_t i = 0; i < plan.facts.size(); ++i)
        y = pen.lines(
                {.at = {top_left.x_mm, y + text_height_mm}, .words = {}},
                wrapped(plan.facts[i], {.width_mm = fact_width_mm(card, i, plan.facts_mm)}, pen.measure())) -
            text_height_mm + fact_gap_mm;
    return y;
}

void draw_facts(Pen& pen, const StudCard& card, const CardPlan& plan, const Box& area) {
    double y = area.y_mm;
    for (const std::string& line : torque_lines(card, area.width_mm, pen.measure())) {
        pen.text({.at = {area.x_mm, y + strong_height_mm},
                  .words = line,
                  .height_mm = strong_height_mm,
                  .weight = Weight::bold});
        y += torque_pitch_mm;
    }
    draw_lines_of_facts(pen, card, plan, {area.x_mm, y});
    pen.box({area.right_mm() - tick_mm, area.y_mm, tick_mm, tick_mm}, {.width_mm = thin_mm});
}

/// A row for each stud, in the middle of the card's height; the first belongs to the card's own element.
void draw_alike(Page& page, Pen& first, const StudCard& card, const Box& area) {
    double y = area.y_mm + (area.height_mm - alike_pitch_mm * static_cast<double>(card.alike.size())) / 2;
    double name = 0;
    for (const AlikeStud& stud : card.alike)
        name = std::max(name, first.width_mm(stud.designation, text_height_mm, Weight::bold));
    for (const AlikeStud& stud : card.alike) {
        Pen own(stud.id, Role::stack, first.measure());
        own.told(stud.designation, stud.desc);
        Pen& pen = stud.id == card.id ? first : own;
        const double line = y + alike_pitch_mm / 2 + text_height_mm / 2, words = area.x_mm + name + 2.5;
        pen.text({.at = {area.x_mm, line}, .words = stud.designation, .weight = Weight::bold});
        pen.text({.at = {words, line},
                  .words = shortened(stud.words, {.width_mm = area.right_mm() - alike_tick_mm - 2 - words},
                                     first.measure())});
        pen.box({area.right_mm() - alike_tick_mm, y + (alike_pitch_mm - alike_tick_mm) / 2, alike_tick_mm,
                 alike_tick_mm},
                {.width_mm = thin_mm});
        if (&pen == &own)
            own.put_on(page);
        y += alike_pitch_mm;
    }
}

/// Between stack and facts, in the middle of what is left, or aside as far as its caption needs it.
void draw_seen_from_above(Pen& pen, const StudCard& card, const CardPlan& plan, const Box& area,
                          const std::string& caption) {
    const Box& bounds = plan.plan.bounds;
    const double caption_mm = pen.width_mm(caption, text_height_mm);
    const double spare = area.width_mm - bounds.width_mm,
                 aside = plan.caption_beside ? std::max(spare / 2, caption_mm + caption_apart_mm) : spare / 2;
    const double head = plan.caption_beside ? 0 : head_height_mm(plan);
    const Point centre{area.x_mm + aside - bounds.x_mm,
                       area.y_mm + head + (area.height_mm - head - bounds.height_mm) / 2 - bounds.y_mm};
    draw_plan(pen, plan.lugs, plan.plan, {.centre = centre, .diameter_mm = card.diameter_mm});
    pen.text({.at = {plan.caption_beside ? area.x_mm + aside - caption_apart_mm - caption_mm
                                         : std::max(area.x_mm, centre.x_mm - caption_mm / 2),
                     area.y_mm + strong_height_mm},
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

void draw_alike_card(Page& page, Pen& pen, const CardOnSheet& what, const Box& inside) {
    const StudCard& card = *what.card;
    pen.text({.at = {inside.right_mm(), inside.y_mm + strong_height_mm},
              .words = card.torque,
              .height_mm = strong_height_mm,
              .weight = Weight::bold,
              .anchor = Anchor::right});
    const double top =
        draw_lines_of_facts(pen, card, what.plan, {inside.x_mm, inside.y_mm + head_height_mm(what.plan)});
    const double tall = inside.bottom_mm() - top;
    draw_stack(pen, card, {inside.x_mm, top, drawn_mm(card), tall},
               {.pitch_mm = what.plan.pitch_mm, .words = {}});
    Page others = blank_page({}, {}, {}); // their elements follow the card's
    draw_alike(others, pen, card, {inside.x_mm + drawn_mm(card) + 2, top, what.plan.words_mm, tall});
    pen.put_on(page);
    std::move(others.elements.begin(), others.elements.end(), std::back_inserter(page.elements));
}

void draw_card(Page& page, const CardOnSheet& what, const Box& place, const StacksContent& content,
               const TextMeasure& measure) {
    const StudCard& card = *what.card;
    const CardPlan& plan = what.plan;
    Pen pen(card.id, Role::stack, measure);
    pen.told(card.designation, card.desc);
    pen.box(place, {.width_mm = rule_mm});
    const Box inside = grown(place, -pad_mm);
    draw_head(pen, card, plan, {inside.x_mm, inside.y_mm});
    if (!card.alike.empty()) {
        draw_alike_card(page, pen, what, inside);
        return;
    }
    const double head = head_height_mm(plan), stack = drawn_mm(card) + plan.words_mm;
    StackLook look{.pitch_mm = plan.pitch_mm, .words = {}};
    for (const StackPlate& plate : card.plates)
        look.words.push_back(plate_lines(plate, plan.words_mm, measure));
    draw_stack(pen, card, {inside.x_mm, inside.y_mm + head, stack, inside.height_mm - head}, look);
    if (!plan.lugs.empty())
        draw_seen_from_above(pen, card, plan,
                             {inside.x_mm + stack + 3, inside.y_mm,
                              seen_from_above_mm(card, plan, inside.width_mm), inside.height_mm},
                             content.plan_caption);
    draw_facts(pen, card, plan,
               {inside.right_mm() - plan.facts_mm, inside.y_mm, plan.facts_mm, inside.height_mm});
    pen.put_on(page);
}

/// Cards side by side: two of single lugs or of studs made alike, or one of several lugs.
struct StackRow {
    std::vector<CardOnSheet> cards;
    double facts_mm = 0; // the widest column that its single lugs leave; 0: it has none
};

class Rows {
  public:
    Rows(const StacksContent& content, double wide_mm, const TextMeasure& measure)
        : content_(&content), measure_(&measure), wide_mm_(wide_mm), half_mm_((wide_mm - card_gap_mm) / 2) {}

    /// A single card that waits for its neighbour lets those of several lugs pass, so that no place stays
    /// empty.
    std::vector<StackRow> all() const {
        std::vector<StackRow> rows;
        StackRow waiting;
        for (const StudCard& card : content_->cards) {
            if (is_several(card)) {
                rows.push_back({.cards = {{&card, several_plan(card, *content_, wide_mm_, *measure_)}}});
                continue;
            }
            if (card.alike.empty()) {
                const double column = facts_column_mm(card, half_mm_, *measure_);
                waiting.facts_mm = waiting.facts_mm > 0 ? std::min(waiting.facts_mm, column) : column;
            }
            waiting.cards.push_back(
                {&card, card.alike.empty() ? CardPlan{} : alike_plan(card, half_mm_, *measure_)});
            if (waiting.cards.size() == 2)
                rows.push_back(std::exchange(waiting, {}));
        }
        if (!waiting.cards.empty())
            rows.push_back(std::move(waiting));
        return rows;
    }
    /// All facts of single lugs on a sheet stand in the column that its broadest lug leaves.
    void set_columns(std::vector<StackRow>& rows) const {
        double column = 0;
        for (const StackRow& row : rows)
            if (row.facts_mm > 0)
                column = column > 0 ? std::min(column, row.facts_mm) : row.facts_mm;
        for (StackRow& row : rows)
            for (CardOnSheet& card : row.cards)
                if (card.card->alike.empty() && !is_several(*card.card))
                    card.plan = single_plan(*card.card, {half_mm_, column}, *measure_);
    }
    double height_mm(const StackRow& row) const {
        double tall = 0;
        for (const CardOnSheet& card : row.cards)
            tall = std::max(tall, card_height_mm(*card.card, card.plan, *measure_));
        return tall;
    }
    double heights_mm(const std::vector<StackRow>& rows) const {
        double tall = rows.empty() ? 0 : -card_gap_mm;
        for (const StackRow& row : rows)
            tall += height_mm(row) + card_gap_mm;
        return tall;
    }
    /// Takes from `rest` what stands on one sheet: a low row may pass a high one that has no room left.
    std::vector<StackRow> sheet(std::vector<StackRow>& rest, double room_mm) const {
        std::vector<StackRow> rows;
        for (std::size_t i = 0; i < rest.size() && i <= most_passed_rows;) {
            std::vector<StackRow> tried = rows;
            tried.push_back(rest[i]);
            set_columns(tried);
            if (heights_mm(tried) > room_mm + 0.001 && !rows.empty()) {
                ++i;
                continue;
            }
            rows = std::move(tried);
            rest.erase(rest.begin() + static_cast<long>(i));
            i = 0;
        }
        return rows;
    }
    void draw(PaperFlow& flow, const StackRow& row) const {
        const double tall = height_mm(row);
        for (std::size_t k = 0; k < row.cards.size(); ++k)
            draw_card(flow.page(), row.cards[k],
                      {flow.content().x_mm + static_cast<double>(k) * (half_mm_ + card_gap_mm), flow.y_mm(),
                       is_several(*row.cards[k].card) ? wide_mm_ : half_mm_, tall},
                      *content_, *measure_);
        flow.advance(tall + card_gap_mm);
    }

  private:
    static bool is_several(const StudCard& card) { return card.alike.empty() && has_fan(card); }
    const StacksContent* content_;
    const TextMeasure* measure_;
    double wide_mm_, half_mm_;
};

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
    const Rows rows(content, flow.content().width_mm, measure);
    std::vector<StackRow> rest = rows.all();
    while (!rest.empty()) {
        if (!flow.fresh())
            flow.new_page();
        for (const StackRow& row : rows.sheet(rest, flow.left_mm()))
            rows.draw(flow, row);
    }
    flow.drop_head();
    // Next to the studs that it is about, where a last sheet of them has room; the long list comes behind.
    for (const TableBlock& table : content.keying)
        flow.table(table);
    if (!content.remarks.empty())
        flow.advance(1.5);
    for (const std::string& remark : content.remarks)
        flow.paragraph(remark);
    for (const TableBlock& table : content.tables)
        flow.table(table);
    return flow.done();
}

} // namespace stoutloom::layout::papers
