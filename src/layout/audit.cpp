// Walks a finished page and nothing else: it knows no plan, so it cannot share the placing's mistakes.
#include "layout/diagram.h"
#include "layout/pen.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace stoutloom::layout {
namespace {

struct Segment {
    Point a, b;
    double half_mm = 0;
    std::size_t element = 0;
};
struct Words {
    const Text* text = nullptr;
    std::size_t element = 0;
    bool shielded = false; // stands on a fill of its own element, which hides what was painted before
};
struct CablePath {
    std::size_t element = 0;
    double half_mm = 0;
    std::vector<Segment> straight;
    struct Bend {
        Point before, corner, after;
        double radius_mm;
    };
    std::vector<Bend> bends;
    Point ends[2];
};
/// A solid thing other things must keep off.
struct Solid {
    Box box;
    std::size_t element = 0;
    bool leg = false; // metal on which a unit stands: a level cable may pass over it, as over a bed
};

Box shape_box(const Shape& shape) {
    Box box{shape.pieces.front().to.x_mm, shape.pieces.front().to.y_mm, 0, 0};
    for (const PathPiece& piece : shape.pieces)
        box = cover(box, {piece.to.x_mm, piece.to.y_mm, 0, 0});
    return box;
}

bool contains(const Box& outer, const Box& inner) {
    return inner.x_mm >= outer.x_mm && inner.right_mm() <= outer.right_mm() && inner.y_mm >= outer.y_mm &&
           inner.bottom_mm() <= outer.bottom_mm();
}

/// Whether the middle of a slanting line goes through the box (Liang and Barsky's clipping).
bool passes(const Segment& segment, const Box& box) {
    double from = 0;
    double to = 1;
    const double dx = segment.b.x_mm - segment.a.x_mm;
    const double dy = segment.b.y_mm - segment.a.y_mm;
    const auto clip = [&](double p, double q) {
        if (std::abs(p) < 1e-12)
            return q >= 0;
        const double at = q / p;
        if (p < 0)
            from = std::max(from, at);
        else
            to = std::min(to, at);
        return from <= to;
    };
    return clip(-dx, segment.a.x_mm - box.x_mm) && clip(dx, box.right_mm() - segment.a.x_mm) &&
           clip(-dy, segment.a.y_mm - box.y_mm) && clip(dy, box.bottom_mm() - segment.a.y_mm);
}

/// Whether a segment of some thickness meets a box.
bool meets(const Segment& segment, const Box& around, double clear_mm) {
    Box strip = box_around(segment.a, segment.b); // lines end square, so only their sides have a width
    if (strip.width_mm < 1e-9 || strip.height_mm < 1e-9) {
        const bool level = strip.height_mm < 1e-9;
        (level ? strip.y_mm : strip.x_mm) -= segment.half_mm;
        (level ? strip.height_mm : strip.width_mm) = 2 * segment.half_mm;
        return overlaps(strip, around, clear_mm);
    }
    // A piece of a bend: nearer to the box than half its width and the clearance, corners as round as it is.
    const double reach_mm = segment.half_mm + clear_mm;
    const auto to_box = [&](Point at) {
        return std::hypot(std::max({around.x_mm - at.x_mm, 0.0, at.x_mm - around.right_mm()}),
                          std::max({around.y_mm - at.y_mm, 0.0, at.y_mm - around.bottom_mm()}));
    };
    const auto to_segment = [&](Point corner) {
        const double dx = segment.b.x_mm - segment.a.x_mm;
        const double dy = segment.b.y_mm - segment.a.y_mm;
        const double along = std::clamp(
            ((corner.x_mm - segment.a.x_mm) * dx + (corner.y_mm - segment.a.y_mm) * dy) / (dx * dx + dy * dy),
            0.0, 1.0);
        return std::hypot(segment.a.x_mm + along * dx - corner.x_mm,
                          segment.a.y_mm + along * dy - corner.y_mm);
    };
    const double nearest =
        std::min({to_box(segment.a), to_box(segment.b), to_segment({around.x_mm, around.y_mm}),
                  to_segment({around.right_mm(), around.y_mm}), to_segment({around.x_mm, around.bottom_mm()}),
                  to_segment({around.right_mm(), around.bottom_mm()})});
    return nearest < reach_mm || passes(segment, grown(around, std::min(reach_mm, 0.0)));
}

Point on_curve(Point from, const PathPiece& piece, double t) {
    const double u = 1 - t;
    const auto mix = [&](double a, double b, double c, double d) {
        return u * u * u * a + 3 * u * u * t * b + 3 * u * t * t * c + t * t * t * d;
    };
    return {mix(from.x_mm, piece.control1.x_mm, piece.control2.x_mm, piece.to.x_mm),
            mix(from.y_mm, piece.control1.y_mm, piece.control2.y_mm, piece.to.y_mm)};
}

void flatten(const Shape& shape, std::size_t element, std::vector<Segment>& into) {
    const double half = shape.stroke.width_mm / 2;
    Point at;
    Point start;
    for (const PathPiece& piece : shape.pieces) {
        if (piece.kind == PathPiece::Kind::move) {
            start = piece.to;
        } else if (piece.kind == PathPiece::Kind::line) {
            into.push_back({at, piece.to, half, element});
        } else {
            Point last = at;
            for (int k = 1; k <= 6; ++k) {
                const Point next = on_curve(at, piece, k / 6.0);
                into.push_back({last, next, half, element});
                last = next;
            }
        }
        at = piece.to;
    }
    if (shape.closed)
        into.push_back({at, start, half, element});
}

class Audit {
  public:
    explicit Audit(const Page& page) : page_(page) { collect(); }
    Quality judge();

  private:
    const Page& page_;
    Quality quality_;
    std::vector<Segment> segments_;
    std::vector<Words> words_;
    std::vector<CablePath> cables_;
    std::vector<Solid> inks_;   // black areas that text must not meet
    std::vector<Solid> solids_; // what cables go round
    std::vector<Solid> notes_;  // balloons, labels, flags, tags, panels: never over each other
    Box frame_;

    void collect();
    void collect_element(const Element& element, std::size_t index);
    void collect_cable(const Element& element, std::size_t index);
    void complain(const std::string& what, std::size_t a, std::size_t b);
    void texts();
    void pairs();
    bool in_list_head(const Solid& note, const Solid& solid) const;
    void cables_and_solids();
    void cables_and_cables();
    void outside();
    bool ends_in(const CablePath& cable, const Box& box) const;
    Role role(std::size_t element) const { return page_.elements[element].role; }
    const std::string& id(std::size_t element) const { return page_.elements[element].id; }
};

void Audit::collect_cable(const Element& element, std::size_t index) {
    if (element.shapes.empty())
        return;
    CablePath cable;
    cable.element = index;
    const Shape& path = element.shapes.front();
    const bool halo = path.stroke.paint == Paint::white;
    cable.half_mm = (path.stroke.width_mm - (halo ? 1.8 : 0)) / 2;
    Point at;
    for (const PathPiece& piece : path.pieces) {
        if (piece.kind == PathPiece::Kind::line &&
            std::hypot(piece.to.x_mm - at.x_mm, piece.to.y_mm - at.y_mm) > 0.01)
            cable.straight.push_back({at, piece.to, cable.half_mm, index});
        if (piece.kind == PathPiece::Kind::curve) {
            const bool level_first =
                std::abs(piece.control1.y_mm - at.y_mm) < std::abs(piece.control1.x_mm - at.x_mm);
            const Point corner = level_first ? Point{piece.to.x_mm, at.y_mm} : Point{at.x_mm, piece.to.y_mm};
            cable.bends.push_back({at, corner, piece.to, std::abs(piece.to.x_mm - at.x_mm)});
            ++quality_.bends;
        }
        quality_.run_length_mm += piece.kind == PathPiece::Kind::move
                                      ? 0
                                      : std::hypot(piece.to.x_mm - at.x_mm, piece.to.y_mm - at.y_mm);
        at = piece.to;
    }
    cable.ends[0] = path.pieces.front().to;
    cable.ends[1] = path.pieces.back().to;
    cables_.push_back(std::move(cable));
}

void Audit::collect_element(const Element& element, std::size_t index) {
    Box flag;
    for (const Shape& shape : element.shapes) {
        if (shape.pieces.empty())
            continue;
        const bool inked = shape.stroke.width_mm > 0 && shape.stroke.paint != Paint::none &&
                           shape.stroke.paint != Paint::white;
        if (inked)
            flatten(shape, index, segments_);
        const Box box = shape_box(shape);
        if (!shape.closed || shape.fill == Paint::none)
            continue;
        if (shape.fill == Paint::ink)
            inks_.push_back({box, index});
        if (element.role == Role::unit || element.role == Role::stack)
            solids_.push_back(
                {box, index,
                 shape.fill == Paint::bed && element.role == Role::unit && box.height_mm > box.width_mm});
        if (element.role == Role::flag && (shape.fill == Paint::flag || shape.fill == Paint::white))
            flag = box;
    }
    switch (element.role) {
    case Role::flag:
        notes_.push_back({flag, index});
        break;
    case Role::balloon:
        for (const Text& text : element.texts) // the ring; a leader may reach beyond it
            notes_.push_back(
                {grown({text.box.x_mm + text.box.width_mm / 2, text.at.y_mm - text.height_mm / 2, 0, 0}, 4),
                 index});
        break;
    case Role::label:
    case Role::tag:
    case Role::panel:
    case Role::title:
        notes_.push_back({element.box, index});
        break;
    default:
        break;
    }
}

void Audit::collect() {
    for (std::size_t i = 0; i < page_.elements.size(); ++i) {
        const Element& element = page_.elements[i];
        collect_element(element, i);
        if (element.role == Role::cable)
            collect_cable(element, i);
        if (element.role == Role::frame)
            for (const Shape& shape : element.shapes)
                if (shape.closed && (frame_.width_mm == 0 || shape_box(shape).width_mm < frame_.width_mm))
                    frame_ = shape_box(shape);
        for (const Text& text : element.texts) {
            const bool shielded =
                std::any_of(element.shapes.begin(), element.shapes.end(), [&](const Shape& shape) {
                    return shape.closed && shape.fill != Paint::none && contains(shape_box(shape), text.box);
                });
            words_.push_back({&text, i, shielded});
        }
    }
}

void Audit::complain(const std::string& what, std::size_t a, std::size_t b) {
    ++quality_.overlaps;
    quality_.complaints.push_back(fmt::format("{}: {} and {}", what, id(a), id(b)));
}

void Audit::texts() {
    for (std::size_t i = 0; i < words_.size(); ++i) {
        const Words& mine = words_[i];
        for (std::size_t k = i + 1; k < words_.size(); ++k)
            if (overlaps(mine.text->box, words_[k].text->box, -0.05))
                complain(fmt::format("text \"{}\" over text \"{}\"", mine.text->words, words_[k].text->words),
                         mine.element, words_[k].element);
        for (const Segment& segment : segments_) {
            if (mine.shielded && segment.element < mine.element)
                continue;
            if (meets(segment, mine.text->box, 0.1)) {
                complain(fmt::format("line through text \"{}\"", mine.text->words), mine.element,
                         segment.element);
                break;
            }
        }
        for (const Solid& ink : inks_)
            if (!(mine.shielded && ink.element < mine.element) && overlaps(ink.box, mine.text->box, -0.02)) {
                complain(fmt::format("text \"{}\" on black", mine.text->words), mine.element, ink.element);
                break;
            }
    }
}

/// A flag in the row that names a part in a list of studs, where it belongs: too low a row for a drawn part.
bool Audit::in_list_head(const Solid& note, const Solid& solid) const {
    constexpr double row_mm = 9;
    return role(note.element) == Role::flag && role(solid.element) == Role::unit &&
           solid.box.height_mm < row_mm && contains(solid.box, note.box);
}

void Audit::pairs() {
    for (std::size_t i = 0; i < notes_.size(); ++i) {
        for (std::size_t k = i + 1; k < notes_.size(); ++k)
            if (overlaps(notes_[i].box, notes_[k].box, -0.05))
                complain("one over the other", notes_[i].element, notes_[k].element);
        for (const Solid& solid : solids_)
            if (overlaps(notes_[i].box, solid.box, -0.05) && !in_list_head(notes_[i], solid))
                complain("note over hardware", notes_[i].element, solid.element);
    }
    for (std::size_t i = 0; i < solids_.size(); ++i)
        for (std::size_t k = i + 1; k < solids_.size(); ++k) {
            const bool stacks =
                role(solids_[i].element) == Role::stack && role(solids_[k].element) == Role::stack;
            const bool units =
                role(solids_[i].element) == Role::unit && role(solids_[k].element) == Role::unit;
            if (solids_[i].element != solids_[k].element && (stacks || units) &&
                overlaps(solids_[i].box, solids_[k].box, -0.05)) {
                complain("hardware over hardware", solids_[i].element, solids_[k].element);
                return;
            }
        }
}

bool Audit::ends_in(const CablePath& cable, const Box& box) const {
    const Box near = grown(box, 4.5);
    return std::any_of(std::begin(cable.ends), std::end(cable.ends), [&](Point end) {
        return end.x_mm >= near.x_mm && end.x_mm <= near.right_mm() && end.y_mm >= near.y_mm &&
               end.y_mm <= near.bottom_mm();
    });
}

void Audit::cables_and_solids() {
    for (const CablePath& cable : cables_) {
        const auto through = [&](const Box& box, bool level_may = false) {
            return std::any_of(cable.straight.begin(), cable.straight.end(),
                               [&](const Segment& segment) {
                                   const bool level = std::abs(segment.a.y_mm - segment.b.y_mm) < 1e-6;
                                   return !(level && level_may) && meets(segment, box, -0.05);
                               }) ||
                   std::any_of(cable.bends.begin(), cable.bends.end(), [&](const CablePath::Bend& bend) {
                       return meets_bend(box, bend.before, bend.corner, bend.after, bend.radius_mm,
                                         cable.half_mm);
                   });
        };
        for (const Solid& solid : solids_)
            if (through(solid.box, solid.leg) &&
                !(role(solid.element) == Role::stack && ends_in(cable, solid.box)))
                complain("cable through hardware", cable.element, solid.element);
        for (const Solid& note : notes_) {
            std::string stem = id(cable.element);
            if (stem.size() > 5 && stem.rfind("-lead") == stem.size() - 5)
                stem.resize(stem.size() - 5);
            const bool own = id(note.element).rfind(stem + "-", 0) == 0;
            const bool flagged = role(note.element) == Role::flag;
            if (!own && through(note.box))
                complain("cable through a note", cable.element, note.element);
            if (own && !flagged && role(note.element) == Role::label && through(note.box))
                complain("cable through its label", cable.element, note.element);
        }
    }
}

void Audit::cables_and_cables() {
    const auto share_stack = [&](const CablePath& a, const CablePath& b) {
        for (const Point& p : a.ends)
            for (const Point& q : b.ends)
                if (std::hypot(p.x_mm - q.x_mm, p.y_mm - q.y_mm) < 26)
                    return true;
        return false;
    };
    for (std::size_t i = 0; i < cables_.size(); ++i)
        for (std::size_t k = i + 1; k < cables_.size(); ++k) {
            const CablePath& a = cables_[i];
            const CablePath& b = cables_[k];
            const double clear = share_stack(a, b) ? 0.6 : 1.5;
            for (const Segment& p : a.straight)
                for (const Segment& q : b.straight) {
                    const Box mine = grown(box_around(p.a, p.b), p.half_mm);
                    const Box its = grown(box_around(q.a, q.b), q.half_mm);
                    if (!overlaps(mine, its, clear))
                        continue;
                    const bool p_level = std::abs(p.a.y_mm - p.b.y_mm) < 1e-6;
                    const bool q_level = std::abs(q.a.y_mm - q.b.y_mm) < 1e-6;
                    if (p_level != q_level && overlaps(box_around(p.a, p.b), box_around(q.a, q.b), 1e-6))
                        ++quality_.crossings;
                    else
                        complain("cable along cable", a.element, b.element);
                }
            const auto in_bend = [&](const CablePath& bent, const CablePath& straight) {
                for (const CablePath::Bend& bend : bent.bends)
                    for (const Segment& segment : straight.straight)
                        if (meets_bend(grown(box_around(segment.a, segment.b), segment.half_mm), bend.before,
                                       bend.corner, bend.after, bend.radius_mm, bent.half_mm))
                            complain("crossing in a bend", bent.element, straight.element);
            };
            in_bend(a, b);
            in_bend(b, a);
        }
}

void Audit::outside() {
    const Box allowed = grown(frame_, 0.05);
    for (std::size_t i = 0; i < page_.elements.size(); ++i) {
        const Element& element = page_.elements[i];
        if (element.role == Role::frame)
            continue;
        bool out = std::any_of(element.texts.begin(), element.texts.end(),
                               [&](const Text& text) { return !contains(frame_, text.box); });
        for (const Shape& shape : element.shapes)
            out = out || (!shape.pieces.empty() && !contains(allowed, shape_box(shape)));
        if (out) {
            ++quality_.outside;
            quality_.complaints.push_back(fmt::format("outside the frame: {}", element.id));
        }
    }
}

Quality Audit::judge() {
    texts();
    pairs();
    cables_and_solids();
    cables_and_cables();
    outside();
    return std::move(quality_);
}

} // namespace

Quality audit(const Page& page) {
    return Audit(page).judge();
}

double untidiness(const std::vector<Page>& pages) {
    // A page is worth some thirty crossings; what misleads outweighs what is only long.
    double sum = 0;
    std::vector<std::string> drawn;
    for (const Page& page : pages) {
        // A sheet of words alone is no part of the drawing.
        sum += page.id.starts_with("diagram-findings") ? 0 : 300;
        const Quality quality = audit(page);
        sum += 1000.0 * (quality.overlaps + quality.outside) + 10.0 * quality.crossings +
               2.0 * quality.bends + 0.05 * quality.run_length_mm;
        for (const Element& each : page.elements) {
            if (each.role == Role::cable)
                drawn.push_back(each.id);
            if (each.id == "cable-list") // a heading and an aside, then a line or more for each cable
                sum += 40.0 * std::max(0.0, static_cast<double>(each.texts.size()) - 2);
        }
    }
    // A cable in two pieces must be followed from tag to tag.
    std::sort(drawn.begin(), drawn.end());
    for (std::size_t i = 1; i < drawn.size(); ++i)
        sum += drawn[i] == drawn[i - 1] ? 30 : 0;
    return sum;
}

} // namespace stoutloom::layout
