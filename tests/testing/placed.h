// The pages of a diagram that must find its place.
#pragma once

#include "draw/draw.h"
#include "layout/diagram.h"
#include "testing/diagram_told.h"

#include <doctest/doctest.h>
#include <vector>

namespace stoutloom::testing {

inline std::vector<layout::Page> placed(const layout::DiagramContent& content) {
    const auto measure = draw::lettering();
    auto pages = layout::place_diagram(content, *measure);
    REQUIRE(pages);
    return *pages;
}

/// Without a complaint of the audit, and nothing left out.
inline std::vector<layout::Page> placed_whole(const layout::DiagramContent& content) {
    std::vector<layout::Page> pages = placed(content);
    for (const layout::Page& page : pages)
        for (const std::string& each : layout::audit(page).complaints)
            FAIL_CHECK(page.label, ": ", each);
    for (const std::string& each : untold(content, pages))
        FAIL_CHECK(each);
    return pages;
}

} // namespace stoutloom::testing
