#include "unit/papers/paper_audit.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace stoutloom::papers_test {
namespace {

using layout::Box;
using layout::Element;
using layout::Page;
using layout::PathPiece;
using layout::Point;
using layout::Role;
using layout::Shape;
using layout::Text;

/// Everything painted, in painting order.
struct Painted {
    const Element* element = nullptr;
    const Shape* shape = nullptr; // one of the two
    const Text* text = nullptr;
};

std::vector<Painted> painting_order(const Page& page) {
    std::vector<Painted> all;
    for (const Element& element : page.elements) {
        for (const Shape& shape : element.shapes)
            all.push_back({&element, &shape, nullptr});
        for (const Text& text : element.texts)
            all.push_back({&element, nullptr, &text});
    }
    return all;
}

std::vector<std::pair<Point, Point>> segments_of(const Shape& shape) {
    std::vector<std::pair<Point, Point>> segments;
    Point at, start;
    for (const PathPiece& piece : shape.pieces) {
        if (piece.kind == PathPiece::Kind::move)
            start = piece.to;
        else if (piece.kind == PathPiece::Kind::line)
            segments.emplace_back(at, piece.to);
        else {
            constexpr int parts = 12;
            Point before = at;
            for (int i = 1; i <= parts; ++i) {
                const double t = static_cast<double>(i) / parts, u = 1 - t;
                const auto mix = [&](double a, double b, double c, double d) {
                    return u * u * u * a + 3 * u * u * t * b + 3 * u * t * t * c + t * t * t * d;
                };
                const Point next{mix(at.x_mm, piece.control1.x_mm, piece.control2.x_mm, piece.to.x_mm),
                                 mix(at.y_mm, piece.control1.y_mm, piece.control2.y_mm, piece.to.y_mm)};
                segments.emplace_back(before, next);
                before = next;
            }
        }
        at = piece.to;
    }
    if (shape.closed)
        segments.emplace_back(at, start);
    return segments;
}

Box bounds(const Shape& shape) {
    double left = 1e9, top = 1e9, right = -1e9, bottom = -1e9;
    for (const auto& [a, b] : segments_of(shape))
        for (const Point& point : {a, b}) {
            left = std::min(left, point.x_mm);
            right = std::max(right, point.x_mm);
            top = std::min(top, point.y_mm);
            bottom = std::max(bottom, point.y_mm);
        }
    return {left, top, right - left, bottom - top};
}

/// Whether a segment passes through a box (Liang and Barsky).
bool meets(Point a, Point b, const Box& box) {
    double from = 0, to = 1;
    const double dx = b.x_mm - a.x_mm, dy = b.y_mm - a.y_mm;
    const double sides[4][2] = {{-dx, a.x_mm - box.x_mm},
                                {dx, box.right_mm() - a.x_mm},
                                {-dy, a.y_mm - box.y_mm},
                                {dy, box.bottom_mm() - a.y_mm}};
    for (const auto& [p, q] : sides) {
        if (std::abs(p) < 1e-12) {
            if (q < 0)
                return false;
            continue;
        }
        const double t = q / p;
        if (p < 0)
            from = std::max(from, t);
        else
            to = std::min(to, t);
        if (from > to)
            return false;
    }
    return true;
}

bool holds(const Box& outer, const Box& inner) {
    return outer.x_mm <= inner.x_mm && outer.right_mm() >= inner.right_mm() && outer.y_mm <= inner.y_mm &&
           outer.bottom_mm() >= inner.bottom_mm();
}

/// The letters themselves: no line spacing, no descenders.
Box letters(const Text& text) {
    return {text.box.x_mm + 0.15, text.at.y_mm - text.height_mm + 0.1, std::max(0.1, text.box.width_mm - 0.3),
            text.height_mm - 0.2};
}

void check_texts(const Page& page, std::vector<std::string>& found) {
    std::vector<std::pair<const Element*, const Text*>> texts;
    for (const Element& element : page.elements)
        for (const Text& text : element.texts) {
            texts.emplace_back(&element, &text);
            const double least = element.role == Role::title ? 1.8 : 2.5;
            if (text.height_mm < least - 1e-9)
                found.push_back(fmt::format("{}: \"{}\" is {} high", page.id, text.words, text.height_mm));
            if (text.words.find('\n') != std::string::npos)
                found.push_back(fmt::format("{}: a line end within \"{}\"", page.id, text.words));
        }
    for (std::size_t i = 0; i < texts.size(); ++i)
        for (std::size_t k = i + 1; k < texts.size(); ++k)
            if (layout::overlaps(letters(*texts[i].second), letters(*texts[k].second)))
                found.push_back(fmt::format("{}: \"{}\" over \"{}\"", page.id, texts[i].second->words,
                                            texts[k].second->words));
}

void check_lines(const Page& page, std::vector<std::string>& found) {
    const std::vector<Painted> all = painting_order(page);
    for (std::size_t t = 0; t < all.size(); ++t) {
        if (all[t].text == nullptr)
            continue;
        const Box box = letters(*all[t].text);
        // A fill that holds the words hides what was painted before it.
        std::size_t first = 0;
        for (std::size_t i = 0; i < t; ++i)
            if (all[i].shape != nullptr && all[i].shape->closed &&
                all[i].shape->fill != layout::Paint::none && holds(bounds(*all[i].shape), box))
                first = i;
        for (std::size_t i = first; i < all.size(); ++i) {
            const Shape* shape = all[i].shape;
            if (shape == nullptr)
                continue;
            const bool stroked = shape->stroke.paint != layout::Paint::none && shape->stroke.width_mm > 0;
            if (stroked)
                for (const auto& [a, b] : segments_of(*shape))
                    if (meets(a, b, box)) {
                        found.push_back(fmt::format("{}: a line of {} through \"{}\"", page.id,
                                                    all[i].element->id, all[t].text->words));
                        break;
                    }
            if (i > t && shape->closed && shape->fill != layout::Paint::none &&
                layout::overlaps(bounds(*shape), box))
                found.push_back(fmt::format("{}: a fill of {} over \"{}\"", page.id, all[i].element->id,
                                            all[t].text->words));
        }
    }
}

void check_inside(const Page& page, const AuditRules& rules, std::vector<std::string>& found) {
    for (const Element& element : page.elements) {
        if (element.role == Role::frame || element.role == Role::title)
            continue;
        for (const Shape& shape : element.shapes)
            if (!holds(layout::grown(rules.inside, 0.01), bounds(shape)))
                found.push_back(fmt::format("{}: {} leaves the sheet's inside", page.id, element.id));
        for (const Text& text : element.texts)
            if (!holds(layout::grown(rules.inside, 0.01), letters(text)))
                found.push_back(fmt::format("{}: \"{}\" leaves the sheet's inside", page.id, text.words));
    }
}

void check_ids(const Page& page, std::vector<std::string>& found) {
    std::set<std::string> seen;
    for (const Element& element : page.elements)
        if (element.id.empty() || !seen.insert(element.id).second)
            found.push_back(fmt::format("{}: the id \"{}\" is empty or twice", page.id, element.id));
}

} // namespace

std::vector<std::string> complaints(const Page& page, const AuditRules& rules) {
    std::vector<std::string> found;
    check_texts(page, found);
    check_inside(page, rules, found);
    check_ids(page, found);
    check_lines(page, found);
    return found;
}

std::string first_of(const std::vector<std::string>& complaints) {
    std::string words = fmt::format("{} complaints", complaints.size());
    for (std::size_t i = 0; i < std::min<std::size_t>(complaints.size(), 12); ++i)
        words += "\n  " + complaints[i];
    return words;
}

} // namespace stoutloom::papers_test
