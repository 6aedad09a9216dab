// In which colours the drawing commands paint: one table of words for all of them.
#pragma once

#include "cli/arguments.h"
#include "draw/draw.h"

namespace stoutloom::cli {

/// Switches of every command that draws.
constexpr OptionRow mono_option{.name = "--mono", .value = "", .help = "black and white, the same geometry"};
constexpr OptionRow colour_safe_option{
    .name = "--colour-safe",
    .value = "",
    .help = "feed and return in the two colours that eyes of every colour vision tell apart best"};
/// Black and white where both are asked for.
draw::Palette palette_of(const Arguments& arguments);

} // namespace stoutloom::cli
