// What a duty of limited length does to a cable: its peak, how soon it would be at its class, how often it
// may come again. Shared by the rule cable-short-duty and the report.
#pragma once

#include "check/facts.h"

#include <optional>
#include <vector>

namespace stoutloom::check {

struct ShortDutyHeat {
    model::DutyIndex duty{};
    double current_a = 0; // whole cable, magnitude
    double duration_s = 0;
    double start_degc = 0; // the warmer of the zone and what the worst all-day duty leaves
    double peak_degc = 0;  // at its end, hottest stretch
    /// From the start until the copper is at its class; nothing where it never gets there.
    std::optional<double> time_to_class_s;
};

/// Solved duties of limited length in which the cable can be rated, in file order. The pulse begins with the
/// copper as warm as its worst all-day duty leaves it, never below the zone; a cable that runs over its class
/// all day is told by cable-ampacity and counts here as warmed by the zone only.
std::vector<ShortDutyHeat> short_duty_heat(const Facts& facts, model::CableIndex index);
/// Share of the time that the duty may take when it comes again and again and nothing else warms the cable
/// but its zone: 1 all day, 0 not even once. Of the stretch that allows least, rounded down. Slow: for the
/// report only.
double allowed_fraction(const Facts& facts, model::CableIndex index, const ShortDutyHeat& heat);

} // namespace stoutloom::check
