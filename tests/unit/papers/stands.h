// Where words stand on placed pages.
#pragma once

#include "layout/scene.h"

#include <string>
#include <vector>

namespace stoutloom::papers_test {

struct Stand {
    std::size_t sheet = 0;
    layout::Text text;
    layout::Point at; // left edge and baseline
};

inline std::vector<Stand> stands(const std::vector<layout::Page>& pages, const std::string& words) {
    std::vector<Stand> found;
    for (std::size_t sheet = 0; sheet < pages.size(); ++sheet)
        for (const layout::Element& element : pages[sheet].elements)
            for (const layout::Text& text : element.texts)
                if (text.words == words)
                    found.push_back({sheet, text, {text.box.x_mm, text.at.y_mm}});
    return found;
}

} // namespace stoutloom::papers_test
