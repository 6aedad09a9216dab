// A time that was worked out before is not told for another cable, place, current or limit.
#include "physics/conductor.h"
#include "physics/shorttime.h"

#include <doctest/doctest.h>

#include <functional>

using namespace stoutloom;

namespace {

struct Question {
    physics::Stretch stretch{
        .conductor = {.section_mm2 = 10,
                      .r20_ohm_per_m = 1.82e-3,
                      .conductor_diameter_m = 4.5e-3,
                      .outer_diameter_m = 6.5e-3,
                      .source = {}},
        .insulation = {},
        .around = {
            .ambient_degc = 40, .mounting = physics::Mounting::clipped, .loaded_cables = 1, .radiant_k = 0}};
    double start_degc = 60, current_a = 150, limit_degc = 160;
    double ask(physics::HarmTimes& times) const {
        return times.ask(stretch, start_degc, current_a, limit_degc).value_or(-1);
    }
    double anew() const {
        return physics::time_to_temperature_s(stretch, start_degc, current_a, limit_degc).value_or(-1);
    }
};

} // namespace

TEST_CASE("whatever differs in the question the time is worked out anew and the same question has the same "
          "answer") {
    const Question base;
    physics::HarmTimes times;
    const double first_s = base.ask(times);
    CHECK(first_s == base.anew());
    REQUIRE(first_s > 1);
    const std::vector<std::function<void(Question&)>> changes = {
        [](Question& q) { q.stretch.conductor.section_mm2 = 11; },
        [](Question& q) { q.stretch.conductor.r20_ohm_per_m = 1.9e-3; },
        [](Question& q) { q.stretch.conductor.conductor_diameter_m = 4.2e-3; },
        [](Question& q) { q.stretch.conductor.outer_diameter_m = 7.5e-3; },
        [](Question& q) { q.stretch.insulation.thermal_resistivity_km_per_w = 3.5; },
        [](Question& q) { q.stretch.around.ambient_degc = 50; },
        [](Question& q) { q.stretch.around.mounting = physics::Mounting::clear; },
        [](Question& q) { q.stretch.around.loaded_cables = 3; },
        [](Question& q) { q.stretch.around.radiant_k = 10; },
        [](Question& q) { q.start_degc = 70; },
        [](Question& q) { q.current_a = 160; },
        [](Question& q) { q.limit_degc = 150; },
    };
    for (std::size_t i = 0; i < changes.size(); ++i) {
        CAPTURE(i);
        Question changed = base;
        changes[i](changed);
        const double other_s = changed.ask(times);
        CHECK(other_s == changed.anew());
        CHECK(other_s != first_s);
        CHECK(changed.ask(times) == other_s);
        CHECK(base.ask(times) == first_s);
    }
}
