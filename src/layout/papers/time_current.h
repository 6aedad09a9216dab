// A time-current plot: how fast fuse-links open and how long a cable stands it, on two logarithmic axes.
#pragma once

#include "layout/papers/sheet.h"

namespace stoutloom::layout::papers {

struct TimePoint {
    double current_a = 0, time_s = 0; // both over zero; a time may be infinite
};
/// Between the fastest and the slowest of a type: both curves over the same currents, which rise.
struct TimeBand {
    std::string id, words; // unique on the paper; in the legend
    std::vector<TimePoint> fastest = {}, slowest = {};
};
struct TimeCurve {
    std::string id, words;
    std::vector<TimePoint> points = {};
};
/// A current over all times: a load, a prospective current.
struct CurrentMark {
    std::string id, words;
    double current_a = 0;
    Dash dash = Dash::dashed;
    bool strong = false;
};
struct TimeCurrentContent {
    std::string heading, remark;
    std::string current_axis, time_axis; // "current through the cable, A"
    std::vector<TimeBand> bands;
    std::vector<TimeCurve> curves;
    std::vector<CurrentMark> marks;
    std::vector<std::string> notes; // under the legend
};
/// From 10 ms to 10 000 s; currents as far as the content goes.
constexpr double shortest_s = 0.01, longest_s = 10'000;

/// One page, A4 or Letter, landscape; the legend takes as much of its width as its words need. What finds no
/// room even then is left out from its end, and "..." says so.
Page build_time_current(const TimeCurrentContent& content, PaperSize size, const TextMeasure& measure);

/// Borders of a logarithmic axis that hold [low, high]: each 1, 2 or 5 times a power of ten.
struct LogScale {
    double low, high;
};
LogScale log_scale_for(double low, double high);
/// The piece of a curve within the scale, cut where it crosses its borders (straight lines on log-log paper);
/// several pieces where it leaves and comes back.
struct LogField {
    LogScale current_a, time_s;
};
std::vector<std::vector<TimePoint>> visible(const std::vector<TimePoint>& points, const LogField& field);

} // namespace stoutloom::layout::papers
