#include "base/fastener.h"

#include <algorithm>
#include <array>

namespace stoutloom::base {
namespace {

struct Row {
    std::string_view name;
    FastenerKind kind;
    double diameter_mm, hole_low_mm, hole_high_mm;
};

// Major diameters: ISO 261, ASME B1.1. Holes: DIN 46234 / DIN 46235, US lug catalogues. From memory.
constexpr std::array rows = {
    Row{"M4", FastenerKind::stud, 4.00, 4.3, 4.5},
    Row{"#10", FastenerKind::stud, 4.83, 4.9, 5.3},
    Row{"M5", FastenerKind::stud, 5.00, 5.3, 5.5},
    Row{"M6", FastenerKind::stud, 6.00, 6.4, 6.6},
    Row{"1/4 in", FastenerKind::stud, 6.35, 6.5, 7.1},
    Row{"5/16 in", FastenerKind::stud, 7.94, 8.2, 8.8},
    Row{"M8", FastenerKind::stud, 8.00, 8.4, 8.6},
    Row{"3/8 in", FastenerKind::stud, 9.53, 9.9, 10.4},
    Row{"M10", FastenerKind::stud, 10.0, 10.5, 10.7},
    Row{"M12", FastenerKind::stud, 12.0, 13.0, 13.2},
    Row{"1/2 in", FastenerKind::stud, 12.7, 13.1, 13.9},
    Row{"post", FastenerKind::taper_post, 0, 0, 0},
    Row{"blade 2.8", FastenerKind::blade, 0, 0, 0},
    Row{"blade 4.8", FastenerKind::blade, 0, 0, 0},
    Row{"blade 6.3", FastenerKind::blade, 0, 0, 0},
    Row{"blade 9.5", FastenerKind::blade, 0, 0, 0},
    Row{"plug", FastenerKind::plug, 0, 0, 0},
    Row{"splice", FastenerKind::splice, 0, 0, 0},
};

constexpr auto names = [] {
    std::array<std::string_view, rows.size()> all{};
    for (std::size_t i = 0; i < rows.size(); ++i)
        all[i] = rows[i].name;
    return all;
}();

// Pairs told apart by fractions of a millimetre count as one size; the table of holes alone would let some
// key.
bool same_size(const Fastener& a, const Fastener& b) {
    static constexpr std::array<std::pair<std::string_view, std::string_view>, 5> pairs = {
        {{"M5", "#10"}, {"M6", "1/4 in"}, {"M8", "5/16 in"}, {"M10", "3/8 in"}, {"M12", "1/2 in"}}};
    if (a.name == b.name)
        return true;
    return std::any_of(pairs.begin(), pairs.end(), [&](const auto& pair) {
        return (a.name == pair.first && b.name == pair.second) ||
               (a.name == pair.second && b.name == pair.first);
    });
}

} // namespace

std::optional<Fastener> fastener_by_name(std::string_view name) {
    const auto row = std::find_if(rows.begin(), rows.end(), [&](const Row& r) { return r.name == name; });
    if (row == rows.end())
        return std::nullopt;
    return Fastener{.kind = row->kind,
                    .name = std::string(row->name),
                    .diameter_m = row->diameter_mm / 1000,
                    .hole_low_m = row->hole_low_mm / 1000,
                    .hole_high_m = row->hole_high_mm / 1000};
}

std::span<const std::string_view> fastener_names() {
    return names;
}

Fastener fastener_to_choose() {
    Fastener stand_in = fastener_by_name("M8").value_or(Fastener{});
    stand_in.name = "auto";
    return stand_in;
}

bool is_to_choose(const Fastener& fastener) {
    return fastener.name == "auto";
}

bool can_go_on(const Fastener& lug, const Fastener& stud) {
    if (lug.kind != stud.kind)
        return false;
    if (lug.kind != FastenerKind::stud)
        return lug.name == stud.name;
    return same_size(lug, stud) || lug.hole_high_m >= stud.diameter_m;
}

bool is_loose_on(const Fastener& lug, const Fastener& stud) {
    return lug.kind == FastenerKind::stud && stud.kind == FastenerKind::stud && !same_size(lug, stud) &&
           lug.hole_low_m > 1.15 * stud.diameter_m;
}

bool matches(const Fastener& lug, const Fastener& stud) {
    return lug.kind == stud.kind && same_size(lug, stud);
}

} // namespace stoutloom::base
