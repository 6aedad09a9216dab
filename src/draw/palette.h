// Paint by meaning to colour. One table for both painters, so that PDF and SVG cannot differ. Private to this
// room.
#pragma once

#include "draw/draw.h"
#include "layout/scene.h"

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>

namespace stoutloom::draw {

struct Colour {
    std::uint8_t red, green, blue;
    bool operator==(const Colour&) const = default;
};

/// Empty where nothing is painted (Paint::none).
std::optional<Colour> colour_of(layout::Paint paint, Palette palette);
std::string hex(Colour colour); // "#A63A12"
/// Pen down, pen up, ... in mm; empty for a solid line.
std::span<const double> dash_pattern(layout::Dash dash);
/// Where the first letter starts.
double left_edge_mm(const layout::Text& text, double width_mm);

} // namespace stoutloom::draw
