// Pulses stretch by stretch: along the copper heat has no time to go.
#include "check/short_duty.h"

#include "physics/shorttime.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::check {
namespace {

double start_degc(const Facts& facts, model::CableIndex index, const physics::Stretch& stretch) {
    const double ambient_degc = stretch.around.ambient_degc + std::max(stretch.around.radiant_k, 0.0);
    const WorstDuty& worst = facts.worst[model::at(index)];
    if (!worst.duty || worst.runaway || worst.temperature_degc > stretch.insulation.class_degc)
        return ambient_degc;
    return std::max(ambient_degc, worst.temperature_degc);
}

void add_stretch(const physics::Stretch& stretch, double run_a, double start, bool first,
                 ShortDutyHeat& heat) {
    const double peak = physics::temperature_after_degc(
        stretch, {.start_degc = start, .current_a = run_a, .duration_s = heat.duration_s});
    if (first || peak > heat.peak_degc) {
        heat.start_degc = start;
        heat.peak_degc = peak;
    }
    if (const auto time_s =
            physics::time_to_temperature_s(stretch, start, run_a, stretch.insulation.class_degc))
        heat.time_to_class_s = std::min(heat.time_to_class_s.value_or(*time_s), *time_s);
}

} // namespace

std::vector<ShortDutyHeat> short_duty_heat(const Facts& facts, model::CableIndex index) {
    const model::Cable& cable = facts.harness->cable(index);
    const solve::CableRating& rating = facts.ratings[model::at(index)];
    std::vector<ShortDutyHeat> all;
    if (rating.segments.empty())
        return all;
    for (const SolvedDuty& solved : facts.duties) {
        const model::Duty& duty = facts.harness->duty(solved.duty);
        if (!solved.point || is_continuous(duty))
            continue;
        ShortDutyHeat heat{.duty = solved.duty,
                           .current_a = std::abs(solved.point->cables[model::at(index)].current_a),
                           .duration_s = duty.duration_s->value,
                           .time_to_class_s = {}};
        const double run_a = heat.current_a / cable.parallel;
        for (const solve::SegmentRating& segment : rating.segments)
            add_stretch(segment.stretch, run_a, start_degc(facts, index, segment.stretch),
                        &segment == &rating.segments.front(), heat);
        all.push_back(heat);
    }
    return all;
}

double allowed_fraction(const Facts& facts, model::CableIndex index, const ShortDutyHeat& heat) {
    const double run_a = heat.current_a / facts.harness->cable(index).parallel;
    double least = 1;
    for (const solve::SegmentRating& segment : facts.ratings[model::at(index)].segments)
        least = std::min(least, physics::allowed_duty_fraction(segment.stretch, run_a, heat.duration_s));
    return least;
}

} // namespace stoutloom::check
