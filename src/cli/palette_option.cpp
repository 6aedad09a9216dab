#include "cli/palette_option.h"

namespace stoutloom::cli {

draw::Palette palette_of(const Arguments& arguments) {
    if (arguments.has(mono_option.name))
        return draw::Palette::monochrome;
    return arguments.has(colour_safe_option.name) ? draw::Palette::colour_safe : draw::Palette::colour;
}

} // namespace stoutloom::cli
