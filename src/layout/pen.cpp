// Primitives and text in the drawing language's habits.
#include "layout/pen.h"

#include "layout/direction.h"
#include "layout/line_breaks.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

namespace stoutloom::layout {

Stroke pen(double width_mm, Dash dash, Paint paint) {
    return {paint, width_mm, dash, false};
}

Shape polyline(const std::vector<Point>& points, bool closed, Paint fill, const Stroke& stroke) {
    Shape shape{{}, closed, fill, stroke};
    for (const Point& point : points)
        shape.pieces.push_back(
            {shape.pieces.empty() ? PathPiece::Kind::move : PathPiece::Kind::line, point, {}, {}});
    return shape;
}

Shape rectangle(const Box& box, Paint fill, const Stroke& stroke) {
    return polyline({{box.x_mm, box.y_mm},
                     {box.right_mm(), box.y_mm},
                     {box.right_mm(), box.bottom_mm()},
                     {box.x_mm, box.bottom_mm()}},
                    true, fill, stroke);
}

Shape line(Point from, Point to, const Stroke& stroke) {
    return polyline({from, to}, false, Paint::none, stroke);
}

Shape circle(Point centre, double radius_mm, Paint fill, const Stroke& stroke) {
    // Four cubic arcs; the handle length 0.5523 r keeps within 0.03 % of a circle.
    const double r = radius_mm;
    const double k = 0.5522847498 * r;
    const double x = centre.x_mm;
    const double y = centre.y_mm;
    Shape shape{{}, true, fill, stroke};
    shape.pieces = {{PathPiece::Kind::move, {x + r, y}, {}, {}},
                    {PathPiece::Kind::curve, {x, y + r}, {x + r, y + k}, {x + k, y + r}},
                    {PathPiece::Kind::curve, {x - r, y}, {x - k, y + r}, {x - r, y + k}},
                    {PathPiece::Kind::curve, {x, y - r}, {x - r, y - k}, {x - k, y - r}},
                    {PathPiece::Kind::curve, {x + r, y}, {x + k, y - r}, {x + r, y - k}}};
    return shape;
}

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): units in the names
Shape hatching(const Box& box, double pitch_mm, double width_mm, bool rising) {
    Shape shape{{}, false, Paint::none, pen(width_mm)};
    const double height = box.height_mm;
    for (double start = box.x_mm - height + pitch_mm / 2; start < box.right_mm(); start += pitch_mm) {
        // From (start, low edge) to (start + height, high edge), cut to the box.
        const double from = std::max(start, box.x_mm);
        const double to = std::min(start + height, box.right_mm());
        if (to - from < 0.1)
            continue;
        const double low = box.bottom_mm() - (from - start);
        const double high = box.bottom_mm() - (to - start);
        const double flip = box.y_mm + box.bottom_mm();
        shape.pieces.push_back({PathPiece::Kind::move, {from, rising ? low : flip - low}, {}, {}});
        shape.pieces.push_back({PathPiece::Kind::line, {to, rising ? high : flip - high}, {}, {}});
    }
    return shape;
}

namespace {
bool descends(std::string_view words) {
    return words.find_first_of("gjpqy,;()[]Q/") != std::string_view::npos;
}
} // namespace

Text written(const TextMeasure& measure, Point at, std::string words, const Lettering& lettering) {
    Text text{at, lettering.height_mm, lettering.weight, lettering.anchor, lettering.paint, std::move(words),
              {}};
    const double width = measure.width_mm(text.words, text.height_mm, text.weight);
    double left = at.x_mm;
    if (text.anchor == Anchor::middle)
        left -= width / 2;
    else if (text.anchor == Anchor::right)
        left -= width;
    // Letters do not fill their advance: 6 % of the height is white at each end.
    const double white = std::min(0.06 * text.height_mm, width / 4);
    text.box = {left + white, at.y_mm - text.height_mm, width - 2 * white,
                text.height_mm * (descends(text.words) ? 1.32 : 1.02)};
    return text;
}

Element element(Role role, std::string id) {
    Element made;
    made.role = role;
    made.id = std::move(id);
    return made;
}

void add(Element& to, Shape shape) {
    if (!shape.pieces.empty())
        to.shapes.push_back(std::move(shape));
}
void add(Element& to, Text text) {
    if (!text.words.empty())
        to.texts.push_back(std::move(text));
}

Box cover(const Box& a, const Box& b) {
    const double left = std::min(a.x_mm, b.x_mm);
    const double top = std::min(a.y_mm, b.y_mm);
    return {left, top, std::max(a.right_mm(), b.right_mm()) - left,
            std::max(a.bottom_mm(), b.bottom_mm()) - top};
}

void seal(Element& element) {
    bool first = true;
    const auto take = [&](const Box& box) {
        element.box = first ? box : cover(element.box, box);
        first = false;
    };
    for (const Shape& shape : element.shapes) {
        const double half = shape.stroke.paint == Paint::none ? 0 : shape.stroke.width_mm / 2;
        for (const PathPiece& piece : shape.pieces)
            take(grown({piece.to.x_mm, piece.to.y_mm, 0, 0}, half));
    }
    for (const Text& text : element.texts)
        take(text.box);
}

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): in the order of the track
bool meets_bend(const Box& box, Point before, Point corner, Point after, double radius_mm, double half_mm) {
    const auto towards = [&](Point to) {
        const double dx = to.x_mm - corner.x_mm;
        const double dy = to.y_mm - corner.y_mm;
        return std::abs(dx) > std::abs(dy) ? Point{dx > 0 ? 1.0 : -1.0, 0} : Point{0, dy > 0 ? 1.0 : -1.0};
    };
    const Point one = towards(before);
    const Point two = towards(after);
    const Point centre{corner.x_mm + (one.x_mm + two.x_mm) * radius_mm,
                       corner.y_mm + (one.y_mm + two.y_mm) * radius_mm};
    // The strip widens outwards only: inwards it ends where the straight pieces begin.
    const Point outer{corner.x_mm - (one.x_mm + two.x_mm) * half_mm,
                      corner.y_mm - (one.y_mm + two.y_mm) * half_mm};
    const Box square = box_around(outer, centre);
    if (!overlaps(box, square))
        return false;
    // Inside the square only what stays well within the arc is clear of it.
    const double left = std::max(box.x_mm, square.x_mm);
    const double right = std::min(box.right_mm(), square.right_mm());
    const double top = std::max(box.y_mm, square.y_mm);
    const double bottom = std::min(box.bottom_mm(), square.bottom_mm());
    double farthest = 0;
    for (const double x : {left, right})
        for (const double y : {top, bottom})
            farthest = std::max(farthest, (x - centre.x_mm) * (x - centre.x_mm) +
                                              (y - centre.y_mm) * (y - centre.y_mm));
    const double inner = radius_mm - half_mm;
    return inner < 0 || farthest > inner * inner;
}

std::string true_minus(const std::string& terminal) {
    std::string made = terminal;
    if (!made.empty() && made.back() == '-')
        made.replace(made.size() - 1, 1, "−");
    return made;
}

std::string designation(const std::string& id) {
    return "−" + true_minus(id);
}

namespace {
void drop_last_character(std::string& words) {
    while (!words.empty() && (static_cast<unsigned char>(words.back()) & 0xC0U) == 0x80U)
        words.pop_back();
    if (!words.empty())
        words.pop_back();
}

std::vector<LinePiece> unbreakable_words(const std::string& words, const TextMeasure& measure) {
    std::vector<LinePiece> made;
    std::size_t from = 0;
    while (from < words.size()) {
        std::size_t to = words.find(' ', from);
        if (to == std::string::npos)
            to = words.size();
        bool blank = true;
        for (const std::string& part : parts_of_word(words.substr(from, to - from), Hyphens::hold, measure)) {
            const bool after_number = !made.empty() && blank && !made.back().words.empty() &&
                                      made.back().words.back() >= '0' && made.back().words.back() <= '9';
            if ((after_number && (is_unit(part) || begins_with_counter(part))) ||
                (!made.empty() && blank && is_spaced_mark(part)))
                made.back().words += " " + part;
            else
                made.push_back({.words = part, .blank_before = blank});
            blank = false;
        }
        from = to + 1;
    }
    return made;
}
} // namespace

std::string shortened(const TextMeasure& measure, const std::string& words, double width_mm,
                      const Lettering& lettering) {
    const auto fits = [&](const std::string& tried) {
        return measure.width_mm(tried, lettering.height_mm, lettering.weight) <= width_mm;
    };
    if (fits(words))
        return words;
    std::string kept = words;
    while (!kept.empty() && !fits(kept + "…"))
        drop_last_character(kept);
    while (!kept.empty() && (kept.back() == ' ' || kept.back() == ','))
        kept.pop_back();
    return kept + "…";
}

std::vector<std::string> wrapped(const TextMeasure& measure, const std::string& words, double width_mm,
                                 const Lettering& lettering, std::size_t most) {
    std::vector<std::string> lines;
    std::vector<bool> blank_before; // of each line, for the words that must all go on the last
    for (const LinePiece& piece : unbreakable_words(words, measure)) {
        const std::string longer =
            lines.empty() ? piece.words : lines.back() + (piece.blank_before ? " " : "") + piece.words;
        if (!lines.empty() && measure.width_mm(longer, lettering.height_mm, lettering.weight) <= width_mm)
            lines.back() = longer;
        else {
            lines.push_back(piece.words);
            blank_before.push_back(piece.blank_before);
        }
    }
    if (lines.size() > most && most > 0) {
        for (std::size_t i = most; i < lines.size(); ++i)
            lines[most - 1] += (blank_before[i] ? " " : "") + lines[i];
        lines.resize(most);
    }
    for (std::string& each : lines)
        each = shortened(measure, each, width_mm, lettering);
    keep_direction(lines, words);
    return lines;
}

std::vector<std::string> two_lines(const TextMeasure& measure, const std::string& words) {
    const double whole = measure.width_mm(words, 2.5, Weight::regular);
    for (double width = whole / 2; width < whole; width += 1)
        if (std::vector<std::string> lines = wrapped(measure, words, width, {}, 0);
            lines.size() == 2 && std::all_of(lines.begin(), lines.end(), [&](const std::string& each) {
                return each.find("…") == std::string::npos;
            }))
            return lines;
    return {words};
}

} // namespace stoutloom::layout
