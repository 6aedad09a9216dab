// Which heat-shrink goes on an end: the rule tried out on every size, not asked of the chooser.
#include "physics/heat_shrink.h"
#include "read/read.h"
#include "size/sleeves.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>

using namespace stoutloom;

namespace {

/// The guide's rule in its own words: between the shrunk bore and a tenth, and the bore as sold less a fifth.
bool by_hand(const model::StockSleeve& sleeve, const size::SleeveWanted& wanted) {
    return wanted.thickest_m <= 0.8 * sleeve.expanded_m + 1e-9 &&
           wanted.thinnest_m >= 1.1 * sleeve.recovered_m - 1e-9 && (!wanted.wet || sleeve.lined);
}

model::StockSleeve sleeve(double expanded_mm, double recovered_mm, bool lined,
                          std::optional<double> price = std::nullopt) {
    return {.expanded_m = expanded_mm / 1000,
            .recovered_m = recovered_mm / 1000,
            .lined = lined,
            .ordering = {.code = {}, .price = price}};
}

} // namespace

TEST_CASE("the sleeve chosen fits and no better one was left") {
    auto random = testing::random_source("sleeves");
    std::size_t none = 0, some = 0;
    for (const auto units : {model::UnitSystem::metric, model::UnitSystem::us}) {
        model::Harness harness;
        harness.units = units;
        const auto stock = size::sleeves_of(harness);
        REQUIRE(stock.size() > 12);
        for (int round = 0; round < 2000; ++round) {
            std::uniform_real_distribution<double> cable_mm(2, 45), over(1, 2.4);
            size::SleeveWanted wanted;
            wanted.thinnest_m = cable_mm(random) / 1000;
            wanted.thickest_m = wanted.thinnest_m * over(random);
            wanted.wet = round % 3 == 0;
            const auto chosen = size::sleeve_for(stock, wanted);
            const bool any = std::any_of(stock.begin(), stock.end(),
                                         [&](const auto& one) { return by_hand(one, wanted); });
            REQUIRE(chosen.has_value() == any);
            (any ? some : none)++;
            if (!any)
                continue;
            CHECK(by_hand(*chosen, wanted));
            for (const model::StockSleeve& other : stock)
                if (by_hand(other, wanted)) {
                    CHECK_FALSE((chosen->lined && !other.lined));
                    CHECK_FALSE((chosen->lined == other.lined && other.expanded_m < chosen->expanded_m));
                }
        }
    }
    CHECK(none > 100);
    CHECK(some > 100);
}

TEST_CASE("prices decide between sleeves that fit where each of them has one") {
    const size::SleeveWanted wanted{.thickest_m = 0.0125, .thinnest_m = 0.0100, .wet = false};
    // 16 mm would do, 12 mm does not go on, 25 mm does not grip.
    std::vector<model::StockSleeve> stock = {sleeve(12, 4, true, 0.5), sleeve(25.4, 12.7, false, 0.4),
                                             sleeve(16, 8, false, 3.0), sleeve(24, 8, true, 2.0)};
    CHECK(size::sleeve_for(stock, wanted)->expanded_m == doctest::Approx(0.024));
    stock[3].ordering.price.reset();
    CHECK(size::sleeve_for(stock, wanted)->expanded_m == doctest::Approx(0.016));
    CHECK_FALSE(size::sleeve_for({sleeve(12, 4, true)}, wanted).has_value());
}

TEST_CASE("how much is cut off covers the barrel and the insulation after it has shrunk along") {
    for (const double barrel_mm : {0.0, 10.0, 35.0})
        for (const double cable_mm : {3.0, 12.0, 25.0}) {
            const double cut_m = physics::sleeve_cut_m({barrel_mm / 1000, cable_mm / 1000});
            const double covers_mm = cut_m * 1000 * 0.85;
            CHECK(covers_mm >= barrel_mm + std::max(20.0, 1.5 * cable_mm) - 1e-6);
            CHECK(covers_mm < barrel_mm + std::max(20.0, 1.5 * cable_mm) + 5);
            const double steps = cut_m / 0.005;
            CHECK(std::abs(steps - std::round(steps)) < 1e-6);
        }
}
