// The fan of lugs seen from above: barrels as rectangles, tried against each other by separating lines.
#include "draw/draw.h"
#include "layout/papers/lug_plan.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <numbers>

using namespace stoutloom;
using namespace stoutloom::layout;
using namespace stoutloom::layout::papers;

namespace {

FanLug lug(double hole_mm, double palm_mm, double barrel_mm, int towards) {
    return {.end = {.hole_mm = hole_mm, .palm_mm = palm_mm, .barrel_mm = barrel_mm, .barrel_length_mm = 30},
            .outside_mm = barrel_mm - 1,
            .words = "1  W1",
            .towards = towards};
}

using Corners = std::array<Point, 4>;
/// The barrel and what follows it, at true size about the stud's middle.
Corners barrel(const FanLug& lug, double angle_deg) {
    const EndPlace place{.at = {0, 0}, .turn_rad = angle_deg * std::numbers::pi / 180};
    const double from = neck_length_mm(lug.end), half = lug.end.barrel_mm / 2;
    return {point_on_end(place, from, -half), point_on_end(place, from + 80, -half),
            point_on_end(place, from + 80, half), point_on_end(place, from, half)};
}

/// The gap along the best of the four edge directions; negative: they meet.
double gap_mm(const Corners& one, const Corners& other) {
    double best = -1e9;
    for (const Corners* shape : {&one, &other})
        for (std::size_t i = 0; i < 4; ++i) {
            const Point a = (*shape)[i], b = (*shape)[(i + 1) % 4];
            const double long_mm = std::hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm);
            const double nx = (b.y_mm - a.y_mm) / long_mm, ny = -(b.x_mm - a.x_mm) / long_mm;
            const auto span = [&](const Corners& corners) {
                std::pair<double, double> reach{1e9, -1e9};
                for (const Point& point : corners) {
                    const double at = point.x_mm * nx + point.y_mm * ny;
                    reach = {std::min(reach.first, at), std::max(reach.second, at)};
                }
                return reach;
            };
            const auto p = span(one), q = span(other);
            best = std::max({best, q.first - p.second, p.first - q.second});
        }
    return best;
}

double least_gap_mm(const std::vector<FanLug>& lugs, const Fan& fan) {
    double least = 1e9;
    for (std::size_t i = 0; i < lugs.size(); ++i)
        for (std::size_t k = i + 1; k < lugs.size(); ++k)
            least =
                std::min(least, gap_mm(barrel(lugs[i], fan.angle_deg[i]), barrel(lugs[k], fan.angle_deg[k])));
    return least;
}

} // namespace

TEST_CASE("no two barrels of a fan that clears meet and angles are steps of five degrees") {
    auto random = testing::random_source("fans of lugs");
    const auto between = [&](double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(random);
    };
    int clear = 0, crowded = 0;
    for (int round = 0; round < 400; ++round) {
        std::vector<FanLug> lugs;
        const int count = std::uniform_int_distribution<int>(2, 9)(random);
        for (int i = 0; i < count; ++i) {
            const double barrel_mm = between(3, 24);
            lugs.push_back(lug(between(5, 13), barrel_mm * between(1.1, 1.8) + 4, barrel_mm,
                               std::uniform_int_distribution<int>(0, 4)(random)));
        }
        const Fan fan = fan_of(lugs);
        (fan.clears ? clear : crowded) += 1;
        if (!fan.clears) {
            // What is told as not clearing cannot clear in this order: neighbours at their least angles go
            // round the stud, or the two ends of the row meet.
            CHECK(fan.gaps.empty());
            CHECK(least_gap_mm(lugs, fan) < 0.99);
            continue;
        }
        CHECK(least_gap_mm(lugs, fan) > 0.99);
        CHECK(fan.gaps.size() == lugs.size() - 1);
        for (const Fan::Gap& gap : fan.gaps) {
            CHECK(gap.degrees % 5 == 0);
            CHECK(fan.angle_deg[gap.left] - fan.angle_deg[gap.right] == doctest::Approx(gap.degrees));
            CHECK(lugs[gap.left].towards <= lugs[gap.right].towards);
            // And five degrees less than the least would bring the two nearer than the clearance.
            const int least = least_angle_deg(lugs[gap.left], lugs[gap.right]);
            CHECK(gap.degrees >= least);
            CHECK(gap_mm(barrel(lugs[gap.left], least), barrel(lugs[gap.right], 0)) > 0.99);
            CHECK(gap_mm(barrel(lugs[gap.left], least - 5.0), barrel(lugs[gap.right], 0)) < 1.01);
        }
    }
    CHECK(clear > 50);
    CHECK(crowded > 20);
}

TEST_CASE("the lugs of a fuse-link's stud lie opposite to its tab") {
    const FanLug tab{.end = {.hole_mm = 5.3, .palm_mm = 12}, .outside_mm = 0, .words = {}};
    const Fan one = fan_of({tab, lug(5.3, 11, 6, 0)});
    CHECK(one.angle_deg[0] == doctest::Approx(270));
    CHECK(one.angle_deg[1] == doctest::Approx(90));
    const Fan two = fan_of({lug(5.3, 11, 6, 1), tab, lug(5.3, 11, 6, 0)});
    CHECK(two.angle_deg[0] + two.angle_deg[2] == doctest::Approx(180));
    CHECK(two.angle_deg[2] > two.angle_deg[0]); // the smaller figure at the left
}

TEST_CASE("the words of a plan lie outside its arc and apart") {
    const auto lettering = draw::lettering();
    for (int count = 2; count <= 22; ++count) {
        std::vector<FanLug> lugs(static_cast<std::size_t>(count), lug(8.4, 14, 5, 0));
        for (FanLug& one : lugs)
            one.words = "12  W123";
        const LugPlan plan = lay_plan(lugs, 8, *lettering);
        CHECK(plan.tags.size() >= lugs.size());
        for (std::size_t i = 0; i < plan.tags.size(); ++i) {
            const Box& box = plan.tags[i].box;
            const double x = std::max({box.x_mm, -box.right_mm(), 0.0}),
                         y = std::max({box.y_mm, -box.bottom_mm(), 0.0});
            CHECK(std::hypot(x, y) > plan.ring_mm);
            CHECK(plan.bounds.x_mm <= box.x_mm);
            CHECK(plan.bounds.bottom_mm() >= box.bottom_mm());
            for (std::size_t k = i + 1; k < plan.tags.size(); ++k)
                CHECK_FALSE(overlaps(box, plan.tags[k].box));
        }
    }
}
