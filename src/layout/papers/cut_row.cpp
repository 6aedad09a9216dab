#include "layout/papers/cut_row.h"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace stoutloom::layout::papers {
namespace {

constexpr double row_mm = 25.4, text_column_mm = 44, break_mm = 3.2, least_insulation_mm = 18,
                 section_pitch_mm = 4.0, length_pitch_mm = 4.7, after_length_mm = 4.1,
                 least_sleeve_span_mm = 11,
                 // clear of the rules above and below; descenders take 0.6 of the lower one
    way_gap_mm = 2, facts_top_mm = 1.3, facts_foot_mm = 1.6;

struct Span {
    double from_mm, to_mm;
    double width_mm() const { return to_mm - from_mm; }
};

/// Measures of one row on paper.
struct RowGeometry {
    Point from_at, to_at;          // reference points of the two ends
    double from_barrel, to_barrel; // room for the barrels
    Span insulation;
    double axis_mm, dimension_mm;
};

double tallest_mm(const CutRow& row) {
    return std::max({row.from.shape.palm_mm, row.to.shape.palm_mm, row.outside_mm});
}

/// From the top of the row to the middle of the cable: room for the dimension, then half the widest lug.
double axis_drop_mm(const CutRow& row) {
    return std::max(14.7, 4.4 + tallest_mm(row) / 2);
}

RowGeometry geometry(const CutRow& row, const RowPlace& place) {
    const CutColumns columns = cut_columns(place.content);
    const double left = columns.drawing_left_mm + overhang_mm(row.from.shape);
    const double right = columns.drawing_right_mm - overhang_mm(row.to.shape);
    double from = row.from.shape.barrel_length_mm, to = row.to.shape.barrel_length_mm;
    const double room =
        right - left - neck_length_mm(row.from.shape) - neck_length_mm(row.to.shape) - least_insulation_mm;
    // Too big for the sheet: palm and hole stay true, the barrels are broken.
    if (from + to > room) {
        from = room * from / (from + to);
        to = room - from;
    }
    const double top = place.top_mm + place.air_mm / 2, axis = top + axis_drop_mm(row);
    return {.from_at = {left, axis},
            .to_at = {right, axis},
            .from_barrel = from,
            .to_barrel = to,
            .insulation = {left + neck_length_mm(row.from.shape) + from,
                           right - neck_length_mm(row.to.shape) - to},
            .axis_mm = axis,
            .dimension_mm = top + 2.9};
}

/// The edge of a cable torn across: a slow S.
std::vector<PathPiece> tear(double x, double top, double bottom, bool begin) {
    const double tall = bottom - top;
    std::vector<PathPiece> pieces;
    pieces.push_back({.kind = begin ? PathPiece::Kind::move : PathPiece::Kind::line,
                      .to = {x, top},
                      .control1 = {},
                      .control2 = {}});
    pieces.push_back({.kind = PathPiece::Kind::curve,
                      .to = {x, bottom},
                      .control1 = {x - 1.6, top + tall * 0.35},
                      .control2 = {x + 1.6, top + tall * 0.65}});
    return pieces;
}

void draw_half(Pen& pen, const CutRow& row, const Span& span, double axis, bool torn_right) {
    const double half = row.outside_mm / 2, top = axis - half, bottom = axis + half;
    const Paint fill = row.outside_mm < 5       ? Paint::white
                       : row.flow == Flow::feed ? Paint::feed_tint
                       : row.flow == Flow::back ? Paint::return_tint
                                                : Paint::white;
    const double torn = torn_right ? span.to_mm : span.from_mm,
                 whole = torn_right ? span.from_mm : span.to_mm;
    std::vector<PathPiece> pieces = tear(torn, top, bottom, true);
    for (const Point& corner : {Point{whole, bottom}, Point{whole, top}})
        pieces.push_back({.kind = PathPiece::Kind::line, .to = corner, .control1 = {}, .control2 = {}});
    pen.path(std::move(pieces), true, {.width_mm = thin_mm, .fill = fill});
    if (!row.braid)
        return;
    for (double x = span.from_mm + 1.5; x < span.to_mm - 1.5; x += 1.5)
        pen.line({x, top}, {x, bottom}, hair_mm);
}

/// Sleeve on the cable with its words, or only the sleeve when the words would not fit it.
bool sleeve_holds(const CutRow& row, const CutEnd& end, const Span& span, const TextMeasure& measure) {
    if (row.outside_mm < 9.8)
        return false;
    const double need = std::max(measure.width_mm(row.id, strong_height_mm, Weight::bold),
                                 measure.width_mm(end.terminal, text_height_mm, Weight::regular)) +
                        3;
    return need + 2.5 <= span.width_mm();
}

/// The insulation on either side of the break.
struct Halves {
    Span left, right;
};
Halves halves_of(const RowGeometry& at) {
    const double middle = (at.insulation.from_mm + at.insulation.to_mm) / 2, gap = break_mm / 2;
    return {.left = {at.insulation.from_mm - 0.2, middle - gap},
            .right = {middle + gap, at.insulation.to_mm + 0.2}};
}

bool sleeves_hold(const CutRow& row, const Halves& halves, const TextMeasure& measure) {
    return sleeve_holds(row, row.from, halves.left, measure) &&
           sleeve_holds(row, row.to, halves.right, measure);
}

void draw_sleeve(Pen& pen, const CutRow& row, const CutEnd& end, const Span& span, double axis) {
    const double width = std::max(pen.width_mm(row.id, strong_height_mm, Weight::bold),
                                  pen.width_mm(end.terminal, text_height_mm)) +
                         3;
    const double middle = (span.from_mm + span.to_mm) / 2, tall = row.outside_mm + 0.7;
    pen.box({middle - width / 2, axis - tall / 2, width, tall}, {.width_mm = thin_mm, .fill = Paint::white});
    pen.text({.at = {middle, axis - 0.5},
              .words = row.id,
              .height_mm = strong_height_mm,
              .weight = Weight::bold,
              .anchor = Anchor::middle});
    pen.text({.at = {middle, axis + 4.1}, .words = end.terminal, .anchor = Anchor::middle});
}

void draw_bare_sleeve(Pen& pen, const CutRow& row, const Span& span, double axis) {
    if (span.width_mm() < least_sleeve_span_mm)
        return;
    const double width = std::min(10.0, span.width_mm() * 0.5), tall = row.outside_mm + 0.8;
    pen.box({(span.from_mm + span.to_mm - width) / 2, axis - tall / 2, width, tall},
            {.width_mm = thin_mm, .fill = Paint::white});
}

/// Words may begin under a narrow palm; a wide one reaches too far down.
bool below_palm(const CutEnd& end) {
    return end.shape.palm_mm <= 15;
}

/// Room in the neck for the thread, between the end of the hole's centre line and the barrel.
Span thread_room(const CutEnd& end) {
    return {end.shape.hole_mm / 2 + 2.2, neck_length_mm(end.shape) - 0.9};
}
bool thread_fits(const CutEnd& end, const TextMeasure& measure) {
    if (end.shape.kind != EndKind::ring || end.shape.palm_mm < 12)
        return false;
    return measure.width_mm(end.size, strong_height_mm, Weight::bold) <= thread_room(end).width_mm();
}

void draw_thread(Pen& pen, const CutEnd& end, const EndPlace& place) {
    const auto [from, to] = thread_room(end);
    const double middle = place.at.x_mm + place.inward * (from + to) / 2;
    pen.text({.at = {middle, place.at.y_mm + strong_height_mm / 2},
              .words = end.size,
              .height_mm = strong_height_mm,
              .weight = Weight::bold,
              .anchor = Anchor::middle});
}

void draw_dimension(Pen& pen, const CutRow& row, const RowGeometry& at) {
    const double strong = pen.width_mm(row.between, strong_height_mm, Weight::bold);
    const std::string other = row.between_other.empty() ? "" : "(" + row.between_other + ")";
    const double extra = other.empty() ? 0 : 2 + pen.width_mm(other, text_height_mm);
    const double width = strong + extra, middle = (at.from_at.x_mm + at.to_at.x_mm) / 2, y = at.dimension_mm;
    pen.text({.at = {middle - width / 2, y + strong_height_mm / 2},
              .words = row.between,
              .height_mm = strong_height_mm,
              .weight = Weight::bold});
    if (!other.empty())
        pen.text(
            {.at = {middle + width / 2, y + strong_height_mm / 2}, .words = other, .anchor = Anchor::right});
    const double gap = width / 2 + 1.6;
    pen.line({at.from_at.x_mm, y}, {middle - gap, y}, rule_mm);
    pen.line({middle + gap, y}, {at.to_at.x_mm, y}, rule_mm);
    pen.arrow_head({at.from_at.x_mm, y}, -1);
    pen.arrow_head({at.to_at.x_mm, y}, 1);
    for (const auto& [end, point] : {std::pair{&row.from, at.from_at}, std::pair{&row.to, at.to_at}}) {
        const bool hole = end->shape.kind == EndKind::ring || end->shape.kind == EndKind::post_clamp;
        pen.line({point.x_mm, y - 1.4}, {point.x_mm, point.y_mm + (hole ? end->shape.hole_mm / 2 + 1.2 : 0)},
                 hair_mm);
    }
}

std::string strong_words(const CutRow& row) {
    return row.section + "  " + row.colour;
}

/// Whether there is room for the way of the current after section and colour; it stands under them otherwise.
bool way_beside(const CutRow& row, const TextMeasure& measure) {
    return measure.width_mm(strong_words(row), strong_height_mm, Weight::bold) + way_gap_mm +
               measure.width_mm(row.way, text_height_mm, Weight::regular) <=
           text_column_mm;
}

std::vector<std::string> detail_lines(const CutRow& row, const TextMeasure& measure) {
    std::vector<std::string> lines;
    // The first stands above the length; the other system's length directly below it.
    std::vector<std::string> details = row.details;
    if (!row.cut_other.empty())
        details.insert(details.begin() + std::min<long>(1, static_cast<long>(details.size())), row.cut_other);
    if (!row.way.empty() && !way_beside(row, measure))
        details.push_back(row.way);
    for (const std::string& detail : details)
        for (const std::string& line : wrapped(detail, {.width_mm = text_column_mm}, measure))
            lines.push_back(line);
    return lines;
}

/// From the first baseline of the facts to the last one.
double facts_tail_mm(std::size_t details) {
    return section_pitch_mm + length_pitch_mm +
           (details < 2 ? 0
                        : after_length_mm + line_pitch * text_height_mm * static_cast<double>(details - 2));
}

void draw_facts(Pen& pen, const CutRow& row, const CutColumns& columns, const RowPlace& place) {
    const double room = columns.text_right_mm - columns.text_mm;
    // Level with the cable, or higher where the last lines would pass the foot of the row.
    const double tail = facts_tail_mm(detail_lines(row, pen.measure()).size());
    double y = place.top_mm + place.air_mm / 2 +
               std::min(axis_drop_mm(row) - 8.3, place.height_mm - place.air_mm - facts_foot_mm - tail);
    const auto strong = [&](const std::string& words) {
        const Measured measured{.width_mm = room, .height_mm = strong_height_mm, .weight = Weight::bold};
        pen.text({.at = {columns.text_mm, y},
                  .words = shortened(words, measured, pen.measure()),
                  .height_mm = strong_height_mm,
                  .weight = Weight::bold});
    };
    const std::string what = strong_words(row);
    strong(what);
    if (!row.way.empty() && way_beside(row, pen.measure()))
        pen.text(
            {.at = {columns.text_mm + pen.width_mm(what, strong_height_mm, Weight::bold) + way_gap_mm, y},
             .words = row.way});
    const std::vector<std::string> details = detail_lines(row, pen.measure());
    // One line of details above the length, the rest below it: what is cut stands in the middle.
    y += section_pitch_mm;
    if (!details.empty())
        pen.text({.at = {columns.text_mm, y}, .words = details.front()});
    y += length_pitch_mm;
    // A length is not shortened: smaller letters instead, then plain ones.
    Measured style{.width_mm = room, .height_mm = strong_height_mm, .weight = Weight::bold};
    const auto fits = [&] { return pen.width_mm(row.cut, style.height_mm, style.weight) <= room; };
    if (!fits())
        style.height_mm = text_height_mm;
    if (!fits())
        style.weight = Weight::regular;
    pen.text(
        {.at = {columns.text_mm, y}, .words = row.cut, .height_mm = style.height_mm, .weight = style.weight});
    y += after_length_mm;
    for (std::size_t i = 1; i < details.size(); ++i, y += line_pitch * text_height_mm)
        pen.text({.at = {columns.text_mm, y}, .words = details[i]});
}

void draw_frame_of_row(Pen& pen, const CutRow& row, const CutColumns& columns, const RowPlace& place,
                       double axis) {
    pen.circle({columns.balloon_mm, axis}, 4, {.width_mm = medium_mm, .fill = Paint::white});
    const bool small = pen.width_mm(row.number, strong_height_mm, Weight::bold) > 6.6;
    const double height = small ? text_height_mm : strong_height_mm;
    pen.text({.at = {columns.balloon_mm, axis + height / 2},
              .words = row.number,
              .height_mm = height,
              .weight = Weight::bold,
              .anchor = Anchor::middle});
    for (const double centre : columns.box_centre_mm)
        pen.box({centre - box_side_mm / 2, axis - box_side_mm / 2, box_side_mm, box_side_mm},
                {.width_mm = thin_mm});
    const double foot = place.top_mm + place.height_mm;
    pen.line({place.content.x_mm, foot}, {place.content.right_mm(), foot}, rule_mm);
}

} // namespace

CutColumns cut_columns(const Box& content) {
    CutColumns columns{};
    columns.balloon_mm = content.x_mm + 5.5;
    columns.drawing_left_mm = content.x_mm + 13;
    for (std::size_t i = 0; i < 4; ++i)
        columns.box_centre_mm[i] = content.right_mm() - 4.6 - box_pitch_mm * static_cast<double>(3 - i);
    columns.text_right_mm = columns.box_centre_mm[0] - box_side_mm / 2 - 2;
    columns.text_mm = columns.text_right_mm - text_column_mm;
    columns.drawing_right_mm = columns.text_mm - 4;
    return columns;
}

namespace {

/// Words under the cable: what does not fit on it.
struct BelowWords {
    std::string words;
    double from_mm = 0, to_mm = 0; // from left to right
    bool upper = false;            // on the first of two lines
};
struct Below {
    std::vector<BelowWords> all;
    bool two_lines = false;
};

double bold_mm(const std::string& words, const TextMeasure& measure) {
    return measure.width_mm(words, text_height_mm, Weight::bold);
}

/// All words of an end in one piece, from its outermost edge or from the neck inwards.
BelowWords in_one_piece(const CutEnd& end, const std::string& words, Point at, double inward,
                        const TextMeasure& measure) {
    const double along = below_palm(end) ? -overhang_mm(end.shape) : neck_length_mm(end.shape);
    const double edge = at.x_mm + inward * along, other = edge + inward * bold_mm(words, measure);
    return {.words = words, .from_mm = std::min(edge, other), .to_mm = std::max(edge, other)};
}

/// The thread under its hole, or under the neck of a wide palm; the sleeve's words under the sleeve. Nothing
/// where they would come too near to each other.
std::vector<BelowWords> in_place(const CutEnd& end, const std::string& sleeve, const Halves& halves, Point at,
                                 double inward, const TextMeasure& measure) {
    constexpr double apart_mm = 3;
    std::vector<BelowWords> placed;
    const Span& span = inward > 0 ? halves.left : halves.right;
    const double middle = (halves.left.to_mm + halves.right.from_mm) / 2;
    double clear = at.x_mm + inward * (below_palm(end) ? -overhang_mm(end.shape) : neck_length_mm(end.shape));
    if (!thread_fits(end, measure)) {
        const double wide = bold_mm(end.size, measure);
        const double inner = below_palm(end)
                                 ? std::max(at.x_mm * inward + wide / 2, clear * inward + wide) * inward
                                 : clear + inward * wide;
        placed.push_back({.words = end.size,
                          .from_mm = std::min(inner, inner - inward * wide),
                          .to_mm = std::max(inner, inner - inward * wide)});
        clear = inner + inward * apart_mm;
    }
    if (sleeve.empty())
        return placed;
    const double wide = bold_mm(sleeve, measure);
    double centre = (span.from_mm + span.to_mm) / 2;
    // Not over the break: there the other end's words begin.
    centre = inward > 0 ? std::min(centre, middle - apart_mm / 2 - wide / 2)
                        : std::max(centre, middle + apart_mm / 2 + wide / 2);
    if ((centre - inward * wide / 2 - clear) * inward < 0)
        return {};
    placed.push_back({.words = sleeve, .from_mm = centre - wide / 2, .to_mm = centre + wide / 2});
    return placed;
}

Below below(const CutRow& row, const RowGeometry& at, bool on_cable, const TextMeasure& measure) {
    const Halves halves = halves_of(at);
    Below words;
    std::vector<BelowWords> whole; // each end's words in one piece
    bool near = true;
    for (const auto& [end, point, inward] :
         {std::tuple{&row.from, at.from_at, 1.0}, std::tuple{&row.to, at.to_at, -1.0}}) {
        const std::string sleeve = on_cable ? std::string() : row.id + "  " + end->terminal;
        std::string all = sleeve;
        if (!thread_fits(*end, measure))
            all += (all.empty() ? "" : "  ") + end->size;
        if (all.empty())
            continue;
        whole.push_back(in_one_piece(*end, all, point, inward, measure));
        // A cable without a drawn sleeve has its words beside the lug.
        const Span& span = inward > 0 ? halves.left : halves.right;
        const auto placed = sleeve.empty() || span.width_mm() >= least_sleeve_span_mm
                                ? in_place(*end, sleeve, halves, point, inward, measure)
                                : std::vector<BelowWords>{};
        near = near && !placed.empty();
        words.all.insert(words.all.end(), placed.begin(), placed.end());
    }
    if (near)
        return words;
    words.all = std::move(whole);
    words.two_lines = words.all.size() == 2 && words.all[0].to_mm + 4 > words.all[1].from_mm;
    if (words.two_lines)
        words.all[0].upper = true;
    return words;
}

/// From the middle of the cable to the edge that the words under it keep clear of: the barrels; a wide palm
/// only when they may run under it.
double over_words_mm(const CutRow& row, const Below& words) {
    double clear =
        std::max({row.from.shape.barrel_mm / 2, row.to.shape.barrel_mm / 2, row.outside_mm / 2 + 0.4});
    for (const CutEnd* end : {&row.from, &row.to})
        if (words.two_lines || below_palm(*end))
            clear = std::max(clear, end->shape.palm_mm / 2);
    return clear;
}

} // namespace

double cut_row_height_mm(const CutRow& row, const Box& content, const TextMeasure& measure) {
    const double axis = axis_drop_mm(row);
    double height = std::max(row_mm, axis + tallest_mm(row) / 2 + 0.8);
    height = std::max(height, facts_top_mm + facts_foot_mm + strong_height_mm +
                                  facts_tail_mm(detail_lines(row, measure).size()));
    const RowGeometry at = geometry(row, {.content = content, .top_mm = 0, .height_mm = height});
    const Below words = below(row, at, sleeves_hold(row, halves_of(at), measure), measure);
    if (words.all.empty())
        return height;
    height = std::max(height, axis + over_words_mm(row, words) + 5.4 +
                                  (words.two_lines ? line_pitch * text_height_mm : 0));
    return height;
}

namespace {

struct Side {
    const CutEnd* end;
    EndPlace place;
    Span span;
};

/// Marker sleeve and thread: on the cable where they fit, in words under it where they do not.
void draw_marking(Pen& pen, const CutRow& row, const Side& side, bool on_cable) {
    const CutEnd& end = *side.end;
    if (on_cable)
        draw_sleeve(pen, row, end, side.span, side.place.at.y_mm);
    else
        draw_bare_sleeve(pen, row, side.span, side.place.at.y_mm);
    if (thread_fits(end, pen.measure()))
        draw_thread(pen, end, side.place);
}

} // namespace

void draw_cut_row(Page& page, const RowPlace& place, const CutRow& row, const TextMeasure& measure) {
    Pen pen(row.id, Role::rule_line, measure);
    pen.told(row.title, row.desc);
    const CutColumns columns = cut_columns(place.content);
    const RowGeometry at = geometry(row, place);
    draw_frame_of_row(pen, row, columns, place, at.axis_mm);
    draw_facts(pen, row, columns, place);
    const Halves halves = halves_of(at);
    draw_half(pen, row, halves.left, at.axis_mm, true);
    draw_half(pen, row, halves.right, at.axis_mm, false);
    const Side from{.end = &row.from,
                    .place = {.at = at.from_at, .inward = 1, .barrel_room_mm = at.from_barrel},
                    .span = halves.left};
    const Side to{.end = &row.to,
                  .place = {.at = at.to_at, .inward = -1, .barrel_room_mm = at.to_barrel},
                  .span = halves.right};
    draw_dimension(pen, row, at);
    const bool on_cable = sleeves_hold(row, halves, measure);
    for (const Side& side : {from, to}) {
        draw_end(pen, side.end->shape, side.place);
        draw_marking(pen, row, side, on_cable);
    }
    const Below words = below(row, at, on_cable, measure);
    const double first = at.axis_mm + over_words_mm(row, words) + 4.2;
    for (const BelowWords& one : words.all)
        pen.text(
            {.at = {one.from_mm, words.two_lines && !one.upper ? first + line_pitch * text_height_mm : first},
             .words = one.words,
             .weight = Weight::bold});
    pen.put_on(page);
}

} // namespace stoutloom::layout::papers
