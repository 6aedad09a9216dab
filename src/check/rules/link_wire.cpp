// link-wire. Is every fusible link wire as thin and as short as such a link must be?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>

namespace stoutloom::check {
namespace {

using model::CableIndex;

std::vector<CableIndex> link_wires(const Facts& facts) {
    std::vector<CableIndex> wires;
    for (std::size_t c = 0; c < facts.harness->cables.size(); ++c)
        if (facts.harness->cables[c].build == model::CableBuild::link_wire)
            wires.push_back(static_cast<CableIndex>(c));
    return wires;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const CableIndex wire : link_wires(facts))
        ids.push_back(facts.harness->cable(wire).id);
    return ids;
}

// Four gauge numbers are a ratio of areas of 92^(8/39) = 2.53; three to five are let pass.
constexpr double three_gauges = 2.0, five_gauges = 3.2;
constexpr double least_length_m = 0.10, greatest_length_m = 0.23;

// The thinnest cable that shares a node with the link: what it is to protect.
std::optional<CableIndex> protects(const Facts& facts, CableIndex wire) {
    const model::Cable& link = facts.harness->cable(wire);
    std::optional<CableIndex> thinnest;
    for (std::size_t c = 0; c < facts.harness->cables.size(); ++c) {
        const model::Cable& other = facts.harness->cables[c];
        if (other.build == model::CableBuild::link_wire)
            continue;
        bool meets = false;
        for (const auto mine : {link.from.at, link.to.at})
            for (const auto its : {other.from.at, other.to.at})
                meets |= facts.topology.node(mine) == facts.topology.node(its);
        if (meets &&
            (!thinnest || other.section_mm2.value < facts.harness->cable(*thinnest).section_mm2.value))
            thinnest = static_cast<CableIndex>(c);
    }
    return thinnest;
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const CableIndex wire : link_wires(facts)) {
        const model::Cable& link = facts.harness->cable(wire);
        Judgement judgement = about(link.id, link.span, {});
        const auto behind = protects(facts, wire);
        std::vector<std::string> wrong;
        if (behind) {
            const model::Cable& cable = facts.harness->cable(*behind);
            judgement.subjects.push_back(cable.id);
            const double ratio = cable.section_mm2.value / link.section_mm2.value;
            judgement = with_figures(std::move(judgement), {.computed = ratio, .limit = 2.53},
                                     "times the link", "four gauge numbers, trade practice");
            if (ratio < three_gauges)
                wrong.push_back(
                    fmt::format("with {} before {} it is too thick to open before the cable burns",
                                base::shown_section(link.section_mm2.value), with_section(cable)));
            if (ratio > five_gauges)
                wrong.push_back(
                    fmt::format("with {} before {} it is thinner than the practice and glows early",
                                base::shown_section(link.section_mm2.value), with_section(cable)));
        }
        if (link.length_m.value > greatest_length_m || link.length_m.value < least_length_m)
            wrong.push_back(fmt::format("it is {} long", metres_up(link.length_m.value)));
        if (wrong.empty()) {
            judgement.message =
                fmt::format("link wire {} is as thin and as short as the practice asks", link.id);
            judgements.passes(std::move(judgement));
            continue;
        }
        judgement.message = fmt::format("link wire {}: {}", link.id, listed(wrong));
        judgements.fails(std::move(judgement));
    }
}

} // namespace

extern const Rule rule_link_wire;
const Rule rule_link_wire{
    .slug = "link-wire",
    .usual = Severity::warning,
    .asks = "Is every fusible link wire as thin and as short as such a link must be?",
    .source =
        "trade practice, from memory: four gauge numbers under the wire it protects, 120 to 200 mm long",
    .cure = "a rated fuse-link instead, or link wire four gauge numbers under the cable, 150 mm long",
    .explanation =
        R"(A link wire opens because it is thinner than what it protects: four gauge numbers, that is 92 to the power of
8/39 = 2.53 times less area, under a wall that does not burn. Made two sizes under, of ordinary wire, or a whole
length of it, it lets the cable burn first, or burns along its own length.
Three to five gauge numbers (2.0 to 3.2 times) and 100 to 230 mm pass.
Example: 600 mm of 10 AWG (5.26 mm2) before 8 AWG (8.37 mm2): 1.59 times, and too long on both counts.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
