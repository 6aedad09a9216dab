// fuse-coordination. Does the slowest fuse-link clear every fault before the cable behind it is damaged?
#include "check/protection.h"
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace stoutloom::check {
namespace {

using model::CableIndex;

// By cable, the fused ways in that a fault must be cleared on. The other ways are told by cable-unprotected.
std::map<CableIndex, std::vector<const FeedPath*>> guarded(const Facts& facts) {
    std::map<CableIndex, std::vector<const FeedPath*>> feeds;
    for (const FeedPath& feed : facts.topology.feeds) {
        const model::Cable& cable = facts.harness->cable(feed.cable);
        if (!feed.cut.empty() && !cable.automatic && cable.build != model::CableBuild::link_wire &&
            facts.ratings[model::at(feed.cable)].usable_a > 0 && !too_warm_without_current(facts, feed.cable))
            feeds[feed.cable].push_back(&feed);
    }
    return feeds;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const auto& [cable, feeds] : guarded(facts))
        ids.push_back(facts.harness->cable(cable).id);
    return ids;
}

std::string link_names(const Facts& facts, const LinkTogether& link) {
    std::vector<std::string> names;
    for (const model::DeviceIndex index : link.links)
        names.push_back(facts.harness->device(index).id);
    return listed(names);
}

/// One figure where both print alike.
std::string one_or_range(const std::string& least, const std::string& most, std::string_view between) {
    return least == most ? most : least + std::string(between) + most;
}

void tell(const Facts& facts, const Coordination& told, Judgement judgement, Judgements& judgements) {
    const model::Cable& cable = facts.harness->cable(told.feed->cable);
    const double limit_degc = short_time_limit_of(*facts.harness, told.feed->cable);
    const std::string links = link_names(facts, told.link);
    for (const model::DeviceIndex index : told.link.links)
        judgement.subjects.push_back(facts.harness->device(index).id);
    judgement.values = {{"least_fusing_a", told.least_fusing_a},
                        {"prospective_a", told.prospective_a},
                        {"least_prospective_a", told.least_prospective_a}};
    if (told.holds) {
        judgement.message =
            told.prospective_a <= told.least_fusing_a
                ? fmt::format(
                      "{} stands for ever what {} can drive through a short, {}, whether {} opens or not",
                      with_section(cable), facts.harness->device(told.feed->source).id,
                      amps_up(told.prospective_a), links)
                : fmt::format(
                      "{} is cleared by {} at every current from {} before it is damaged",
                      with_section(cable), links,
                      one_or_range(amps_up(told.least_fusing_a), amps_up(told.prospective_a), " to "));
        judgements.passes(std::move(judgement));
        return;
    }
    judgement.values["fails_from_a"] = told.from_a;
    judgement.values["fails_to_a"] = told.to_a;
    judgement = with_figures(
        std::move(judgement), {.computed = told.reaches_degc, .limit = limit_degc}, "degC",
        fmt::format("short-time limit of insulation {}, IEC 60364-4-43 table 43A", cable.insulation.text));
    judgement.message = fmt::format(
        "a fault of {} from {} harms {} before the slowest {} clears it: the copper "
        "reaches {}{}, the wall "
        "stands {}",
        one_or_range(amps_down(told.from_a), amps_up(told.to_a), " to "),
        facts.harness->device(told.feed->source).id, with_section(cable), links,
        told.reaches_degc >= 1083 ? "at least " : "", degc_up(told.reaches_degc), degc_down(limit_degc));
    judgement.yields_to = {"fuse-over-ampacity", "cable-unprotected"};
    judgement.cure = "a smaller or faster fuse-link, more copper, or insulation of a higher short-time limit";
    judgements.fails(std::move(judgement),
                     facts.harness->profile == model::Profile::boat ? Severity::warning : Severity::error);
}

void judge(const Facts& facts, Judgements& judgements) {
    const auto feeds = guarded(facts);
    if (feeds.empty())
        return;
    const auto& shorts = *facts.shorts;
    for (const auto& [index, ways] : feeds) {
        const model::Cable& cable = facts.harness->cable(index);
        const Judgement blank = about(cable.id, cable.span, {});
        std::optional<Coordination> worst;
        bool open = !shorts;
        for (const FeedPath* feed : ways) {
            if (!shorts || ends_on_own_links(facts, *feed) || source_limits_itself(facts, *feed) ||
                facts.topology.starter_cable[model::at(index)])
                continue;
            const auto told = coordinate(facts, *shorts, *feed);
            open |= !told;
            if (told && (!worst || (worst->holds && !told->holds) ||
                         (worst->holds == told->holds && told->prospective_a > worst->prospective_a)))
                worst = told;
        }
        if (worst && (!worst->holds || !open)) {
            tell(facts, *worst, blank, judgements);
        } else if (open) {
            Judgement judgement = blank;
            for (const FeedPath* feed : ways)
                for (const model::DeviceIndex link : feed->cut)
                    judgement.subjects.push_back(facts.harness->device(link).id);
            judgement.message = fmt::format(
                "{}: its fuse-link has no rating or no published time band, so its clearing time is unknown",
                cable.id);
            judgement.yields_to = {"fuse-over-ampacity", "cable-unprotected"};
            judgements.cannot_tell(std::move(judgement), shorts ? Severity::warning : Severity::error);
        } else {
            Judgement judgement = blank;
            judgement.message = fmt::format("{} needs no clearing time: it feeds the starter, or is a short "
                                            "piece before its own link, or its "
                                            "source limits itself",
                                            cable.id);
            judgements.passes(std::move(judgement));
        }
    }
}

} // namespace

extern const Rule rule_fuse_coordination;
const Rule rule_fuse_coordination{
    .slug = "fuse-coordination",
    .usual = Severity::error,
    .asks = "Does the slowest fuse-link clear every fault before the cable behind it is damaged?",
    .source = "operating-time gates of ISO 8820 by type (from memory), slowest edge; damage by the transient "
              "model from "
              "the class temperature to the short-time limit of IEC 60364-4-43 table 43A",
    .cure = "a smaller or faster fuse-link, or more copper",
    .explanation =
        R"(A fuse-link opens somewhere in a band: the fastest and the slowest of its type. The cable is damaged when its
copper, warm from full load, reaches what its wall stands for a short time: 160 degC for PVC, 250 degC for
cross-linked walls. At every current from the least that is sure to open the link up to the greatest a dead short
can drive, the slowest link must be faster than the cable's damage; below the least fusing current the 1.45 rule of
fuse-over-ampacity stands guard.
In a quick fault the copper takes all heat: t = (k x S / I)^2, k = 226 x root of ln((234.5 + Tf) / (234.5 + Ti)).
Example: 4 mm2 class B (100 to 160 degC: k = 226 x root of ln(394.5 / 334.5) = 91.8), link SF51 of 60 A, 360 A: the
slowest may take 1 s; (91.8 x 4 / 360)^2 = 1.04 s: just in time. Behind a link of 100 A the same 600 A last 1 s
and the cable stands 0.37 s.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check
