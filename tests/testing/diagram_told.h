// Whether the placed pages tell everything of a diagram, each thing once: read off the pages' elements,
// knowing nothing of how they were placed.
#pragma once

#include "layout/diagram.h"

#include <fmt/format.h>
#include <map>
#include <set>
#include <string>
#include <vector>

namespace stoutloom::testing {

/// What is missing or told twice, in words; empty when all is well. A heavy cable is drawn once whole, or
/// once per end with a tag at each; a stud stands once on the heavy sheets ("1...") and, when it carries a
/// control lead, once on the control sheets ("2...").
inline std::vector<std::string> untold(const layout::DiagramContent& content,
                                       const std::vector<layout::Page>& pages) {
    using layout::Flow;
    using layout::Role;
    std::map<std::string, int> heavy_studs, control_studs, cables, tags, balloons;
    for (const layout::Page& page : pages) {
        const bool control = page.label.rfind('2', 0) == 0;
        for (const layout::Element& each : page.elements) {
            if (each.role == Role::stack)
                ++(control ? control_studs : heavy_studs)[each.id];
            if (each.role == Role::cable)
                ++cables[each.id];
            if (each.role == Role::tag)
                ++tags[each.id];
            if (each.role == Role::balloon)
                ++balloons[each.id];
        }
    }
    std::vector<std::string> made;
    const auto wrong = [&](const std::string& what, const std::string& id, int found, int wanted) {
        if (found != wanted)
            made.push_back(fmt::format("{} {}: {} instead of {}", what, id, found, wanted));
    };
    for (const layout::RunGlyph& run : content.cables) {
        const int drawn = cables[run.id];
        if (drawn != 1 && drawn != 2)
            made.push_back(fmt::format("cable {} drawn {} times", run.id, drawn));
        if (run.flow != Flow::control)
            wrong("tags of cable", run.id, tags[run.id + "-tag"], drawn == 2 ? 2 : 0);
        if (balloons[run.id + "-balloon"] < drawn)
            made.push_back(fmt::format("cable {} drawn {} times with {} balloons", run.id, drawn,
                                       balloons[run.id + "-balloon"]));
    }
    const auto carries = [&](const layout::StudGlyph& stud, bool control) {
        for (const layout::LugGlyph& lug : stud.lugs)
            if ((content.cables[lug.cable].flow == Flow::control) == control)
                return true;
        return false;
    };
    for (const layout::UnitGlyph& unit : content.units) {
        bool heavy = unit.seat_bed.has_value();
        bool control = false;
        for (const layout::StudGlyph& stud : unit.studs) {
            heavy = heavy || carries(stud, false);
            control = control || carries(stud, true);
        }
        for (const layout::StudGlyph& stud : unit.studs) {
            wrong("stud on heavy sheets", stud.id, heavy_studs[stud.id], heavy || !control ? 1 : 0);
            wrong("stud on control sheets", stud.id, control_studs[stud.id], carries(stud, true) ? 1 : 0);
        }
    }
    for (const layout::BedGlyph& bed : content.beds)
        for (const layout::StudGlyph& stud : bed.studs)
            wrong("stud of a bed", stud.id, heavy_studs[stud.id], 1);
    // Every finding stands whole in a box or a row, by whatever lines it was wrapped.
    std::vector<std::string> told;
    for (const layout::Page& page : pages)
        for (const layout::Element& each : page.elements)
            if (each.role == Role::panel) {
                told.emplace_back();
                for (const layout::Text& text : each.texts)
                    told.back() += text.words + " ";
            }
    const auto stands = [&](const std::string& words) {
        for (const std::string& each : told)
            if (each.find(words + " ") != std::string::npos)
                return true;
        return false;
    };
    for (const layout::FlagGlyph& flag : content.flags)
        if (!stands(flag.what) || (!flag.cure.empty() && !stands("Cure: " + flag.cure)))
            made.push_back(fmt::format("finding {} stands whole in no box", flag.number));
    return made;
}

/// Numbers of the findings whose flag stands on none of the pages.
inline std::vector<std::string> unflagged(const layout::DiagramContent& content,
                                          const std::vector<layout::Page>& pages) {
    std::set<std::string> shown;
    for (const layout::Page& page : pages)
        for (const layout::Element& each : page.elements)
            if (each.role == layout::Role::flag)
                shown.insert(each.id);
    std::vector<std::string> made;
    for (const layout::FlagGlyph& flag : content.flags)
        if (!shown.contains("flag-" + flag.number))
            made.push_back(flag.number);
    return made;
}

} // namespace stoutloom::testing
