// Whom a rule must answer for: the usual lists of ids, in file order.
#pragma once

#include "check/facts.h"

#include <string>
#include <vector>

namespace stoutloom::check {

/// A return of at least this share of its feed's section counts as thick as it: a gauge and its metric
/// neighbour are equal (1/0 AWG is 53.5 mm2, 2 AWG 33.6).
constexpr double alike_sections = 0.95;

std::vector<std::string> all_cables(const Facts& facts);
std::vector<std::string> live_cables(const Facts& facts); // on the feed side
std::vector<std::string> fuse_links(const Facts& facts);
std::vector<std::string> batteries(const Facts& facts);
std::vector<std::string> generators(const Facts& facts);
std::vector<std::string> starters(const Facts& facts);
std::vector<std::string> consumers(const Facts& facts);
std::vector<std::string> all_duties(const Facts& facts);
std::vector<std::string> all_landings(const Facts& facts);
/// Terminals with at least one lug.
std::vector<std::string> used_terminals(const Facts& facts);
/// Cables whose insulation class lies under the warmth of a zone or of a stud: insulation-ambient tells
/// them, so the current rules leave them alone.
bool too_warm_without_current(const Facts& facts, model::CableIndex cable);
/// Cables with a section the tables can rate and a class above every ambient.
std::vector<std::string> rated_cables(const Facts& facts);

/// Devices of one kind, in file order.
std::vector<model::DeviceIndex> devices_of(const model::Harness& harness, model::DeviceKind kind);
/// Units that turn current into something: generators, starters, consumers.
std::vector<model::DeviceIndex> units_with_return(const model::Harness& harness);
/// Nodes that metal joins to the negative terminal of a battery (never by way of an incidental path).
std::vector<bool> nodes_at_battery_negative(const Facts& facts);
/// Whether a unit's current has a metal way back to a battery's negative terminal. A lamp in the exciter's
/// lead returns through the exciter.
bool has_metal_return(const Facts& facts, model::DeviceIndex device, const std::vector<bool>& at_negative);
/// Electronics with a metal way back: senders, gauges, control units, radios (rule signal-return).
std::vector<model::DeviceIndex> measuring_units(const Facts& facts);
/// Rule return-loop: a ground of at most so much, and at most this share of the thickest return, is thin.
constexpr double thin_ground_mm2 = 10, thin_ground_share = 0.25;
/// Cables of the return side whose two ends meet without them.
std::vector<model::CableIndex> grounds_in_loops(const Facts& facts);
/// Units bolted to one of the cable's own ends: their current is not a stranger's.
std::vector<model::DeviceIndex> units_at_ends(const model::Harness& harness, const model::Cable& cable);
/// Whether its live terminal is on the live side of the network.
bool has_feed(const Facts& facts, model::DeviceIndex device);

} // namespace stoutloom::check
