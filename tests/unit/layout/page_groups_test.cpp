// Low drawings share pages: none is lost, none too high, and no two stay alone that a shift would join.
#include "layout/page_groups.h"
#include "testing/testing.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <random>

using namespace stoutloom;

namespace {
constexpr double whole_mm = 233;

double height(const layout::PageGroup& group, const std::vector<double>& least_mm) {
    double sum = -layout::between_decks_mm;
    for (const std::size_t each : group)
        sum += least_mm[each] + layout::between_decks_mm;
    return sum;
}

/// Fewest pages for at most two on each, by trying every way.
std::size_t fewest(const std::vector<double>& least_mm, std::vector<bool>& used) {
    const auto first = static_cast<std::size_t>(std::find(used.begin(), used.end(), false) - used.begin());
    if (first == used.size())
        return 0;
    used[first] = true;
    std::size_t best = 1 + fewest(least_mm, used);
    for (std::size_t k = first + 1; k < used.size(); ++k)
        if (!used[k] && height({first, k}, least_mm) <= whole_mm + 1e-6) {
            used[k] = true;
            best = std::min(best, 1 + fewest(least_mm, used));
            used[k] = false;
        }
    used[first] = false;
    return best;
}
} // namespace

// The first finds none that it fits over among the eight after it, the last is too far from it: the pair
// between them parts.
TEST_CASE("two drawings left alone take each a partner of a pair between them") {
    std::vector<double> least(14, 114.5);
    least[0] = least[10] = 130;
    least[9] = least[13] = 98;
    const auto groups = layout::page_groups(least, whole_mm, {});
    CHECK(groups.size() == 7);
    CHECK(groups.front() == layout::PageGroup{0, 9});
    CHECK(groups[5] == layout::PageGroup{10, 13});
}

TEST_CASE("drawings that could not be drawn together are not put together again") {
    CHECK(layout::page_groups({100, 100}, whole_mm, {}) == std::vector<layout::PageGroup>{{0, 1}});
    CHECK(layout::page_groups({100, 100}, whole_mm, {{0, 1}}) == std::vector<layout::PageGroup>{{0}, {1}});
}

// Heights over a third of the page, so that no page takes three: then the fewest pages are known by trying
// all.
TEST_CASE("every drawing stands on one page and the pages are the fewest") {
    auto random = testing::random_source("page groups");
    std::uniform_real_distribution<double> tall(78, 150);
    for (int kit = 0; kit < 300; ++kit) {
        std::vector<double> least(2 + random() % 8);
        for (double& each : least)
            each = tall(random);
        const auto groups = layout::page_groups(least, whole_mm, {});
        std::vector<int> stands(least.size(), 0);
        for (const layout::PageGroup& group : groups) {
            CHECK((group.size() == 1 || height(group, least) <= whole_mm + 1e-6));
            for (const std::size_t each : group)
                ++stands[each];
        }
        CHECK(std::all_of(stands.begin(), stands.end(), [](int times) { return times == 1; }));
        std::vector<bool> used(least.size(), false);
        CHECK_MESSAGE(groups.size() == fewest(least, used), fmt::format("{}", fmt::join(least, " ")));
    }
}
