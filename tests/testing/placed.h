// The pages of a diagram that must find its place.
#pragma once

#include "draw/draw.h"
#include "layout/diagram.h"

#include <doctest/doctest.h>
#include <vector>

namespace stoutloom::testing {

inline std::vector<layout::Page> placed(const layout::DiagramContent& content) {
    const auto measure = draw::lettering();
    auto pages = layout::place_diagram(content, *measure);
    REQUIRE(pages);
    return *pages;
}

} // namespace stoutloom::testing
