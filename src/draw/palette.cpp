// Lightness does the work and hue only helps: feed is dark and filled, return is light and hollow, in every
// palette.
#include "draw/palette.h"

#include <fmt/format.h>

namespace stoutloom::draw {
namespace {
using layout::Paint;

constexpr Colour black{0, 0, 0};
constexpr Colour white{255, 255, 255};

std::optional<Colour> coloured(Paint paint) {
    switch (paint) {
    case Paint::none:
        return std::nullopt;
    case Paint::ink:
        return Colour{0x11, 0x11, 0x11};
    case Paint::grey:
        return Colour{0x5A, 0x5A, 0x5A};
    case Paint::white:
        return white;
    case Paint::feed_core:
        return Colour{0xA6, 0x3A, 0x12};
    case Paint::feed_edge:
        return Colour{0x3E, 0x15, 0x06};
    case Paint::return_core:
        return Colour{0xC9, 0xDC, 0xEB};
    case Paint::return_edge:
        return Colour{0x0B, 0x35, 0x58};
    case Paint::control:
        return Colour{0x4B, 0x4B, 0x4B};
    case Paint::bed:
        return Colour{0xDA, 0xD5, 0xC8};
    case Paint::zone_cool:
        return Colour{0xF4, 0xF7, 0xFA};
    case Paint::zone_mild:
        return Colour{0xFA, 0xF8, 0xF2};
    case Paint::zone_warm:
        return Colour{0xFB, 0xF1, 0xE4};
    case Paint::zone_hot:
        return Colour{0xF9, 0xE6, 0xD8};
    case Paint::flag:
    case Paint::caution_panel:
        return Colour{0xF2, 0xC2, 0x30};
    case Paint::warning_panel:
        return Colour{0xF2, 0x8C, 0x28};
    case Paint::feed_tint:
        return Colour{0xE7, 0xC2, 0xB3};
    case Paint::return_tint:
        return Colour{0xDD, 0xE9, 0xF3};
    }
    return std::nullopt;
}

/// Darkest feed against lightest return without a red-green difference anywhere.
std::optional<Colour> safe(Paint paint) {
    switch (paint) {
    case Paint::feed_core:
        return Colour{0x7A, 0x3B, 0x00};
    case Paint::feed_edge:
        return Colour{0x2A, 0x14, 0x00};
    case Paint::return_core:
        return Colour{0xBF, 0xE0, 0xFF};
    case Paint::return_edge:
        return Colour{0x00, 0x2F, 0x6C};
    case Paint::feed_tint:
        return Colour{0xE3, 0xC8, 0xA8};
    default:
        return coloured(paint);
    }
}

std::optional<Colour> monochrome(Paint paint) {
    switch (paint) {
    case Paint::none:
        return std::nullopt;
    case Paint::ink:
    case Paint::grey:
    case Paint::feed_core:
    case Paint::feed_edge:
    case Paint::return_edge:
    case Paint::control:
        return black;
    default:
        return white;
    }
}
} // namespace

std::optional<Colour> colour_of(Paint paint, Palette palette) {
    switch (palette) {
    case Palette::monochrome:
        return monochrome(paint);
    case Palette::colour_safe:
        return safe(paint);
    case Palette::colour:
        break;
    }
    return coloured(paint);
}

std::string hex(Colour colour) {
    return fmt::format("#{:02X}{:02X}{:02X}", colour.red, colour.green, colour.blue);
}

std::span<const double> dash_pattern(layout::Dash dash) {
    static constexpr std::array<double, 2> dashed{2.0, 1.0};
    static constexpr std::array<double, 4> dash_dot{4.0, 0.8, 0.6, 0.8};
    static constexpr std::array<double, 2> dots{0.35, 1.0};
    static constexpr std::array<double, 2> broken_ring{1.3, 0.8};
    switch (dash) {
    case layout::Dash::solid:
        break;
    case layout::Dash::dashed:
        return dashed;
    case layout::Dash::dash_dot:
        return dash_dot;
    case layout::Dash::dots:
        return dots;
    case layout::Dash::broken_ring:
        return broken_ring;
    }
    return {};
}

double left_edge_mm(const layout::Text& text, double width_mm) {
    switch (text.anchor) {
    case layout::Anchor::left:
        break;
    case layout::Anchor::middle:
        return text.at.x_mm - width_mm / 2;
    case layout::Anchor::right:
        return text.at.x_mm - width_mm;
    }
    return text.at.x_mm;
}

} // namespace stoutloom::draw
