// A cable and the fuse-links that guard it from one source: band against damage curve, from the least fusing
// current to the prospective one.
//
// Damage: the copper starts at the insulation's class temperature (it was fully loaded) and may reach the
// wall's short-time limit. A link that is one of several in the cut counts with all of them as one link of
// the summed rating. Between two currents a and b > a the link's slowest time at a must not exceed the
// cable's time at b: both fall with the current, so every current between is covered.
#pragma once

#include "check/facts.h"
#include "physics/fuselink.h"
#include "solve/shorts.h"

#include <optional>
#include <string>
#include <vector>

namespace stoutloom::check {

/// Boat practice lets a link be the next size up, at most 150 % of the cable's ampacity (ABYC E-11, from
/// memory).
constexpr double boat_allowance = 1.5;
/// The greatest rating that suits the cable: its ampacity, on a boat half as much again.
double greatest_rating_a(const Facts& facts, model::CableIndex cable);

/// The links that a short piece ends on, and on nothing else, as what cuts it off.
std::optional<FeedPath> ending_on_links(const Facts& facts, const FeedPath& feed);
/// A short piece that ends on nothing but fuse-links which suit it: they keep it from overload, and so short
/// a piece may do without protection against a fault (the distance rule of cable-unprotected; IEC 60364-4-43,
/// 433.2 and 434.2).
bool ends_on_own_links(const Facts& facts, const FeedPath& feed);
/// A unit that limits itself to what the cable carries all day is no danger whatever the link is.
bool source_limits_itself(const Facts& facts, const FeedPath& feed);

/// The links of a cut taken as one.
struct LinkTogether {
    std::vector<model::DeviceIndex> links;
    double rating_a = 0;
    const physics::FuseType* type =
        nullptr; // the slowest to be sure; nothing where some type or rating is open
    double ambient_degc = 23;
};
LinkTogether link_together(const model::Harness& harness, const FeedPath& feed);
/// One fuse-link by itself.
LinkTogether link_alone(const model::Harness& harness, model::DeviceIndex link);
/// Slowest and fastest time of the link at a current through it.
physics::OperatingBand band_at(const LinkTogether& link, double current_a);

/// Seconds until the cable's worst stretch reaches its wall's short-time limit; infinite if it never does.
double damage_time_s(const model::Harness& harness, const Facts& facts, model::CableIndex cable,
                     double current_a);
/// Hottest copper after so long a fault from full load; 1083 means "at least this: burnt".
double after_fault_degc(const model::Harness& harness, const Facts& facts, model::CableIndex cable,
                        double current_a, double time_s);
double short_time_limit_of(const model::Harness& harness, model::CableIndex cable);

struct Coordination {
    const FeedPath* feed = nullptr;
    LinkTogether link;
    double least_fusing_a = 0;
    double prospective_a = 0, least_prospective_a = 0; // greatest at the near end, least at the far end
    bool holds = true;
    double from_a = 0, to_a = 0; // where it does not hold
    double reaches_degc = 0;     // there, at the worst current; 1083: burnt
};
/// Nothing where the source does not reach the cable, or a link's type or rating is open.
std::optional<Coordination> coordinate(const Facts& facts, const solve::ShortCurrents& shorts,
                                       const FeedPath& feed);

/// Prospective current at a terminal from one source; nothing where it does not reach.
std::optional<solve::TerminalShort> short_at(const solve::ShortCurrents& shorts,
                                             model::TerminalIndex terminal, model::DeviceIndex source);

} // namespace stoutloom::check
