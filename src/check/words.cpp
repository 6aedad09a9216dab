#include "check/words.h"

#include "physics/fuselink.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace stoutloom::check {
namespace {

using base::Rounding;

double without_dust(double load) {
    return load - settled_fraction * std::abs(load);
}

int current_decimals(double current_a) {
    const double size = std::abs(current_a);
    if (size >= 100)
        return 0;
    if (size >= 10)
        return 1;
    return size >= 1 ? 2 : 3;
}

} // namespace

bool exceeds(double load, double limit) {
    return load > limit + settled_fraction * std::abs(limit);
}

std::string amps_up(double current_a) {
    // The solver's leaks add some ten microamperes to every source; they are not to turn 0.100 A into 0.101
    // A.
    constexpr double leak_dust_a = 5e-5;
    const double load_a = std::max(without_dust(current_a) - leak_dust_a, 0.0);
    return base::shown_up(load_a, current_decimals(load_a), "A");
}
std::string amps_down(double current_a) {
    return base::shown_down(current_a, current_decimals(current_a), "A");
}
std::string volts_up(double voltage_v) {
    return base::shown_up(without_dust(voltage_v), 2, "V");
}
std::string volts_down(double voltage_v) {
    return base::shown_down(voltage_v, 2, "V");
}
std::string degc_up(double temperature_degc) {
    return base::shown_up(without_dust(temperature_degc), 0, "degC");
}
std::string degc_down(double temperature_degc) {
    return base::shown_down(temperature_degc, 0, "degC");
}
std::string metres_up(double length_m) {
    return base::shown_up(without_dust(length_m), 2, "m");
}
std::string metres_down(double length_m) {
    return base::shown_down(length_m, 2, "m");
}

std::string times_up(double ratio) {
    return base::shown_number(without_dust(ratio), ratio < 1.1 ? 2 : 1, Rounding::up) + " times";
}

std::string named(const model::Device& device) {
    return device.label.empty() || device.label == device.id
               ? device.id
               : fmt::format("{} \"{}\"", device.id, device.label);
}

std::string zone_name(const model::Harness& harness, model::ZoneIndex zone) {
    const model::Zone& about = harness.zone(zone);
    return about.label.empty() ? about.id : about.label;
}

std::string duty_name(const model::Harness& harness, model::DutyIndex duty) {
    return harness.duty(duty).id;
}

std::string rating(double rating_a) {
    return fmt::format("{:g} A", rating_a);
}

std::string listed(const std::vector<std::string>& words) {
    std::string text;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (i > 0)
            text += i + 1 == words.size() ? " and " : ", ";
        text += words[i];
    }
    return text;
}

std::string with_section(const model::Cable& cable) {
    const std::string section = base::shown_section(cable.section_mm2.value);
    if (cable.parallel == 1)
        return fmt::format("{} ({})", cable.id, section);
    return fmt::format("{} ({} x {})", cable.id, cable.parallel, section);
}

Judgement about(std::string subject, base::Span span, std::string message) {
    Judgement judgement;
    judgement.subjects.push_back(std::move(subject));
    judgement.span = span;
    judgement.message = std::move(message);
    return judgement;
}

Judgement with_figures(Judgement judgement, Figures figures, std::string unit, std::string limit_source) {
    judgement.computed = figures.computed;
    judgement.limit = figures.limit;
    judgement.has_figures = true;
    judgement.unit = std::move(unit);
    judgement.limit_source = std::move(limit_source);
    return judgement;
}

Judgement for_want_of_duties(const Facts& facts, Judgement judgement) {
    for (const SolvedDuty& solved : facts.duties)
        if (!solved.point)
            judgement.subjects.push_back(facts.harness->duty(solved.duty).id);
    judgement.yields_to = {"duty-solved"};
    return judgement;
}

std::optional<double> ambient_of(const model::Harness& harness, model::DeviceIndex device) {
    const auto warmth = [&](model::ZoneIndex zone) {
        return harness.zone(zone).ambient_degc.value + harness.zone(zone).radiant_k.value;
    };
    if (harness.device(device).zone)
        return warmth(*harness.device(device).zone);
    std::optional<double> warmest;
    for (const model::Cable& cable : harness.cables)
        for (const model::CableEnd* end : {&cable.from, &cable.to})
            if (harness.terminal(end->at).device == device && !cable.segments.empty()) {
                const double here =
                    warmth((end == &cable.from ? cable.segments.front() : cable.segments.back()).zone);
                warmest = std::max(warmest.value_or(here), here);
            }
    return warmest;
}

std::string least_section_on_sale(const model::Harness& harness, double above_mm2,
                                  const std::function<bool(double)>& serves) {
    static constexpr std::array usual = {0.5,  0.75, 1.0,  1.5,  2.5,  4.0,   6.0,   10.0,  16.0,
                                         25.0, 35.0, 50.0, 70.0, 95.0, 120.0, 150.0, 185.0, 240.0};
    std::vector<double> sections;
    for (const model::StockConductor& conductor : harness.stock.conductors)
        sections.push_back(conductor.section_mm2.value);
    if (sections.empty())
        sections.assign(usual.begin(), usual.end());
    std::sort(sections.begin(), sections.end());
    for (const double section : sections)
        if (section > above_mm2 && serves(section))
            return base::shown_section(section);
    return {};
}

namespace {

std::vector<double> ratings_on_sale(const model::Harness& harness, const std::string& type) {
    std::vector<double> ratings;
    for (const model::StockLink& link : harness.stock.links)
        if (link.type == type)
            ratings.push_back(link.rating_a.value);
    const physics::FuseType* known = physics::fuse_type_by_name(type);
    if (ratings.empty() && known != nullptr)
        ratings.assign(known->ratings_a.begin(), known->ratings_a.end());
    std::sort(ratings.begin(), ratings.end());
    return ratings;
}

} // namespace

std::optional<double> rating_on_sale_from(const model::Harness& harness, const std::string& type,
                                          double least_a) {
    for (const double amount : ratings_on_sale(harness, type))
        if (amount >= least_a)
            return amount;
    return std::nullopt;
}

std::optional<double> rating_on_sale_up_to(const model::Harness& harness, const std::string& type,
                                           double most_a) {
    std::optional<double> found;
    for (const double amount : ratings_on_sale(harness, type))
        if (amount <= most_a)
            found = amount;
    return found;
}

double usable_with_section_a(const model::Harness& harness, model::CableIndex cable, double section_mm2) {
    model::Harness changed = harness;
    model::Cable& about = changed.cables[model::at(cable)];
    about.section_mm2.value = section_mm2;
    about.r20_ohm_per_m.reset();
    about.outer_diameter_m.reset();
    about.conductor_diameter_m.reset();
    return solve::cable_rating(changed, cable).usable_a;
}

} // namespace stoutloom::check
