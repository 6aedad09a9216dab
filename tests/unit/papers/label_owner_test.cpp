// Whose a label is: where another cable's balloon stands nearer than its own, it says its number.
#include "draw/draw.h"
#include "report/report.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <map>

using namespace stoutloom;

namespace {
struct Told {
    const layout::Element* label = nullptr;
    layout::Point balloon;
    std::string number;
};

/// By cable, what one page tells of it: read off the elements alone.
std::map<std::string, Told> told_on(const layout::Page& page) {
    std::map<std::string, Told> made;
    for (const layout::Element& each : page.elements) {
        const std::string cable = each.id.substr(0, each.id.rfind('-'));
        if (each.role == layout::Role::label && each.id.ends_with("-label"))
            made[cable].label = &each;
        if (each.role != layout::Role::balloon || each.texts.empty())
            continue;
        const layout::Box& box = each.texts.front().box;
        made[cable].balloon = {box.x_mm + box.width_mm / 2, box.y_mm + box.height_mm / 2};
        made[cable].number = each.texts.front().words;
    }
    return made;
}

double apart(const layout::Box& box, layout::Point from) {
    return std::hypot(std::max({0.0, box.x_mm - from.x_mm, from.x_mm - box.right_mm()}),
                      std::max({0.0, box.y_mm - from.y_mm, from.y_mm - box.bottom_mm()}));
}

/// Cables whose label has another's balloon nearer than its own and does not say whose it is.
std::string doubtful_on(const layout::Page& page) {
    std::string made;
    const auto told = told_on(page);
    for (const auto& each : told) {
        const Told& own = each.second;
        if (own.label == nullptr || own.number.empty() ||
            std::any_of(own.label->texts.begin(), own.label->texts.end(),
                        [&](const layout::Text& text) { return text.words == own.number; }))
            continue;
        if (std::any_of(told.begin(), told.end(), [&](const auto& other) {
                return other.first != each.first && !other.second.number.empty() &&
                       apart(own.label->box, other.second.balloon) + 0.5 < apart(own.label->box, own.balloon);
            }))
            made += page.label + " " + each.first + " ";
    }
    return made;
}
} // namespace

TEST_CASE("a label nearer to another cable's balloon says whose it is") {
    const auto measure = draw::lettering();
    for (const char* name : {"first-kit", "library-van-original", "library-van-planned"}) {
        const auto kit = papers_test::kit_of(testing::tree_path("harnesses/" + std::string(name) + ".xml"));
        const auto pages =
            layout::place_diagram(report::diagram_content(kit->view, layout::Sheet::a3), *measure);
        REQUIRE(pages);
        for (const layout::Page& page : *pages)
            CHECK_MESSAGE(doubtful_on(page).empty(), std::string(name), ": ", doubtful_on(page));
    }
}
