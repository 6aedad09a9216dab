// A page as plain primitives in millimetres, y downwards from the top left of the sheet. Both painters (Cairo
// for PDF, our own SVG) and the audit tests walk this and nothing else.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace stoutloom::layout {

struct Point {
    double x_mm = 0, y_mm = 0;
};
struct Box {
    double x_mm = 0, y_mm = 0, width_mm = 0, height_mm = 0;
    double right_mm() const { return x_mm + width_mm; }
    double bottom_mm() const { return y_mm + height_mm; }
};
// Inline, both: the searches for ways and free places ask little else.
inline bool overlaps(const Box& a, const Box& b, double clear_mm = 0) {
    return a.x_mm < b.right_mm() + clear_mm && b.x_mm < a.right_mm() + clear_mm &&
           a.y_mm < b.bottom_mm() + clear_mm && b.y_mm < a.bottom_mm() + clear_mm;
}
inline Box grown(const Box& box, double by_mm) {
    return {box.x_mm - by_mm, box.y_mm - by_mm, box.width_mm + 2 * by_mm, box.height_mm + 2 * by_mm};
}

/// Paint by meaning, not by colour: the palette (colour or monochrome) is the painter's.
enum class Paint : std::uint8_t {
    none,
    ink,
    grey,
    white,
    feed_core,
    feed_edge,
    return_core,
    return_edge,
    control,
    bed,
    zone_cool,
    zone_mild,
    zone_warm,
    zone_hot,
    flag,
    warning_panel,
    caution_panel,
    feed_tint,
    return_tint
};
enum class Dash : std::uint8_t { solid, dashed, dash_dot, dots, broken_ring };
enum class Weight : std::uint8_t { regular, bold };
enum class Anchor : std::uint8_t { left, middle, right };

/// Straight or quarter-arc pieces; `closed` joins the end to the start.
struct PathPiece {
    enum class Kind : std::uint8_t {
        move,
        line,
        curve
    } kind = Kind::move; // curve: cubic Bezier via control1, control2
    Point to, control1, control2;
};
struct Stroke {
    Paint paint = Paint::none;
    double width_mm = 0;
    Dash dash = Dash::solid;
    bool round_caps = false;
};
struct Shape {
    std::vector<PathPiece> pieces;
    bool closed = false;
    Paint fill = Paint::none;
    Stroke stroke;
};
struct Text {
    Point at;               // on the baseline
    double height_mm = 2.5; // capital height
    Weight weight = Weight::regular;
    Anchor anchor = Anchor::left;
    Paint paint = Paint::ink;
    std::string words; // UTF-8, one line
    Box box;           // measured ink extents, filled when placed
};

/// What an element is, for the audit: which may overlap which (drawing-language "never overlap" list).
enum class Role : std::uint8_t {
    frame,
    furniture,
    zone,
    cable,
    unit,
    stack,
    bed,
    label,
    balloon,
    gauge,
    flag,
    probe,
    tag,
    panel,
    title,
    rule_line,
    hatch
};
struct Element {
    std::string id;          // the file's id, made unique within the page: "W5", "W5-label"
    std::string title, desc; // for screen readers; desc may be empty
    std::string link_page; // where to jump: id of a page, "#" and the element there if need be; may be empty
    Role role = Role::furniture;
    std::vector<Shape> shapes;
    std::vector<Text> texts;
    Box box; // of everything in it
};
struct Page {
    std::string id, title;    // "diagram", "Harness diagram"
    std::string label;        // page label: "1", "1a"
    std::string content = {}; // what of it: "W5 to W12"; for the outline, empty: the title
    double width_mm = 420, height_mm = 297;
    std::vector<Element> elements; // in painting order = reading order
};
struct Document {
    std::string title, author, subject, language = "en",
                                        date; // date ISO 8601, from the file, never the clock
    std::vector<Page> pages;
};

/// Sizes of text, so that layout needs no font library. Height is the capital height in mm.
class TextMeasure {
  public:
    virtual ~TextMeasure() = default;
    /// Advance width of one line.
    virtual double width_mm(const std::string& words, double height_mm, Weight weight) const = 0;
    /// First code point that the lettering lacks, 0 if none.
    virtual std::uint32_t missing_character(const std::string& words) const = 0;
    /// Bytes at which the words of a script that writes no blanks begin, in order; none from a measure that
    /// knows no such script.
    virtual std::vector<std::size_t> word_starts(const std::string& /*words*/) const { return {}; }
};

} // namespace stoutloom::layout
