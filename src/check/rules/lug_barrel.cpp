// lug-barrel. Does every lug's barrel fit its cable, and is such a lug made?
#include "check/subjects.h"
#include "check/words.h"
#include "physics/joint.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

// Only ends with a crimped ring lug have a barrel to judge; posts, blades and splices are the clamp's
// business.
bool has_barrel(const model::CableEnd& end) {
    return end.lug.kind == base::FastenerKind::stud || end.barrel_mm2.has_value();
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const model::Cable& cable : facts.harness->cables)
        if ((has_barrel(cable.from) || has_barrel(cable.to)) && !cable.automatic)
            ids.push_back(cable.id);
    return ids;
}

/// A workshop's own list knows better than the standard what is on its shelf.
bool listed_in_stock(const model::Harness& harness, double section_mm2, const base::Fastener& lug) {
    return std::any_of(
        harness.stock.lugs.begin(), harness.stock.lugs.end(), [&](const model::StockLug& listed) {
            return listed.stud == lug.name && physics::barrel_takes(listed.section_mm2, section_mm2);
        });
}

void judge_end(const Facts& facts, const model::Cable& cable, const model::CableEnd& end,
               Judgements& judgements) {
    const double section_mm2 = cable.section_mm2.value;
    const std::string& address = facts.harness->terminal(end.at).address;
    const std::string section = base::shown_section(section_mm2);
    Judgement judgement = about(cable.id, end.span, {});
    judgement.subjects.push_back(address);
    if (end.barrel_mm2 && !physics::barrel_takes(end.barrel_mm2->value, section_mm2)) {
        const bool tight = end.barrel_mm2->value < section_mm2;
        judgement =
            with_figures(std::move(judgement), {.computed = section_mm2, .limit = end.barrel_mm2->value},
                         "mm2", "the barrel's own section");
        judgement.message =
            fmt::format("{} ({}) at {} has a barrel for {}: {}", cable.id, section, address,
                        base::shown_section(end.barrel_mm2->value),
                        tight ? "strands would have to be cut off" : "the crimp is loose and pulls off");
        judgement.cure = fmt::format("a lug with a barrel for {}, pressed with its own die", section);
        judgements.fails(std::move(judgement));
        return;
    }
    if (end.lug.kind == base::FastenerKind::stud && !end.barrel_mm2 &&
        !physics::lug_exists(section_mm2, end.lug) &&
        !listed_in_stock(*facts.harness, section_mm2, end.lug)) {
        judgement.message = fmt::format("{} ({}) at {}: no standard lug of that section is made for {}",
                                        cable.id, section, address, end.lug.name);
        judgement.cure = "another stud, another section, or state the barrel of the lug in hand";
        judgements.fails(std::move(judgement), Severity::warning);
        return;
    }
    judgement.message = fmt::format("{} ({}) at {}: barrel and section agree", cable.id, section, address);
    judgements.passes(std::move(judgement));
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const model::Cable& cable : facts.harness->cables)
        for (const model::CableEnd* end : {&cable.from, &cable.to})
            if (has_barrel(*end) && !cable.automatic)
                judge_end(facts, cable, *end, judgements);
}

} // namespace

extern const Rule rule_lug_barrel;
const Rule rule_lug_barrel{
    .slug = "lug-barrel",
    .usual = Severity::error,
    .asks = "Does every lug's barrel fit its cable, and is such a lug made?",
    .source = "DIN 46235 barrels and stud ranges, AWG pairs of the trade, from memory",
    .cure = "the lug made for section and stud, pressed with its own die",
    .explanation =
        R"(A barrel is made for one section. Too tight, and strands are cut off to get it in; too loose, and the crimp
pulls off by hand and heats. An AWG cable may sit in the nearest metric barrel: 6 AWG (13.3 mm2) in 16 mm2,
4 AWG (21.2) in 25, 2 AWG (33.6) in 35, 1/0 (53.5) in 50, 2/0 (67.4) in 70.
Each barrel is made for a range of studs only: 16 mm2 for M6 to M12, 50 to 95 mm2 for M8 to M16, 120 mm2 from
M10 up; a lug that the file's own stock lists is there. Example: 95 mm2 to an M6 stud: no such lug; a post with M8 or more and a short tail is the way out.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
