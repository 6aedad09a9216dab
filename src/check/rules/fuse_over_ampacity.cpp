// fuse-over-ampacity. Is every fuse-link small enough for every cable behind it?
#include "check/subjects.h"
#include "check/words.h"
#include "physics/fuselink.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace stoutloom::check {
namespace {

using model::CableIndex;

// The cables that some source reaches by way of fuse-links: each needs a link no larger than itself.
std::map<CableIndex, const FeedPath*> largest_protection(const Facts& facts) {
    std::map<CableIndex, const FeedPath*> largest;
    for (const FeedPath& feed : facts.topology.feeds) {
        if (feed.cut.empty())
            continue;
        const FeedPath*& so_far = largest[feed.cable];
        if (so_far == nullptr || feed.cut_rating_a > so_far->cut_rating_a)
            so_far = &feed;
    }
    return largest;
}

// A cable whose own class is under its zone's warmth, or without a section, is told elsewhere.
bool judged(const Facts& facts, CableIndex cable) {
    return !too_warm_without_current(facts, cable) && facts.ratings[model::at(cable)].usable_a > 0 &&
           !facts.harness->cable(cable).automatic;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const auto& [cable, feed] : largest_protection(facts))
        if (judged(facts, cable))
            ids.push_back(facts.harness->cable(cable).id);
    return ids;
}

struct Links {
    std::vector<std::string> ids;
    double conventional_multiple = 0;
    bool unrated = false, unknown_type = false, link_wire = false;
};

Links links_of_cut(const Facts& facts, const FeedPath& feed) {
    Links links;
    for (const model::DeviceIndex index : feed.cut) {
        const auto& link = std::get<model::FuseLink>(facts.harness->device(index).data);
        const physics::FuseType* type = physics::fuse_type_by_name(link.type);
        links.ids.push_back(facts.harness->device(index).id);
        links.unrated |= link.automatic || !(link.rating_a.value > 0);
        links.unknown_type |= type == nullptr;
        links.link_wire |= link.type == "link-wire";
        if (type != nullptr)
            links.conventional_multiple = std::max(links.conventional_multiple, type->conventional_multiple);
    }
    return links;
}

// Boat practice lets a link be the next size up, at most 150 % of the cable's ampacity.
constexpr double boat_allowance = 1.5;
// IEC 60364-4-43: the conventional operating current is at most 1.45 times what the cable carries.
constexpr double conventional_allowance = 1.45;

void judge_cable(const Facts& facts, CableIndex index, const FeedPath& feed, Judgements& judgements) {
    const model::Harness& harness = *facts.harness;
    const model::Cable& cable = harness.cable(index);
    const double usable_a = facts.ratings[model::at(index)].usable_a;
    const Links links = links_of_cut(facts, feed);
    const std::string link_words = listed(links.ids);
    Judgement judgement = about(cable.id, cable.span, {});
    judgement.subjects.insert(judgement.subjects.end(), links.ids.begin(), links.ids.end());
    if (links.unrated || links.unknown_type || links.link_wire) {
        judgement.message =
            links.link_wire
                ? fmt::format("{} is protected by link wire {}, which has no rating in amperes: four gauge "
                              "numbers under the cable is the practice",
                              cable.id, link_words)
            : links.unrated
                ? fmt::format("{} is protected by {}, whose rating is still open", cable.id, link_words)
                : fmt::format("{} is protected by {}, a type without a table", cable.id, link_words);
        judgement.cure = links.link_wire ? "fit a rated fuse-link instead"
                                         : "write a rating, or let the size command choose one";
        judgements.cannot_tell(std::move(judgement), links.link_wire ? Severity::warning : Severity::error);
        return;
    }
    const bool boat = harness.profile == model::Profile::boat;
    const double rating_limit_a = usable_a * (boat ? boat_allowance : 1.0);
    const double conventional_a = links.conventional_multiple * feed.cut_rating_a;
    judgement.values = {{"conventional_a", conventional_a}, {"usable_a", usable_a}};
    judgement = with_figures(std::move(judgement), feed.cut_rating_a, rating_limit_a, "A",
                             boat ? "ABYC E-11: at most 150 % of ampacity"
                                  : "IEC 60364-4-43, 433.1: rating at most the ampacity");
    const std::string facts_text =
        fmt::format("{} has {} and may carry {}", cable.id,
                    links.ids.size() == 1
                        ? fmt::format("fuse-link {} of {}", link_words, amps_up(feed.cut_rating_a))
                        : fmt::format("fuse-links {} of {} together", link_words, amps_up(feed.cut_rating_a)),
                    amps_down(usable_a));
    if (feed.cut_rating_a > rating_limit_a) {
        judgement.message = fmt::format("{}: the link is {} the cable, which can burn before the link opens",
                                        facts_text, times_up(feed.cut_rating_a / usable_a));
        judgement.cure = fmt::format("a fuse-link of {} at most, or a cable that carries {} all day",
                                     amps_down(rating_limit_a), amps_up(feed.cut_rating_a));
        judgements.fails(std::move(judgement));
        return;
    }
    if (!boat && conventional_a > conventional_allowance * usable_a) {
        judgement = with_figures(
            std::move(judgement), conventional_a, conventional_allowance * usable_a, "A",
            "IEC 60364-4-43, 433.1: conventional operating current at most 1.45 times the ampacity");
        judgement.message =
            fmt::format("{}: the link is only sure to open at {}, more than 1.45 times the cable", facts_text,
                        amps_up(conventional_a));
        judgement.cure =
            fmt::format("a fuse-link of {} at most",
                        amps_down(conventional_allowance * usable_a / links.conventional_multiple));
        judgements.fails(std::move(judgement));
        return;
    }
    judgement.message = facts_text;
    if (feed.cut_rating_a > usable_a)
        judgement.message += "; within the 150 % of boat practice, though over the rule of IEC 60364-4-43";
    judgements.passes(std::move(judgement));
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const auto& [cable, feed] : largest_protection(facts))
        if (judged(facts, cable))
            judge_cable(facts, cable, *feed, judgements);
}

} // namespace

extern const Rule rule_fuse_over_ampacity;
const Rule rule_fuse_over_ampacity{
    .slug = "fuse-over-ampacity",
    .usual = Severity::error,
    .asks = "Is every fuse-link small enough for every cable behind it?",
    .source = "IEC 60364-4-43, 433.1: IB <= In <= Iz and I2 <= 1.45 Iz (from memory); ABYC E-11 150 % for "
              "the boat profile",
    .cure = "a smaller fuse-link, or more copper",
    .explanation = "A fuse-link is there for the cable, not for the unit. In, its rating, may not be above "
                   "Iz, what the cable may\n"
                   "carry all day in its hottest stretch with the installed margin; and I2, the current at "
                   "which it is sure to\n"
                   "open in the end, may not be above 1.45 x Iz. I2 is 1.35 x In for strip links of 51 mm "
                   "and blades, 1.5 x In for\n"
                   "strip links of 30 mm, so those ask In <= 0.967 x Iz.\n"
                   "Of several links that must all open to cut a cable off, the ratings add up.\n"
                   "Example: 16 mm2 in 80 degC may carry 57 A, behind a link of 100 A: 1.8 times the cable. "
                   "At 100 A the copper\n"
                   "passes its class by far and the link carries on for hours. 95 mm2 class C there carries "
                   "about 250 A: a link of\n"
                   "225 A protects it, I2 = 304 A <= 363 A.\n"
                   "Boat practice allows the next size up to 150 % of the ampacity; then I2 <= 1.45 Iz does "
                   "not hold, and it is said.\n",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
