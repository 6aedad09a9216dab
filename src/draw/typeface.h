// The lettering that the program carries (two cuts, and three fonts for the scripts that they lack), opened
// with fontconfig and Pango from memory; no font of the machine is ever asked. Private to this room.
#pragma once

#include "layout/scene.h"

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

namespace stoutloom::draw {

/// Name a reader of the SVG asks its machine for.
constexpr const char* typeface_family = "DejaVu Sans Condensed";
/// Height of the letter H over the em square, both cuts: 1493 of 2048 units, read from the font's outlines.
constexpr double capital_height_fraction = 1493.0 / 2048.0;

class Typeface {
  public:
    Typeface();
    ~Typeface();
    Typeface(const Typeface&) = delete;
    Typeface& operator=(const Typeface&) = delete;

    /// False when the machine refused memory or a file for the fonts: nothing can be measured or drawn then.
    bool ready() const;
    double width_mm(const std::string& words, double height_mm, layout::Weight weight) const;
    std::uint32_t missing_character(const std::string& words) const;
    /// Bytes at which a new line may begin after Pango's own look at the words, in order.
    std::vector<std::size_t> word_starts(const std::string& words) const;
    /// Draws one line on a cairo_t whose unit is the millimetre, its baseline starting at (x, y).
    void show(void* cairo, const layout::Text& text, double x_mm, double y_mm) const;

  private:
    struct Parts;
    std::unique_ptr<Parts> parts_;
};

} // namespace stoutloom::draw
