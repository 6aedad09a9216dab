// What eyes without one kind of cone make of the colours: the two palettes in colour, as protanopes,
// deuteranopes and tritanopes see them.
#include "draw/palette.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>

using namespace stoutloom;
using draw::Palette;
using layout::Paint;

namespace {

using Triple = std::array<double, 3>;
struct Eye {
    const char* name;
    std::array<Triple, 3> matrix; // of linear sRGB
};
// Machado, Oliveira and Fernandes, "A Physiologically-based Model for Simulation of Color Vision Deficiency",
// IEEE Transactions on Visualization and Computer Graphics 15 (2009) 6, the matrices for severity 1.0; typed
// from memory, and each row must add up to 1 (grey stays grey), which a slip of a digit would not leave so.
constexpr std::array<Eye, 4> eyes = {
    {{"all cones", {{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}}},
     {"protanope",
      {{{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}}}},
     {"deuteranope",
      {{{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}}}},
     {"tritanope",
      {{{1.255528, -0.076749, -0.178779},
        {-0.078411, 0.930809, 0.147602},
        {0.004733, 0.691367, 0.303900}}}}}};

Triple times(const std::array<Triple, 3>& matrix, const Triple& vector) {
    Triple product{};
    for (std::size_t i = 0; i < 3; ++i)
        product[i] = matrix[i][0] * vector[0] + matrix[i][1] * vector[1] + matrix[i][2] * vector[2];
    return product;
}

/// IEC 61966-2-1 to linear light, through the eye, to CIE 1976 L*a*b* under D65 (ISO/CIE 11664-4).
Triple seen(draw::Colour colour, const Eye& eye) {
    const auto linear = [](std::uint8_t channel) {
        const double c = channel / 255.0;
        return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
    };
    Triple light = times(eye.matrix, {linear(colour.red), linear(colour.green), linear(colour.blue)});
    for (double& channel : light)
        channel = std::clamp(channel, 0.0, 1.0);
    const Triple xyz =
        times({{{0.4124, 0.3576, 0.1805}, {0.2126, 0.7152, 0.0722}, {0.0193, 0.1192, 0.9505}}}, light);
    const auto root = [](double t) {
        return t > 216.0 / 24389 ? std::cbrt(t) : (24389.0 / 27 * t + 16) / 116;
    };
    const double x = root(xyz[0] / 0.9505), y = root(xyz[1]), z = root(xyz[2] / 1.089);
    return {116 * y - 16, 500 * (x - y), 200 * (y - z)};
}

Triple seen(Paint paint, Palette palette, const Eye& eye) {
    return seen(draw::colour_of(paint, palette).value(), eye);
}
double apart(const Triple& one, const Triple& other) {
    return std::hypot(one[0] - other[0], one[1] - other[1], one[2] - other[2]);
}

} // namespace

TEST_CASE("the eyes of the test leave grey grey and take red from green") {
    for (const Eye& eye : eyes)
        for (const Triple& row : eye.matrix)
            CHECK(row[0] + row[1] + row[2] == doctest::Approx(1).epsilon(2e-6));
    CHECK(seen(draw::Colour{255, 255, 255}, eyes[0])[0] == doctest::Approx(100).epsilon(0.001));
    // A red and a green that differ strongly for all cones, and hardly in hue for a deuteranope.
    const draw::Colour red{0xC0, 0x60, 0x40}, green{0x60, 0x90, 0x30};
    CHECK(apart(seen(red, eyes[0]), seen(green, eyes[0])) > 55);
    CHECK(apart(seen(red, eyes[2]), seen(green, eyes[2])) < 30);
}

TEST_CASE("feed and return are told apart by lightness alone whatever the eye") {
    for (const Palette palette : {Palette::colour, Palette::colour_safe})
        for (const Eye& eye : eyes) {
            CAPTURE(eye.name);
            const Triple feed = seen(Paint::feed_core, palette, eye),
                         back = seen(Paint::return_core, palette, eye);
            // 40 of the 100 steps between black and white: the difference that a copier keeps as well.
            CHECK(back[0] - feed[0] >= 40);
            CHECK(apart(feed, back) >= 60);
            // A broad line stands out from the paper it lies on by its edge.
            CHECK(seen(Paint::white, palette, eye)[0] - seen(Paint::return_edge, palette, eye)[0] >= 60);
            CHECK(apart(seen(Paint::feed_core, palette, eye), seen(Paint::control, palette, eye)) >= 30);
        }
}

TEST_CASE("in the safe colours no two that carry a meaning fall together") {
    const std::array<Paint, 7> meaning = {Paint::feed_core, Paint::return_core, Paint::control, Paint::bed,
                                          Paint::feed_tint, Paint::return_tint, Paint::white};
    for (const Eye& eye : eyes)
        for (std::size_t i = 0; i < meaning.size(); ++i)
            for (std::size_t k = i + 1; k < meaning.size(); ++k) {
                CAPTURE(eye.name);
                CAPTURE(i);
                CAPTURE(k);
                const bool one_family =
                    (meaning[i] == Paint::return_core && meaning[k] == Paint::return_tint) ||
                    (meaning[i] == Paint::feed_core && meaning[k] == Paint::feed_tint);
                // Four times what is just seen side by side (about 2.3); a tint of its own core may be
                // nearer.
                if (!one_family)
                    CHECK(apart(seen(meaning[i], Palette::colour_safe, eye),
                                seen(meaning[k], Palette::colour_safe, eye)) >= 9.2);
            }
    // The safe palette is the better one where it differs: the least lightness step of feed against return.
    for (const Eye& eye : eyes)
        CHECK(seen(Paint::return_core, Palette::colour_safe, eye)[0] -
                  seen(Paint::feed_core, Palette::colour_safe, eye)[0] >
              seen(Paint::return_core, Palette::colour, eye)[0] -
                  seen(Paint::feed_core, Palette::colour, eye)[0]);
}
