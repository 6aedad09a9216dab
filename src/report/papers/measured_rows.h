// The measurements themselves: chosen from the solved duties, each with the band that is accepted.
#pragma once

#include "report/papers/loop_path.h"
#include "report/papers/voice.h"

namespace stoutloom::report {

struct MeasuredRow {
    std::string number;
    model::TerminalIndex red{}, black{};
    std::string state;          // filled last: the duty and the current, or "as 2"
    std::string duty;           // in words
    std::string current, cable; // "160 A" on "W1"; empty where none is told
    double expected_v = 0;      // at running temperature, red above black
    std::optional<double> low_v, high_v;
    std::string why; // where the band comes from
    /// Its studs are told by their names: one of many bars, for which letters would run out of the alphabet.
    bool named = false;
};
/// A loop that the rows measure, for the map.
struct MeasuredLoop {
    bool charging = true; // otherwise cranking
    model::DeviceIndex unit{}, battery{};
    double current_a = 0;
    std::vector<WayPart> feed, back; // in the direction of the current
    double feed_v = 0, back_v = 0;
    std::string feed_number, back_number; // of the rows; empty where too small to measure
};
/// The last digit of a cheap meter; a row that expects less is left out.
constexpr double meter_step_v = 0.01;
/// Regulators hold their set point within about this at 12 V nominal (common practice, no source).
constexpr double regulator_band_v = 0.2;
/// Least volts of a healthy battery while cranking, over nominal: 9.6 V of 12 V (common practice, no source).
constexpr double cranking_floor_fraction = 0.8;

/// Rest, charging, cranking, masses, consumers, local bars; numbered from 1.
std::vector<MeasuredRow> measured_rows(const Voice& voice, std::vector<MeasuredLoop>& loops);

} // namespace stoutloom::report
