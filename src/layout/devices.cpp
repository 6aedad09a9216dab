// A unit is a plain box with the symbol that every workshop's wiring book uses; a mass is the frame symbol
// made long.
#include "layout/devices.h"

#include "layout/pen.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout {
namespace {
constexpr double symbol_half_mm = 5.6;
constexpr double pad_mm = 2.6;

bool has_symbol(const PlacedUnit& unit) {
    return unit.glyph->symbol != UnitSymbol::post;
}
double text_block_mm(const PlacedUnit& unit) {
    return 3.5 + static_cast<double>(unit.lines.size()) * line_pitch(2.5);
}
} // namespace

void settle_unit(PlacedUnit& unit, const TextMeasure& measure) {
    const UnitGlyph& glyph = *unit.glyph;
    unit.lines.clear();
    // Two lines of the usual width for the name; a longer one makes the box broader, and nothing is cut.
    double widest = 46;
    while (wrapped(measure, glyph.name, widest, {}, 0).size() > 2 && widest < 120)
        widest += 6;
    if (!glyph.name.empty())
        unit.lines = wrapped(measure, glyph.name, widest, {}, 2);
    std::string rest;
    for (const std::string& detail : glyph.details)
        rest += (rest.empty() ? "" : ", ") + detail;
    const std::size_t room = unit.upper ? 3 : 4;
    while (wrapped(measure, rest, widest, {}, 0).size() > room - std::min(unit.lines.size(), room) &&
           widest < 120)
        widest += 6;
    if (!rest.empty() && unit.lines.size() < room)
        for (std::string& each : wrapped(measure, rest, widest, {}, room - unit.lines.size()))
            unit.lines.push_back(std::move(each));
    unit.text_width_mm = measure.width_mm(designation(glyph.id), 3.5, Weight::bold);
    for (const std::string& each : unit.lines)
        unit.text_width_mm = std::max(unit.text_width_mm, measure.width_mm(each, 2.5, Weight::regular));
    // Three lines leave room for the symbol above them; more push it to the side.
    unit.symbol_beside = unit.lines.size() > 2;
}

double unit_height_mm(const PlacedUnit& unit) {
    const double words = text_block_mm(unit) + 2.4;
    if (!has_symbol(unit))
        return words + 4;
    const double symbol = 2 * symbol_half_mm + 3.2;
    return unit.symbol_beside ? std::max(symbol, words + 2.5) : symbol - 0.6 + words;
}

double unit_width_mm(const PlacedUnit& unit) {
    double width = unit.text_width_mm + 2 * pad_mm;
    if (has_symbol(unit) && unit.symbol_beside)
        width += 2 * symbol_half_mm + 3;
    return std::max(snapped(width + 0.5), 26.0);
}

namespace {
void letter_in_circle(Element& to, Point at, const std::string& letter, const TextMeasure& measure) {
    add(to, circle(at, symbol_half_mm, Paint::white, pen(0.5)));
    add(to, written(measure, {at.x_mm, at.y_mm + 1.6}, letter,
                    {.height_mm = 3.5, .weight = Weight::bold, .anchor = Anchor::middle}));
    add(to, line({at.x_mm - 1.6, at.y_mm + 3.2}, {at.x_mm + 1.6, at.y_mm + 3.2}, pen(0.35)));
}

void cell_pair(Element& to, Point at) {
    // Long thin plate positive, short thick plate negative; positive faces the feed side, on the left.
    const double x = at.x_mm;
    const double y = at.y_mm;
    add(to, line({x - 4.6, y - 3.6}, {x - 4.6, y + 3.6}, pen(0.35)));
    add(to, line({x - 2.8, y - 1.9}, {x - 2.8, y + 1.9}, pen(1.0)));
    add(to, line({x - 2.4, y}, {x + 2.4, y}, pen(0.35, Dash::dashed)));
    add(to, line({x + 2.8, y - 3.6}, {x + 2.8, y + 3.6}, pen(0.35)));
    add(to, line({x + 4.6, y - 1.9}, {x + 4.6, y + 1.9}, pen(1.0)));
}

void contact(Element& to, Point at) {
    add(to, line({at.x_mm - 5, at.y_mm}, {at.x_mm - 2.4, at.y_mm}, pen(0.5)));
    add(to, line({at.x_mm - 2.4, at.y_mm}, {at.x_mm + 3, at.y_mm - 3.4}, pen(0.5)));
    add(to, line({at.x_mm + 2.6, at.y_mm}, {at.x_mm + 5, at.y_mm}, pen(0.5)));
}

void draw_symbol(Element& to, UnitSymbol symbol, Point at, const TextMeasure& measure) {
    switch (symbol) {
    case UnitSymbol::battery:
        cell_pair(to, at);
        break;
    case UnitSymbol::generator:
        letter_in_circle(to, at, "G", measure);
        break;
    case UnitSymbol::starter:
    case UnitSymbol::motor:
        letter_in_circle(to, at, "M", measure);
        break;
    case UnitSymbol::lamp: {
        add(to, circle(at, symbol_half_mm - 1, Paint::white, pen(0.5)));
        const double d = (symbol_half_mm - 1) * 0.7071;
        add(to, line({at.x_mm - d, at.y_mm - d}, {at.x_mm + d, at.y_mm + d}, pen(0.35)));
        add(to, line({at.x_mm - d, at.y_mm + d}, {at.x_mm + d, at.y_mm - d}, pen(0.35)));
        break;
    }
    case UnitSymbol::resistor:
    case UnitSymbol::shunt:
        add(to, rectangle({at.x_mm - 5, at.y_mm - 2, 10, 4}, Paint::white, pen(0.5)));
        break;
    case UnitSymbol::electronics:
        add(to, rectangle({at.x_mm - 4.5, at.y_mm - 4.5, 9, 9}, Paint::white, pen(0.5)));
        add(to, line({at.x_mm - 4.5, at.y_mm + 4.5}, {at.x_mm + 4.5, at.y_mm - 4.5}, pen(0.35)));
        break;
    case UnitSymbol::fuse_link:
        add(to, rectangle({at.x_mm - 5, at.y_mm - 2, 10, 4}, Paint::white, pen(0.5)));
        add(to, line({at.x_mm - 7, at.y_mm}, {at.x_mm + 7, at.y_mm}, pen(0.35)));
        break;
    case UnitSymbol::switch_:
        contact(to, at);
        break;
    case UnitSymbol::relay:
        add(to, rectangle({at.x_mm - 5, at.y_mm - 3, 4.4, 6}, Paint::white, pen(0.5)));
        contact(to, {at.x_mm + 5.4, at.y_mm + 1});
        break;
    case UnitSymbol::post:
        break;
    }
}

Point symbol_place(const PlacedUnit& unit) {
    const Box& box = unit.box;
    const double top = box.y_mm + 1.6 + symbol_half_mm;
    if (unit.symbol_beside)
        return {box.x_mm + pad_mm + unit.text_width_mm + 2.5 + symbol_half_mm, box.y_mm + box.height_mm / 2};
    return {box.x_mm + box.width_mm / 2, top};
}

/// Thin inner leads from the studs to the symbol, where nothing written is in their way.
void draw_inner_leads(Element& to, const PlacedUnit& unit, const Arrangement& all, Point symbol) {
    const double reach = unit.glyph->symbol == UnitSymbol::battery ? 4.6 : symbol_half_mm;
    const double words_right = unit.box.x_mm + pad_mm + unit.text_width_mm + 1.2;
    const double words_top = unit.box.bottom_mm() - 2.4 - text_block_mm(unit) - 1;
    for (const std::size_t index : unit.studs) {
        const PlacedStud& stud = all.studs[index];
        const double side = stud.x_mm < symbol.x_mm ? -1 : 1;
        const double edge = symbol.x_mm + side * reach;
        const bool battery = unit.glyph->symbol == UnitSymbol::battery;
        if (battery && stud.glyph->flow == Flow::back && side < 0)
            continue; // a lead to the wrong plate would lie
        if (battery && stud.glyph->flow != Flow::back && side > 0)
            continue;
        if (std::abs(stud.x_mm - symbol.x_mm) < reach + 0.5) {
            if (!stud.hanging && !battery)
                add(to, line({stud.x_mm, unit.box.y_mm},
                             {stud.x_mm,
                              symbol.y_mm - std::sqrt(std::max(
                                                0.0, reach * reach - std::pow(stud.x_mm - symbol.x_mm, 2)))},
                             pen(0.35)));
            continue;
        }
        if (!stud.hanging && symbol.y_mm < words_top)
            add(to, polyline({{stud.x_mm, unit.box.y_mm}, {stud.x_mm, symbol.y_mm}, {edge, symbol.y_mm}},
                             false, Paint::none, pen(0.35)));
        if (stud.hanging && stud.x_mm > words_right && side > 0)
            add(to,
                polyline({{edge, symbol.y_mm}, {stud.x_mm, symbol.y_mm}, {stud.x_mm, unit.box.bottom_mm()}},
                         false, Paint::none, pen(0.35)));
    }
}
} // namespace

std::vector<Box> seat_boxes(const PlacedUnit& unit, const Arrangement& arrangement) {
    if (unit.seat == nowhere)
        return {};
    const PlacedBed& bed = arrangement.beds[unit.seat];
    const double gap = bed.top_mm - unit.box.bottom_mm();
    const double middle = unit.box.x_mm + unit.box.width_mm / 2;
    const double shoulder = std::min(gap, 8.0);
    std::vector<Box> boxes{{middle - 9, unit.box.bottom_mm(), 18, shoulder}};
    if (gap > shoulder)
        boxes.push_back({middle - 3, unit.box.bottom_mm() + shoulder, 6, gap - shoulder});
    return boxes;
}

namespace {
void draw_seat(Element& to, const PlacedUnit& unit, const Arrangement& all, const TextMeasure& measure) {
    const std::vector<Box> boxes = seat_boxes(unit, all);
    if (boxes.empty())
        return;
    const Box& top = boxes.front();
    const double middle = top.x_mm + top.width_mm / 2;
    const double half = boxes.size() > 1 ? 3.0 : 7.0;
    if (boxes.size() > 1)
        add(to, rectangle(boxes[1], Paint::bed, pen(0.35)));
    add(to, polyline({{top.x_mm, top.y_mm},
                      {top.right_mm(), top.y_mm},
                      {middle + half, top.bottom_mm()},
                      {middle - half, top.bottom_mm()}},
                     true, Paint::bed, pen(0.35)));
    add(to, written(measure, {middle, top.y_mm + 4.6}, said(all.content->title, "case"),
                    {.anchor = Anchor::middle}));
}
} // namespace

Element unit_element(const PlacedUnit& unit, const Arrangement& arrangement, const TextMeasure& measure) {
    if (unit.bar != PlacedUnit::Bar::none)
        return bar_element(unit, measure);
    Element made = element(Role::unit, unit.glyph->id);
    made.title = unit.glyph->id + ", " + unit.glyph->name;
    draw_seat(made, unit, arrangement, measure);
    add(made, rectangle(unit.box, Paint::white, pen(0.5)));
    if (has_symbol(unit)) {
        const Point at = symbol_place(unit);
        draw_inner_leads(made, unit, arrangement, at);
        draw_symbol(made, unit.glyph->symbol, at, measure);
    }
    double baseline = unit.box.bottom_mm() - 2.4 - static_cast<double>(unit.lines.size()) * line_pitch(2.5);
    add(made, written(measure, {unit.box.x_mm + pad_mm, baseline}, designation(unit.glyph->id),
                      {.height_mm = 3.5, .weight = Weight::bold}));
    for (const std::string& each : unit.lines) {
        baseline += line_pitch(2.5);
        add(made, written(measure, {unit.box.x_mm + pad_mm, baseline}, each));
    }
    seal(made);
    return made;
}

namespace {
/// A torn end: the metal goes on, on another sheet.
std::vector<Point> bed_outline(const PlacedBed& bed) {
    const Box box = bed.box();
    const double q = box.height_mm / 4;
    std::vector<Point> points{{box.x_mm, box.y_mm}, {box.right_mm(), box.y_mm}};
    if (bed.torn_right)
        for (const auto& [dx, n] : {std::pair{1.6, 1.0}, {-1.6, 2.0}, {1.6, 3.0}})
            points.push_back({box.right_mm() + dx, box.y_mm + n * q});
    points.push_back({box.right_mm(), box.bottom_mm()});
    points.push_back({box.x_mm, box.bottom_mm()});
    if (bed.torn_left)
        for (const auto& [dx, n] : {std::pair{-1.6, 3.0}, {1.6, 2.0}, {-1.6, 1.0}})
            points.push_back({box.x_mm + dx, box.y_mm + n * q});
    return points;
}

std::string bed_rest(const PlacedBed& bed) {
    return bed.glyph->name + (bed.glyph->resistance.empty() ? "" : ", " + bed.glyph->resistance);
}

} // namespace

double bed_words_mm(const PlacedBed& bed, const TextMeasure& measure) {
    double width = 0;
    for (const std::string& each : two_lines(measure, bed_rest(bed)))
        width = std::max(width, measure.width_mm(each, 2.5, Weight::regular));
    return measure.width_mm(designation(bed.glyph->id), 3.5, Weight::bold) + 5 + width;
}

namespace {
/// Words of the bed where no stud's caption stands: the widest free stretch.
void write_bed(Element& to, const PlacedBed& bed, const Arrangement& all, const std::vector<Box>& ways,
               const TextMeasure& measure) {
    std::vector<Box> captions;
    const double base = bed.top_mm + bed.height_mm / 2 + 1.3;
    for (const std::size_t index : bed.studs) {
        const PlacedStud& stud = all.studs[index];
        std::string words = true_minus(stud.glyph->designation);
        if (!stud.glyph->thread.empty())
            words += (words.empty() ? "" : "  ") + stud.glyph->thread;
        Text text =
            written(measure, {stud.x_mm, base}, words, {.weight = Weight::bold, .anchor = Anchor::middle});
        captions.push_back(text.box);
        add(to, std::move(text));
    }
    for (const Box& way : ways)
        if (overlaps(way, bed.box()))
            captions.push_back(way);
    std::sort(captions.begin(), captions.end(), [](const Box& a, const Box& b) { return a.x_mm < b.x_mm; });
    double best_from = bed.left_mm + 2.5;
    double best = 0;
    const std::string name = designation(bed.glyph->id);
    const Lettering bold{.height_mm = 3.5, .weight = Weight::bold};
    const double name_width = measure.width_mm(name, 3.5, Weight::bold);
    const std::string rest = bed_rest(bed);
    // The first stretch from the left that holds the words whole, on one line or two, else the widest; well
    // clear of the studs' captions if there is such a one, so that nobody reads both as one.
    const std::vector<std::string> lines = two_lines(measure, bed_rest(bed));
    const double enough = bed_words_mm(bed, measure);
    captions.push_back({bed.right_mm - 0.5, 0, 0, 0});
    for (const double clear : {9.0, 2.5}) {
        double from = bed.left_mm + 2.5;
        for (const Box& caption : captions) {
            const bool last = &caption == &captions.back();
            const double width = caption.x_mm - (last ? 2.5 : clear) - from;
            if (best < enough && width > best) {
                best = width;
                best_from = from;
            }
            from = std::max(from, caption.right_mm() + clear);
        }
    }
    if (name_width > best)
        return;
    add(to, written(measure, {best_from, base + 0.4}, name, bold));
    const double x = best_from + name_width + 2.5;
    if (best >= name_width + 5 + measure.width_mm(rest, 2.5, Weight::regular))
        add(to, written(measure, {x, base}, rest));
    else if (best >= enough - 1 && lines.size() == 2)
        for (std::size_t i = 0; i < 2; ++i)
            add(to, written(measure, {x, bed.top_mm + (i == 0 ? 4.0 : 7.7)}, lines[i]));
}
} // namespace

Element bed_element(const PlacedBed& bed, const Arrangement& arrangement, const std::vector<Box>& ways,
                    const TextMeasure& measure) {
    Element made = element(Role::bed, bed.glyph->id);
    made.title = bed.glyph->id + ", " + bed.glyph->name;
    add(made, polyline(bed_outline(bed), true, Paint::bed, pen(0.35)));
    const Box box = bed.box();
    add(made, line({box.x_mm, box.y_mm}, {box.right_mm(), box.y_mm}, pen(1.0)));
    Shape strokes{{}, false, Paint::none, pen(0.35)};
    for (double x = box.x_mm + 3; x < box.right_mm() - 0.5; x += 4.4) {
        strokes.pieces.push_back({PathPiece::Kind::move, {x, box.bottom_mm()}, {}, {}});
        strokes.pieces.push_back({PathPiece::Kind::line, {x - 2.1, box.bottom_mm() + 2.1}, {}, {}});
    }
    add(made, std::move(strokes));
    write_bed(made, bed, arrangement, ways, measure);
    seal(made);
    return made;
}

} // namespace stoutloom::layout
