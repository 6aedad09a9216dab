// polarity-colour. Do colours tell the polarity the cable has?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

namespace stoutloom::check {
namespace {

bool has_colour(const model::Cable& cable) {
    return cable.colour.size() >= 2;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const model::Cable& cable : facts.harness->cables)
        if (has_colour(cable))
            ids.push_back(cable.id);
    return ids;
}

void judge(const Facts& facts, Judgements& judgements) {
    for (std::size_t c = 0; c < facts.harness->cables.size(); ++c) {
        const model::Cable& cable = facts.harness->cables[c];
        if (!has_colour(cable))
            continue;
        const std::string main_colour = cable.colour.substr(0, 2);
        const Side side = facts.topology.side_of_cable[c];
        Judgement judgement = about(cable.id, cable.span, {});
        // A thin lead may be black by circuit; at the size of a battery cable black says negative.
        constexpr double battery_cable_mm2 = 6;
        const bool heavy = cable.section_mm2.value >= battery_cable_mm2;
        if (side == Side::back && main_colour == "RD") {
            judgement.message = fmt::format(
                "{} is red and lies on the negative side: the next owner takes it for live", cable.id);
            judgement.cure = "sleeve both ends black, or fit a black cable";
            judgements.fails(std::move(judgement));
        } else if (side == Side::feed && main_colour == "BK" && heavy) {
            judgement.message =
                fmt::format("{} is black and live: the next owner takes it for ground", cable.id);
            judgement.cure = "sleeve both ends red, or fit a red cable";
            judgements.fails(std::move(judgement));
        } else {
            judgement.message =
                fmt::format("{}: colour {} does not contradict its side", cable.id, cable.colour);
            judgements.passes(std::move(judgement));
        }
    }
}

} // namespace

extern const Rule rule_polarity_colour;
const Rule rule_polarity_colour{
    .slug = "polarity-colour",
    .usual = Severity::warning,
    .asks = "Do colours tell the polarity the cable has?",
    .source =
        "common practice of road and boat work: positive red, negative black or yellow; letters IEC 60757",
    .cure = "sleeve both ends in the right colour",
    .explanation =
        R"(Red on the negative side and heavy black on the live side are how a battery gets connected in reverse, years
later, by someone who trusted the colour. The first two letters are the cable's main colour: RD red, BK black.
Thin black leads (under 6 mm2) are common in looms coloured by circuit and are left alone.
Example: a re-used red 35 mm2 cable as ground strap: sleeve it black at both ends.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
