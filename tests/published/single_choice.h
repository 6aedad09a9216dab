// A kit with one section to choose, held to what a publication chose.
#pragma once

#include "read/read.h"
#include "size/size.h"

#include <doctest/doctest.h>

#include <string>

namespace stoutloom::published {

/// The only choice is the published section, proven, and the next smaller fails first by the rule named.
inline void check_single_choice(const std::string& kit, const std::string& section,
                                const std::string& binds) {
    const auto got = read::read_text("example.xml", kit);
    REQUIRE(got);
    const auto sizing = size::size_kit(got->harness);
    REQUIRE(sizing);
    CHECK(sizing->proven);
    REQUIRE(sizing->chosen.size() == 1);
    const size::Chosen& chosen = sizing->chosen.front();
    CHECK(chosen.text == section);
    REQUIRE(!chosen.smaller_breaks.empty());
    CHECK(chosen.smaller_breaks.front().rule == binds);
}

} // namespace stoutloom::published
