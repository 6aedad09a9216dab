// Crimps, bolted joints and studs: contact resistance, torque, lug barrels. Every figure with its source.
#pragma once

#include "base/fastener.h"

#include <optional>
#include <string>
#include <string_view>

namespace stoutloom::physics {

/// Low (new and clean), typical, high (end of life), ohm.
struct JointResistance {
    double low_ohm, typical_ohm, high_ohm;
    std::string_view source;
};
/// Crimp of a heavy lug: IEC 61238-1 resistance factor k over 20 mm of cable; falls with section.
JointResistance crimp_resistance(double section_mm2);
enum class JointSeat { copper_or_brass, bare_steel, taper_post, strip_fuse, push_on };
/// Lug on its seat, by stud size and what it sits on.
JointResistance bolted_resistance(const base::Fastener& stud, JointSeat seat);

enum class StudPlace {
    battery,
    generator_output,
    generator_small,
    starter_main,
    starter_control,
    fuse_strip_30,
    fuse_strip_51,
    bus_bar,
    ground_steel,
    ground_aluminium,
    apparatus
};
struct Torque {
    double low_newton_m, typical_newton_m, high_newton_m;
    std::string_view
        source; // printed; "see the maker's data" where the table has no row (then the optional is empty)
};
std::optional<Torque> tightening_torque(StudPlace place, const base::Fastener& stud);

/// Metric lug barrels made for a section, DIN 46235: nominal barrel, the stud range it is made in, strip
/// length.
struct Barrel {
    double barrel_mm2;
    std::string_view least_stud, usual_stud, greatest_stud;
    double inner_diameter_m;
    double outer_diameter_m; // at most, before crimping
    double palm_width_m;     // about, for the drawing
    double strip_length_m;
    bool exact; // section equals barrel; an AWG cable in a metric barrel is not
};
std::optional<Barrel> barrel_for(double section_mm2);
/// Whether a barrel made for `barrel_mm2` takes a cable of `section_mm2` (equal, or the AWG pairs of the
/// trade table).
bool barrel_takes(double barrel_mm2, double section_mm2);
/// Stud diameters fit the barrel's range.
bool lug_exists(double section_mm2, const base::Fastener& stud);

} // namespace stoutloom::physics
