// Puts placed pages on paper: PDF through Cairo and Pango, SVG as text. One scene, two painters, the same
// picture.
#pragma once

#include "base/outcome.h"
#include "layout/scene.h"

#include <memory>
#include <string>

namespace stoutloom::draw {

enum class Palette { colour, colour_safe, monochrome };

struct PaintFailure {
    std::string message;
};

/// The lettering carried inside the program (condensed sans, regular and bold), measured with Pango.
std::unique_ptr<layout::TextMeasure> lettering();

/// Same document, same bytes. Fonts embedded as subsets, text selectable, outline and links, page labels.
/// Errors: a character the lettering lacks (with its code point), any Cairo status but success.
base::Outcome<std::string, PaintFailure> paint_pdf(const layout::Document& document, Palette palette);
/// One page. Text stays text; groups carry ids, <title> and <desc>.
base::Outcome<std::string, PaintFailure> paint_svg(const layout::Document& document, std::size_t page,
                                                   Palette palette);

} // namespace stoutloom::draw
