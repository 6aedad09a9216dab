// The words the rules share: how a part, a figure and its limit are named in a finding. Loads up, ratings
// down.
#pragma once

#include "check/facts.h"
#include "check/rule.h"

#include <string>
#include <vector>

namespace stoutloom::check {

/// Solved figures settle to a millionth of themselves (solve/solve.h). What lies within it is no difference:
/// it neither moves a figure to the next digit nor takes it over a limit.
constexpr double settled_fraction = 1e-6;
bool exceeds(double load, double limit);

/// Amperes, volts and degrees with as many decimals as a workshop reads; `up` for loads, `down` for ratings.
std::string amps_up(double current_a);
std::string amps_down(double current_a);
std::string volts_up(double voltage_v);
std::string volts_down(double voltage_v);
std::string degc_up(double temperature_degc);
std::string degc_down(double temperature_degc);
std::string metres_up(double length_m);
std::string metres_down(double length_m);
/// A rating as it is marked: "15 A", "7.5 A". Exact, never rounded.
std::string rating(double rating_a);
/// "2.3 times": load over rating, rounded up; two decimals under 1.1.
std::string times_up(double ratio);

/// `G1 "Charging unit"`, or the bare id where there is no label.
std::string named(const model::Device& device);
/// "Engine bay" or the zone's id.
std::string zone_name(const model::Harness& harness, model::ZoneIndex zone);
/// "cranking": what the report calls the duty.
std::string duty_name(const model::Harness& harness, model::DutyIndex duty);
/// "W1, W2 and W3"
std::string listed(const std::vector<std::string>& words);
/// "W1", "2 x W1" for parallel runs with its section: "W1 (2 x 50 mm2)".
std::string with_section(const model::Cable& cable);

/// A judgement about one subject, its place and message; verdict and severity are filled in by Judgements.
Judgement about(std::string subject, base::Span span, std::string message);
struct Figures {
    double computed, limit;
};
Judgement with_figures(Judgement judgement, Figures figures, std::string unit, std::string limit_source);

/// Marks an answer that is missing only because duties could not be solved: duty-solved tells them.
Judgement for_want_of_duties(const Facts& facts, Judgement judgement);

/// The ambient a device sits in: its zone's, or the warmest stretch that ends on it; nothing if neither is
/// known.
std::optional<double> ambient_of(const model::Harness& harness, model::DeviceIndex device);

/// The least section on sale (the file's stock or the usual series) that `serves`, for the cure; empty if
/// none does.
std::string least_section_on_sale(const model::Harness& harness, double above_mm2,
                                  const std::function<bool(double section_mm2)>& serves);
/// The least rating of a fuse-link type on sale (the file's stock or the type's series) that is at least so
/// much, or the greatest that is at most so much; nothing where none is.
std::optional<double> rating_on_sale_from(const model::Harness& harness, const std::string& type,
                                          double least_a);
std::optional<double> rating_on_sale_up_to(const model::Harness& harness, const std::string& type,
                                           double most_a);
/// What the cable could carry usably with another section in the same place.
double usable_with_section_a(const model::Harness& harness, model::CableIndex cable, double section_mm2);

} // namespace stoutloom::check
