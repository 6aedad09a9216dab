// The pieces that diagram_content puts together, one file each: studs and units, runs, the volt line.
#pragma once

#include "report/papers/voice.h"

#include <map>
#include <string>
#include <vector>

namespace stoutloom::report {

/// Title block of the file; a kit with an error standing is "For review", whatever the file calls itself.
layout::TitleFields title_fields(const Checked& checked);

/// Greatest current of each cable over every duty that has an operating point, by CableIndex. Decides what
/// goes on a stud first.
std::vector<double> greatest_currents_a(const Checked& checked);

/// A thin lead (at most 6 mm2) that carries at most 1.5 A in every duty: exciter, warning lamp, sense, start
/// control. It is drawn on the control sheet, whatever side it is on. A duty without an answer makes no lead
/// light.
bool is_light_lead(const Checked& checked, std::size_t cable);

/// Units (everything but masses) and beds, in file order, with their studs and lugs; also fills the zones a
/// bed runs through. `content.zones` must stand already.
void add_units_and_beds(const Voice& voice, layout::DiagramContent& content);

void add_runs(const Voice& voice, layout::DiagramContent& content);
/// Needs the runs, units and beds: a flag hangs on what is drawn.
void add_flags(const Voice& voice, layout::DiagramContent& content);

/// The duty the drawing speaks of first: the one with the engine at rated speed, hot; empty if there is none.
std::optional<model::DutyIndex> rated_duty(const Checked& checked);
std::optional<layout::VoltLine> volt_line(const Voice& voice);

layout::Flow flow_of(check::Side side);
std::string diagram_section(const Voice& voice, const model::Cable& cable);
/// "35 °C", "95 °F", "35 °C (95 °F)"; rounded up.
std::string diagram_temperature(double degc, model::UnitSystem units);
/// Units in the lettering's own signs: "mm2" becomes "mm²", "degC" "°C", "ohm" "Ω".
std::string with_signs(std::string text);

} // namespace stoutloom::report
