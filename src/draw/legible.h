// A character the lettering lacks is an error with its code point, never an empty box on paper. Private to
// this room.
#pragma once

#include "draw/draw.h"
#include "draw/typeface.h"
#include "layout/scene.h"

#include <optional>

namespace stoutloom::draw {

std::optional<PaintFailure> illegible(const layout::Page& page, const Typeface& face);

} // namespace stoutloom::draw
