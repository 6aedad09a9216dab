// Which stud each end of each cable is on; looked up in the content for all sheets, in an arrangement for
// one.
#include "layout/arrangement.h"

#include <cstddef>

namespace stoutloom::layout {

Ends find_ends(const DiagramContent& content, const std::vector<double>& unit_keys) {
    Ends ends{std::vector<std::vector<Whereabouts>>(content.cables.size(), std::vector<Whereabouts>(2))};
    const auto note = [&](const StudGlyph& stud, const Whereabouts& where) {
        for (const LugGlyph& lug : stud.lugs)
            if (lug.cable < content.cables.size() && (lug.end == 0 || lug.end == 1))
                ends.of[lug.cable][static_cast<std::size_t>(lug.end)] = where;
    };
    for (std::size_t u = 0; u < content.units.size(); ++u)
        for (std::size_t s = 0; s < content.units[u].studs.size(); ++s)
            note(content.units[u].studs[s], {true, false, u, s, content.units[u].zone, unit_keys[u]});
    for (std::size_t b = 0; b < content.beds.size(); ++b)
        for (std::size_t s = 0; s < content.beds[b].studs.size(); ++s) {
            const std::size_t zone =
                s < content.beds[b].stud_zones.size() ? content.beds[b].stud_zones[s] : 0;
            note(content.beds[b].studs[s], {true, true, b, s, zone, static_cast<double>(zone) * 1000 + 500});
        }
    // A bed's stud stands beside what it is joined to: its key follows its partners' in the same zone.
    for (std::size_t c = 0; c < content.cables.size(); ++c)
        for (std::size_t e = 0; e < 2; ++e) {
            Whereabouts& own = ends.of[c][e];
            const Whereabouts& other = ends.of[c][1 - e];
            if (own.on_bed && other.known && !other.on_bed && other.zone == own.zone)
                own.key = other.key + 0.4;
        }
    return ends;
}

const PlacedStud* Arrangement::stud_of(std::size_t cable, int end, const PlacedLug** lug) const {
    for (const PlacedStud& stud : studs)
        for (const PlacedLug& each : stud.lugs)
            if (each.cable == cable && each.end == end) {
                *lug = &each;
                return &stud;
            }
    return nullptr;
}

} // namespace stoutloom::layout
