// One page to SVG, written by ourselves so that text stays text and every group keeps its id, title and
// description.
#include "draw/draw.h"
#include "draw/legible.h"
#include "draw/palette.h"
#include "draw/typeface.h"
#include "layout/direction.h"

#include <cmath>
#include <fmt/format.h>
#include <iterator>
#include <set>

namespace stoutloom::draw {
namespace {
using layout::Element;
using layout::PathPiece;
using layout::Point;
using layout::Shape;
using layout::Text;

std::string escaped(const std::string& words) {
    std::string made;
    for (const char c : words)
        switch (c) {
        case '&':
            made += "&amp;";
            break;
        case '<':
            made += "&lt;";
            break;
        case '>':
            made += "&gt;";
            break;
        case '"':
            made += "&quot;";
            break;
        default:
            made += c;
        }
    return made;
}

/// Thousandths of a millimetre, no trailing zeros, never "-0".
std::string number(double value) {
    std::string made = fmt::format("{:.3f}", value);
    while (made.back() == '0')
        made.pop_back();
    if (made.back() == '.')
        made.pop_back();
    return made == "-0" ? "0" : made;
}

std::string pair(Point point) {
    return number(point.x_mm) + " " + number(point.y_mm);
}

std::string path_data(const Shape& shape) {
    std::string made;
    for (const PathPiece& piece : shape.pieces)
        switch (piece.kind) {
        case PathPiece::Kind::move:
            made += "M" + pair(piece.to);
            break;
        case PathPiece::Kind::line:
            made += "L" + pair(piece.to);
            break;
        case PathPiece::Kind::curve:
            made += "C" + pair(piece.control1) + " " + pair(piece.control2) + " " + pair(piece.to);
            break;
        }
    return shape.closed ? made + "Z" : made;
}

class SvgPainter {
  public:
    SvgPainter(Palette palette) : palette_(palette) {}
    base::Outcome<std::string, PaintFailure> paint(const layout::Document& document,
                                                   const layout::Page& page);

  private:
    Palette palette_;
    Typeface face_;
    std::string out_;
    std::set<std::string> ids_;

    std::string own_id(const std::string& wanted);
    std::string paint_word(layout::Paint paint) const;
    void shape(const Shape& shape);
    void text(const Text& text);
    void element(const Element& element);
};

/// XML names allow no blank, plus sign or such, and an id may stand only once.
std::string SvgPainter::own_id(const std::string& wanted) {
    std::string made;
    for (const char c : wanted) {
        const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                           c == '-' || c == '_' || c == '.';
        if (plain)
            made += c;
        else if (c == '+')
            made += "plus";
        else
            made += fmt::format("_{:02x}", static_cast<unsigned char>(c));
    }
    if (made.empty() || !((made[0] >= 'a' && made[0] <= 'z') || (made[0] >= 'A' && made[0] <= 'Z')))
        made.insert(0, "e");
    std::string candidate = made;
    for (int n = 2; !ids_.insert(candidate).second; ++n)
        candidate = fmt::format("{}-{}", made, n);
    return candidate;
}

std::string SvgPainter::paint_word(layout::Paint paint) const {
    const std::optional<Colour> colour = colour_of(paint, palette_);
    return colour ? hex(*colour) : "none";
}

void SvgPainter::shape(const Shape& shape) {
    out_ += fmt::format("<path d=\"{}\" fill=\"{}\"", path_data(shape), paint_word(shape.fill));
    if (shape.stroke.width_mm > 0 && shape.stroke.paint != layout::Paint::none) {
        out_ += fmt::format(" stroke=\"{}\" stroke-width=\"{}\"", paint_word(shape.stroke.paint),
                            number(shape.stroke.width_mm));
        if (shape.stroke.round_caps)
            out_ += " stroke-linecap=\"round\" stroke-linejoin=\"round\"";
        std::string dashes;
        for (const double length : dash_pattern(shape.stroke.dash))
            dashes += (dashes.empty() ? "" : " ") + number(length);
        if (!dashes.empty())
            out_ += " stroke-dasharray=\"" + dashes + "\"";
    }
    out_ += "/>\n";
}

void SvgPainter::text(const Text& text) {
    // The left edge and the length are told, so that another machine's face cannot move or stretch past its
    // place.
    const double width_mm = face_.width_mm(text.words, text.height_mm, text.weight);
    // A viewer takes every line to run to the right; one that does not is set apart as running to the left,
    // which moves neither its edge nor its length.
    std::string words = escaped(text.words);
    if (layout::direction_of(text.words) < 0)
        words = "&#x2067;" + words + "&#x2069;";
    out_ += fmt::format("<text x=\"{}\" y=\"{}\" font-size=\"{}\"{} fill=\"{}\" textLength=\"{}\" "
                        "lengthAdjust=\"spacingAndGlyphs\">{}</text>\n",
                        number(left_edge_mm(text, width_mm)), number(text.at.y_mm),
                        number(text.height_mm / capital_height_fraction),
                        text.weight == layout::Weight::bold ? " font-weight=\"bold\"" : "",
                        paint_word(text.paint), number(width_mm), words);
}

void SvgPainter::element(const Element& element) {
    out_ += fmt::format("<g id=\"{}\">\n", own_id(element.id));
    if (!element.title.empty())
        out_ += "<title>" + escaped(element.title) + "</title>\n";
    if (!element.desc.empty())
        out_ += "<desc>" + escaped(element.desc) + "</desc>\n";
    for (const Shape& drawn : element.shapes)
        shape(drawn);
    for (const Text& written : element.texts)
        text(written);
    out_ += "</g>\n";
}

base::Outcome<std::string, PaintFailure> SvgPainter::paint(const layout::Document& document,
                                                           const layout::Page& page) {
    if (const auto lacking = illegible(page, face_))
        return base::failure(PaintFailure{*lacking});
    const std::string title_id = own_id("sheet-title");
    const std::string desc_id = own_id("sheet-desc");
    out_ = fmt::format(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
        "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"{0}mm\" height=\"{1}mm\" "
        "viewBox=\"0 0 {0} {1}\" role=\"img\" aria-labelledby=\"{2} {3}\" xml:lang=\"{4}\" "
        "xml:space=\"preserve\" "
        "font-family=\"'{5}', 'DejaVu Sans', 'Liberation Sans Narrow', 'VL Gothic', 'Arundina Sans', "
        "sans-serif\" "
        "font-stretch=\"{6}\">\n",
        number(page.width_mm), number(page.height_mm), title_id, desc_id, escaped(document.language),
        typeface_family, "semi-condensed");
    out_ += fmt::format("<title id=\"{}\">{}</title>\n", title_id,
                        escaped(document.title + ", sheet " + page.label));
    out_ +=
        fmt::format("<desc id=\"{}\">{}</desc>\n", desc_id, escaped(page.title + ". " + document.subject));
    out_ += fmt::format("<rect width=\"{}\" height=\"{}\" fill=\"#FFFFFF\"/>\n", number(page.width_mm),
                        number(page.height_mm));
    for (const Element& drawn : page.elements)
        element(drawn);
    out_ += "</svg>\n";
    return std::move(out_);
}

} // namespace

base::Outcome<std::string, PaintFailure> paint_svg(const layout::Document& document, std::size_t page,
                                                   Palette palette) {
    if (page >= document.pages.size())
        return base::failure(PaintFailure{fmt::format("SVG: the document has no page {}", page + 1)});
    return SvgPainter(palette).paint(document, document.pages[page]);
}

} // namespace stoutloom::draw
