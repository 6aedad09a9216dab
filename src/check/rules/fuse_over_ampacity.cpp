// fuse-over-ampacity. Is every fuse-link small enough for every cable behind it?
#include "check/protection.h"
#include "check/subjects.h"
#include "check/words.h"
#include "physics/fuselink.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

namespace stoutloom::check {
namespace {

using model::CableIndex;

// A cable whose own class is under its zone's warmth, or without a section, is told elsewhere. Link wire is
// thinner than what guards it on purpose.
bool judged(const Facts& facts, CableIndex cable) {
    return facts.harness->cable(cable).build != model::CableBuild::link_wire &&
           !too_warm_without_current(facts, cable) && facts.ratings[model::at(cable)].usable_a > 0 &&
           !facts.harness->cable(cable).automatic;
}

// By cable, the ways in that pass fuse-links: each needs links no larger than the cable.
std::map<CableIndex, std::vector<const FeedPath*>> fused_feeds(const Facts& facts) {
    std::map<CableIndex, std::vector<const FeedPath*>> feeds;
    for (const FeedPath& feed : facts.topology.feeds)
        if (!feed.cut.empty() && judged(facts, feed.cable))
            feeds[feed.cable].push_back(&feed);
    return feeds;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const auto& [cable, feeds] : fused_feeds(facts))
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

// IEC 60364-4-43: the conventional operating current is at most 1.45 times what the cable carries.
constexpr double conventional_allowance = 1.45;

std::string cure_words(const Facts& facts, const FeedPath& feed, double most_a) {
    const std::string& type = std::get<model::FuseLink>(facts.harness->device(feed.cut.front()).data).type;
    const auto smaller = rating_on_sale_up_to(*facts.harness, type, most_a);
    const std::string instead = fmt::format("a cable that carries {} all day", amps_up(feed.cut_rating_a));
    if (feed.cut.size() > 1)
        return fmt::format("links of {} together at most, or {}", amps_down(most_a), instead);
    if (!smaller)
        return fmt::format("{}; no fuse-link of type {} is small enough", instead, type);
    return fmt::format("a fuse-link of {} at most, or {}", rating(*smaller), instead);
}

// Links whose opening current nobody can tell.
bool judge_unknown(const Links& links, const model::Cable& cable, Judgement& judgement,
                   Judgements& judgements) {
    if (!links.unrated && !links.unknown_type && !links.link_wire)
        return false;
    const std::string names = listed(links.ids);
    judgement.message =
        links.link_wire
            ? fmt::format("{} is protected by link wire {}, which has no rating in amperes: four gauge "
                          "numbers under the cable is the practice",
                          cable.id, names)
        : links.unrated ? fmt::format("{} is protected by {}, whose rating is still open", cable.id, names)
                        : fmt::format("{} is protected by {}, a type without a table", cable.id, names);
    judgement.cure = links.link_wire ? "fit a rated fuse-link instead"
                                     : "write a rating, or let the size command choose one";
    judgements.cannot_tell(std::move(judgement), links.link_wire ? Severity::warning : Severity::error);
    return true;
}

std::string link_and_cable(const Links& links, const model::Cable& cable, const FeedPath& feed,
                           double usable_a) {
    const std::string names = listed(links.ids);
    const std::string what =
        links.ids.size() == 1 ? fmt::format("fuse-link {} of {}", names, rating(feed.cut_rating_a))
                              : fmt::format("fuse-links {} of {} together", names, rating(feed.cut_rating_a));
    return fmt::format("{} has {} and may carry {}", with_section(cable), what, amps_down(usable_a));
}

void judge_feed(const Facts& facts, const FeedPath& feed, Judgements& judgements) {
    const model::Cable& cable = facts.harness->cable(feed.cable);
    const double usable_a = facts.ratings[model::at(feed.cable)].usable_a;
    const Links links = links_of_cut(facts, feed);
    Judgement judgement = about(cable.id, cable.span, {});
    judgement.subjects.insert(judgement.subjects.end(), links.ids.begin(), links.ids.end());
    if (judge_unknown(links, cable, judgement, judgements))
        return;
    const bool boat = facts.harness->profile == model::Profile::boat;
    const double most_a = greatest_rating_a(facts, feed.cable);
    const double conventional_a = links.conventional_multiple * feed.cut_rating_a;
    judgement.values = {{"conventional_a", conventional_a}, {"usable_a", usable_a}};
    judgement = with_figures(std::move(judgement), {.computed = feed.cut_rating_a, .limit = most_a}, "A",
                             boat ? "ABYC E-11: at most 150 % of ampacity"
                                  : "IEC 60364-4-43, 433.1: rating at most the ampacity");
    judgement.message = link_and_cable(links, cable, feed, usable_a);
    // No link that suits a load over the cable's ampacity can suit the cable; and one that meets a source
    // with no link at all needs that first.
    judgement.yields_to = {"cable-unprotected", "cable-ampacity"};
    if (feed.cut_rating_a > most_a) {
        judgement.message += fmt::format(": the link is {} the cable, which can burn before the link opens",
                                         times_up(feed.cut_rating_a / usable_a));
        judgement.cure = cure_words(facts, feed, most_a);
        judgements.fails(std::move(judgement));
    } else if (!boat && conventional_a > conventional_allowance * usable_a) {
        judgement = with_figures(
            std::move(judgement), {.computed = conventional_a, .limit = conventional_allowance * usable_a},
            "A", "IEC 60364-4-43, 433.1: conventional operating current at most 1.45 times the ampacity");
        judgement.message += fmt::format(
            ": the link is only sure to open at {}, more than 1.45 times the cable", amps_up(conventional_a));
        judgement.cure =
            cure_words(facts, feed, conventional_allowance * usable_a / links.conventional_multiple);
        judgements.fails(std::move(judgement));
    } else {
        if (feed.cut_rating_a > usable_a)
            judgement.message +=
                "; within the 150 % of boat practice, though over the rule of IEC 60364-4-43";
        judgements.passes(std::move(judgement));
    }
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const auto& [index, feeds] : fused_feeds(facts)) {
        std::optional<FeedPath> worst;
        // An unfused starter cable is told by cable-unprotected with what it needs instead; a link that
        // happens to stand between it and another source is not there for it.
        const bool named_exception = facts.topology.starter_cable[model::at(index)];
        const auto badness = [&](const FeedPath& feed) {
            return std::pair(links_of_cut(facts, feed).unrated, feed.cut_rating_a);
        };
        for (const FeedPath* feed : feeds)
            if (!named_exception && !source_limits_itself(facts, *feed) && !ends_on_own_links(facts, *feed)) {
                // Of a short piece that ends on links too large, those are the ones to change, not the far
                // ones.
                const std::optional<FeedPath> own = ending_on_links(facts, *feed);
                const FeedPath& telling = own && own->cut_rating_a < feed->cut_rating_a ? *own : *feed;
                if (!worst || badness(telling) > badness(*worst))
                    worst = telling;
            }
        if (worst) {
            judge_feed(facts, *worst, judgements);
            continue;
        }
        const model::Cable& cable = facts.harness->cable(index);
        if (named_exception) {
            judgements.passes(
                about(cable.id, cable.span,
                      fmt::format("{} feeds the starter: it is judged as an unfused cable", cable.id)));
            continue;
        }
        const FeedPath& first = *feeds.front();
        judgements.passes(about(
            cable.id, cable.span,
            ends_on_own_links(facts, first)
                ? fmt::format("{} is a short piece that ends on its own fuse-link, which suits it", cable.id)
                : fmt::format(
                      "{} is fed by way of {} only from {}, which limits itself to what the cable carries",
                      cable.id, listed(links_of_cut(facts, first).ids),
                      facts.harness->device(first.source).id)));
    }
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
    .explanation =
        R"(A fuse-link is there for the cable, not for the unit. In, its rating, may not be above Iz, what the cable may
carry all day in its hottest stretch with the installed margin; and I2, the current at which it is sure to
open in the end, may not be above 1.45 x Iz. I2 is 1.35 x In for strip links of 51 mm and blades, 1.5 x In for
strip links of 30 mm, so those ask In <= 0.967 x Iz.
Of several links that must all open to cut a cable off, the ratings add up.
Example: 16 mm2 in 80 degC may carry 57 A, behind a link of 100 A: 1.8 times the cable. At 100 A the copper
passes its class by far and the link carries on for hours. 95 mm2 class C there carries about 250 A: a link of
225 A protects it, I2 = 304 A <= 363 A.
Boat practice allows the next size up to 150 % of the ampacity; then I2 <= 1.45 Iz does not hold, and it is said.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
