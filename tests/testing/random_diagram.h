// Random but plausible diagrams for the audit: every symbol, every kind of end, cables between anything and
// anything.
#pragma once

#include "testing/diagram_kits.h"

#include <algorithm>
#include <random>

namespace stoutloom::testing {

inline Kit random_kit(std::mt19937_64& random, std::size_t cables) {
    using layout::Flow;
    using layout::UnitSymbol;
    const auto up_to = [&](std::size_t n) { return static_cast<std::size_t>(random() % n); };
    Kit kit;
    title(kit, "Invented harness", "for the audit", "RND-0001");
    const std::size_t zones = 1 + up_to(6);
    for (std::size_t z = 0; z < zones; ++z)
        kit.zone(up_to(2) == 0 ? fmt::format("A{}", z + 1) : fmt::format("zone-{}", z + 1),
                 up_to(3) == 0 ? "Compartment behind the second bulkhead" : "Locker",
                 20 + static_cast<double>(up_to(80)));
    const std::size_t units = 2 + cables / 3 + up_to(3);
    kit.content.units.reserve(units);
    kit.bed("U1", "Hull bonding plate", "0.1 mΩ", {0});
    for (std::size_t z = 1; z < zones; ++z)
        kit.content.beds[0].zones.push_back(z);
    for (std::size_t z = 0; z < zones; ++z)
        kit.bed_stud("U1", fmt::format("b{}", z), "M8", 8, z);
    std::vector<std::string> feed;
    std::vector<std::string> back;
    for (std::size_t z = 0; z < zones; ++z)
        back.push_back(fmt::format("U1.b{}", z));
    const double sizes[] = {5, 6, 8, 10};
    for (std::size_t u = 0; u < units; ++u) {
        const auto symbol = static_cast<UnitSymbol>(up_to(12));
        const std::string id = fmt::format("K{}", u + 1);
        layout::UnitGlyph& unit = kit.unit(
            id, up_to(4) == 0 ? "Refrigerator with a rather long name" : "Unit",
            up_to(2) == 0 ? std::vector<std::string>{"12 A", "always on"} : std::vector<std::string>{},
            symbol, up_to(zones));
        if (symbol == UnitSymbol::fuse_link)
            unit.fixing_pitch_mm = up_to(2) == 0 ? 51 : 30;
        const bool in_line =
            symbol == UnitSymbol::fuse_link || symbol == UnitSymbol::switch_ || symbol == UnitSymbol::shunt;
        const std::size_t studs = in_line ? 2 : 1 + up_to(3);
        for (std::size_t s = 0; s < studs; ++s) {
            const double size = up_to(6) == 0 ? 0 : sizes[up_to(4)];
            const bool returns = !in_line && s > 0 && up_to(2) == 0;
            kit.add_stud(id, fmt::format("{}", s + 1), size > 0 ? fmt::format("M{:.0f}", size) : "", size,
                         returns ? Flow::back : Flow::feed, up_to(5) == 0 ? "A" : "");
            (returns ? back : feed).push_back(fmt::format("{}.{}", id, s + 1));
        }
        if (!in_line && symbol != UnitSymbol::post && up_to(5) == 0 &&
            std::none_of(unit.studs.begin(), unit.studs.end(),
                         [](const layout::StudGlyph& s) { return s.flow == Flow::back; }))
            unit.seat_bed = 0;
    }
    const double sections[] = {2.5, 6, 10, 16, 25, 35, 50, 70, 95, 120};
    for (std::size_t c = 0; c < cables; ++c) {
        const bool returns = back.size() > 1 && up_to(3) == 0;
        const std::vector<std::string>& pool = returns ? back : feed;
        std::string from;
        std::string to;
        for (int tries = 0; tries < 60; ++tries) {
            from = pool[up_to(pool.size())];
            to = up_to(12) == 0 ? back[up_to(back.size())] : pool[up_to(pool.size())];
            if (from != to && kit.find(from)->lugs.size() < 4 && kit.find(to)->lugs.size() < 4)
                break;
            from.clear();
        }
        if (from.empty())
            continue;
        layout::RunGlyph& run =
            kit.cable(std::to_string(c + 1), sections[up_to(10)], "RD",
                      0.1 * static_cast<double>(1 + up_to(90)), returns ? Flow::back : Flow::feed, from, to,
                      {0.1 * static_cast<double>(1 + up_to(20)), up_to(2) == 0, "160 A of 229 A, class C"});
        // A broad lug and a narrow one on one stud, as they come.
        for (const std::string& address : {from, to})
            kit.find(address)->lugs.back().palm_mm *= 0.8 + 0.2 * static_cast<double>(up_to(7));
        run.kept = up_to(2) == 0;
        run.parallel = up_to(10) == 0 ? 2 : 1;
        run.failing = up_to(6) == 0;
        if (run.failing && up_to(2) == 0)
            kit.content.flags.push_back({std::to_string(kit.content.flags.size() + 1), up_to(2) == 0, run.id,
                                         "it would be too hot.", "a thicker one."});
    }
    for (std::size_t u = 0; u < 2; ++u)
        if (up_to(2) == 0) {
            const std::string owner = kit.content.units[up_to(kit.content.units.size())].id;
            const std::string other = kit.content.units[up_to(kit.content.units.size())].id;
            if (owner == other)
                continue;
            kit.add_stud(owner, fmt::format("L{}", u), "", 0, Flow::control);
            kit.add_stud(other, fmt::format("L{}", u), "", 0, Flow::control);
            kit.cable(fmt::format("{}", 90 + u), 1, "BU", 3, Flow::control, fmt::format("{}.L{}", owner, u),
                      fmt::format("{}.L{}", other, u), {0.1, false, "0.2 A"});
        }
    return kit;
}

} // namespace stoutloom::testing
