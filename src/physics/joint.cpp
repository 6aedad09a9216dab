// Contact resistance of crimps and of lugs on their seats. Doubtful handbook ranges: a measured figure beats
// them.
#include "physics/joint.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace stoutloom::physics {
namespace {

struct CrimpRow {
    double section_mm2, low_uohm, typical_uohm, high_uohm;
};
// IEC 61238-1 resistance factor k = 1 .. 2 over 20 mm of cable; from memory, doubtful.
constexpr std::array crimps = {CrimpRow{10, 20, 40, 100}, CrimpRow{16, 15, 30, 80}, CrimpRow{25, 10, 20, 50},
                               CrimpRow{35, 8, 15, 40},   CrimpRow{50, 6, 12, 30},  CrimpRow{70, 5, 10, 25},
                               CrimpRow{95, 4, 8, 20}};
constexpr std::string_view crimp_source = "IEC 61238-1 resistance factor over 20 mm of cable (from memory)";

struct SeatRow {
    double stud_mm, low_uohm, typical_uohm, high_uohm;
};
// Bolted tinned lug on a copper or brass face at its torque: contact-resistance handbooks, R about k / F;
// from memory, doubtful. M4 goes on by the ratio of the torques of M5 and M4.
constexpr std::array seats = {SeatRow{4, 33, 133, 333}, SeatRow{5, 20, 80, 200}, SeatRow{6, 15, 50, 150},
                              SeatRow{8, 8, 25, 80},    SeatRow{10, 5, 15, 50},  SeatRow{12, 4, 10, 40}};
constexpr std::string_view seat_source =
    "bolted tinned lug on copper or brass, contact-resistance handbooks (from memory)";

double between(double x, double x0, double y0, double x1, double y1) {
    return y0 * std::pow(y1 / y0, std::log(x / x0) / std::log(x1 / x0));
}

JointResistance micro(double low_uohm, double typical_uohm, double high_uohm, std::string_view source) {
    return {low_uohm * 1e-6, typical_uohm * 1e-6, high_uohm * 1e-6, source};
}

/// The row of the next smaller size: an inch stud counts as its metric neighbour, an odd one as the thinner.
const SeatRow& seat_row(double diameter_m) {
    const double least_mm = diameter_m * 1000 + 0.5; // 5/16 in (7.94) is M8, 3/8 in (9.53) is M10
    const auto* above =
        std::find_if(seats.begin(), seats.end(), [&](const SeatRow& row) { return row.stud_mm > least_mm; });
    return above == seats.begin() ? seats.front() : *(above - 1);
}

/// Push-on receptacles by blade width; plugs as 6.3 mm. From memory, doubtful: 3 mV per ampere when old.
JointResistance push_on_resistance(std::string_view name) {
    constexpr std::string_view source = "push-on receptacle on its blade (from memory, doubtful)";
    if (name == "blade 2.8")
        return micro(600, 2000, 6000, source);
    if (name == "blade 4.8")
        return micro(400, 1300, 4000, source);
    if (name == "blade 9.5")
        return micro(150, 500, 1500, source);
    return micro(300, 1000, 3000, source);
}

} // namespace

JointResistance crimp_resistance(double section_mm2) {
    if (!(section_mm2 > 0))
        return micro(100, 1000, 10000, "no usable section: taken as a poor joint");
    const CrimpRow& least = crimps.front();
    if (section_mm2 < least.section_mm2) { // by the same rule R goes with 1 / section
        const double ratio = least.section_mm2 / section_mm2;
        return micro(least.low_uohm * ratio, least.typical_uohm * ratio, least.high_uohm * ratio,
                     crimp_source);
    }
    for (std::size_t i = 1; i < crimps.size(); ++i) {
        const CrimpRow &a = crimps[i - 1], &b = crimps[i];
        if (section_mm2 > b.section_mm2)
            continue;
        const auto at = [&](double CrimpRow::*field) {
            return between(section_mm2, a.section_mm2, a.*field, b.section_mm2, b.*field);
        };
        return micro(at(&CrimpRow::low_uohm), at(&CrimpRow::typical_uohm), at(&CrimpRow::high_uohm),
                     crimp_source);
    }
    return micro(crimps.back().low_uohm, crimps.back().typical_uohm, crimps.back().high_uohm, crimp_source);
}

JointResistance bolted_resistance(const base::Fastener& stud, JointSeat seat) {
    using base::FastenerKind;
    if (stud.kind == FastenerKind::taper_post ||
        (seat == JointSeat::taper_post && stud.kind != FastenerKind::stud))
        return micro(50, 150, 400, "battery post clamp, service experience (from memory)");
    if (stud.kind == FastenerKind::splice)
        return micro(20, 100, 300, "crimped splice (from memory, doubtful)");
    if (stud.kind != FastenerKind::stud || seat == JointSeat::push_on)
        return push_on_resistance(stud.name);
    const SeatRow& row = seat_row(stud.diameter_m);
    if (seat == JointSeat::bare_steel) {
        // 50 / 150 / 500 uohm at M8; other studs in the ratio of the copper seats.
        constexpr SeatRow m8 = seats[3];
        return micro(
            50 * row.low_uohm / m8.low_uohm, 150 * row.typical_uohm / m8.typical_uohm,
            500 * row.high_uohm / m8.high_uohm,
            "lug on bare clean steel, service experience (from memory); paint in the path is 1 to 20 mohm");
    }
    if (seat == JointSeat::strip_fuse && stud.diameter_m < 0.006)
        return micro(
            row.low_uohm, 100, row.high_uohm,
            "a tenth of the 1 mohm that ISO 8820-5 allows its test fixture; handbooks (from memory)");
    return micro(row.low_uohm, row.typical_uohm, row.high_uohm, seat_source);
}

} // namespace stoutloom::physics
