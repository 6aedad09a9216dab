// The hand that draws the papers: lines, boxes, words and hatching of one page element, with its box kept up
// to date.
#pragma once

#include "layout/scene.h"

#include <string>
#include <string_view>
#include <vector>

namespace stoutloom::layout::papers {

/// Capital heights of the papers, mm: captions of the title block, what must be read, what must survive a
/// reduced copy, sheet headings.
constexpr double caption_height_mm = 1.8;
constexpr double text_height_mm = 2.5;
constexpr double strong_height_mm = 3.5;
constexpr double heading_height_mm = 5.0;
constexpr double line_pitch = 1.65; // times the height

/// Line widths, ISO 128 series.
constexpr double hair_mm = 0.18, rule_mm = 0.25, thin_mm = 0.35, medium_mm = 0.5, broad_mm = 0.7;

struct Outline {
    double width_mm = rule_mm;
    Paint fill = Paint::none;
    Paint paint = Paint::ink;
    Dash dash = Dash::solid;
};
struct Words {
    Point at;
    std::string words;
    double height_mm = text_height_mm;
    Weight weight = Weight::regular;
    Anchor anchor = Anchor::left;
    Paint paint = Paint::ink;
};
struct Hatching {
    double pitch_mm = 1.5;
    double width_mm = hair_mm;
    bool falling = false; // from top left to bottom right
};

/// Collects one element. Invariant: `box` of the element holds all that was drawn.
class Pen {
  public:
    Pen(std::string id, Role role, const TextMeasure& measure);

    void told(std::string title, std::string desc);
    void link(std::string page) { element_.link_page = std::move(page); }
    void line(Point from, Point to, double width_mm, Dash dash = Dash::solid, Paint paint = Paint::ink);
    void polygon(const std::vector<Point>& corners, const Outline& outline);
    void polyline(const std::vector<Point>& corners, double width_mm, Paint paint = Paint::ink,
                  Dash dash = Dash::solid);
    void box(const Box& box, const Outline& outline);
    void circle(Point centre, double radius_mm, const Outline& outline);
    void path(std::vector<PathPiece> pieces, bool closed, const Outline& outline);
    /// Lines at 45 degrees inside `area`, none within `spared`.
    void hatch(const Box& area, const Hatching& hatching, const std::vector<Box>& spared = {});
    /// Draws and returns the box of the words.
    Box text(const Words& words);
    /// Lines from `words.at` downwards; returns the baseline that would come next.
    double lines(Words words, const std::vector<std::string>& lines);
    /// A dimension arrow head with its point at `at`; `towards` is +1 or -1 along x.
    void arrow_head(Point at, double towards);

    double width_mm(const std::string& words, double height_mm, Weight weight = Weight::regular) const;
    const TextMeasure& measure() const { return *measure_; }
    Element take() { return std::move(element_); }
    void put_on(Page& page);

  private:
    void grow(const Box& box);
    Element element_;
    bool empty_ = true;
    const TextMeasure* measure_;
};

/// Arc of a circle as curve pieces; angles in radians, clockwise on the page when growing. Begins with a move
/// if asked.
std::vector<PathPiece> arc(Point centre, double radius_mm, double from_rad, double to_rad,
                           bool begin_with_move);

/// The words in lines no wider than `width_mm`. A number never parts from its unit; a word longer than the
/// line goes on in the next, after a mark within it if there is one.
struct Measured {
    double width_mm;
    double height_mm = text_height_mm;
    Weight weight = Weight::regular;
};
std::vector<std::string> wrapped(std::string_view words, const Measured& room, const TextMeasure& measure);
/// Width of the longest piece that a line cannot break.
double longest_piece_mm(std::string_view words, double height_mm, Weight weight, const TextMeasure& measure);
/// The words with soft blanks in place of hard ones if one piece between soft blanks is wider than the line.
std::string soft_where_needed(std::string words, const Measured& room, const TextMeasure& measure);
/// One line that fits: cut with an ellipsis if need be.
std::string shortened(const std::string& words, const Measured& room, const TextMeasure& measure);
/// Height of `count` lines, from the top of the first capital to the last baseline.
double lines_height_mm(std::size_t count, double height_mm);

} // namespace stoutloom::layout::papers
