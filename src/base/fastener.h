// Studs, bolts and the cable ends that go on them: names, diameters, lug holes, and what fits what.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace stoutloom::base {

enum class FastenerKind {
    stud,       // threaded stud or bolt; the end is a ring lug
    taper_post, // battery taper post; the end is a post clamp
    blade,      // flat blade; the end is a push-on receptacle
    plug,       // keyed plug or moulded connector: only its own mate fits
    splice      // crimped or soldered to another conductor
};

/// A size of stud, or of the lug made for that stud. `name` is the trade's: "M8", "5/16 in", "#10", "post",
/// "blade 6.3", "plug", "splice".
struct Fastener {
    FastenerKind kind = FastenerKind::stud;
    std::string name;
    double diameter_m = 0;  // major diameter of the stud; 0 for the other kinds
    double hole_low_m = 0;  // least hole of a lug made for this stud
    double hole_high_m = 0; // greatest
};

/// Sizes by name. Sources: major diameters ISO 261 and ASME B1.1; holes DIN 46234, DIN 46235 and US lug
/// catalogues; all from memory, see tests/published/fasteners.
std::optional<Fastener> fastener_by_name(std::string_view name);
std::span<const std::string_view> fastener_names();
/// Stands where a stud or a lug is to be chosen: named "auto", shaped as the usual M8. Nothing fits it for
/// certain; a rule about sizes has to say so.
Fastener fastener_to_choose();
bool is_to_choose(const Fastener& fastener);

/// Whether an end made for `lug` can go on `stud` at all: a ring lug whose greatest hole is not smaller than
/// the stud (so the pairs M5/#10, M6/1/4 in, M8/5/16 in, M10/3/8 in and M12/1/2 in never key); other kinds
/// only on their own kind and size.
bool can_go_on(const Fastener& lug, const Fastener& stud);
/// A lug that goes on but whose hole is over 1.15 times the stud: contact area is lost (common bolted-joint
/// practice).
bool is_loose_on(const Fastener& lug, const Fastener& stud);
/// Hole no bigger than made for the stud: the intended match.
bool matches(const Fastener& lug, const Fastener& stud);

} // namespace stoutloom::base
